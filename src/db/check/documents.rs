//! The documents in order, each with everything it wrote, read side by side so that none of it lies in memory for long.

use super::Report;
use super::cells::whole;
use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::post::{DOCUMENT, hex};
use crate::db::sqlite::Cursor;
use crate::db::tables::{LOT, Shape, shape};
use crate::db::value::Value;
use crate::domain::stores::record::{TABLES, Table};

/// The rows that a document wrote in one table.
pub(super) struct Wrote {
    /// The table's name.
    pub(super) table: &'static str,
    /// The columns of a record; nothing of a log, whose rows are never changed.
    pub(super) shape: Option<&'static Shape>,
    width: usize,
    /// The column that names the document.
    document: usize,
    /// Invariant: the rows one after the other, `width` values each.
    rows: Vec<Value<'static>>,
}

impl Wrote {
    /// The rows in order.
    pub(super) fn rows(&self) -> impl ExactSizeIterator<Item = &[Value<'_>]> {
        self.rows.chunks_exact(self.width.max(1))
    }

    /// The rows in order, to be put back to what they were.
    pub(super) fn rows_mut(&mut self) -> impl Iterator<Item = &mut [Value<'static>]> {
        self.rows.chunks_exact_mut(self.width.max(1))
    }
}

/// A document with everything it wrote.
pub(super) struct Document {
    /// Its number.
    pub(super) id: i64,
    /// Its own columns, in the order of the chain.
    pub(super) head: Vec<Value<'static>>,
    /// Its digest as it stands in the books.
    pub(super) digest: Vec<u8>,
    /// What it wrote, in the order of the chain: logs, lots, records.
    pub(super) wrote: Vec<Wrote>,
}

/// The columns of a document's head.
pub(super) mod head {
    pub(in super::super) const DAY: usize = 2;
    pub(in super::super) const AT: usize = 3;
    pub(in super::super) const JOB: usize = 7;
    pub(in super::super) const LIST: usize = 9;
    pub(in super::super) const DUE: usize = 10;
    pub(in super::super) const OWNER_WORD: usize = 11;
    pub(in super::super) const CONTRA: usize = 14;
    pub(in super::super) const FIRST_ENTRY: usize = 15;
    pub(in super::super) const ENTRIES: usize = 16;
    pub(in super::super) const WIDTH: usize = 17;
}

impl Document {
    /// The rows it wrote in a table.
    pub(super) fn rows(&self, table: &'static str) -> impl Iterator<Item = &[Value<'_>]> {
        let of = self.wrote.iter().filter(move |wrote| wrote.table == table);
        of.flat_map(Wrote::rows)
    }
}

/// A log: its name, how many of its columns stand in the chain, which column is the document, and the statement.
type Log = (&'static str, usize, usize, &'static str);

/// Tables that are only ever added to, in the order of the chain. Where the document is past the width, it is no part
/// of the row.
const LOGS: [Log; 5] = [
    (
        "entry",
        11,
        1,
        "SELECT id, document, law, lot, from_place, to_place, from_line, to_line, qty, value, layer FROM entry ORDER BY id",
    ),
    (
        "lot_parent",
        2,
        2,
        "SELECT p.lot, p.parent, l.document FROM lot_parent p JOIN lot l ON l.id = p.lot ORDER BY p.lot, p.parent",
    ),
    (
        "claim",
        7,
        1,
        "SELECT id, document, line, lot, order_line, qty, why FROM claim ORDER BY id",
    ),
    (
        "hold",
        6,
        1,
        "SELECT id, document, lot, place, cause, lifts FROM hold ORDER BY id",
    ),
    (
        "change",
        7,
        1,
        "SELECT id, document, what, what_id, field, old, new FROM change ORDER BY id",
    ),
];

/// Where everything goes that a document wrote, with the statement that reads it.
fn shelves() -> Vec<(Wrote, &'static str)> {
    let logs = LOGS.into_iter().map(|(table, width, document, sql)| {
        let wrote = Wrote {
            table,
            shape: None,
            width,
            document,
            rows: Vec::new(),
        };
        (wrote, sql)
    });
    let records = TABLES.into_iter().map(|table: Table| shape(table));
    let records = std::iter::once(&LOT).chain(records).map(|shape| {
        let wrote = Wrote {
            table: shape.name,
            shape: Some(shape),
            width: shape.columns.len(),
            document: shape.columns.len().saturating_sub(1),
            rows: Vec::new(),
        };
        (wrote, shape.made_by)
    });
    logs.chain(records).collect()
}

/// Hands every document to `judge`, in order, with everything it wrote. Rows that no document wrote are reported, and
/// so are documents and lines of bin cards that do not follow one another.
pub(super) fn each(
    books: &Open<'_>,
    report: &mut Report<'_, '_>,
    mut judge: impl FnMut(&mut Document, &mut Report<'_, '_>) -> Result<(), Error>,
) -> Result<(), Error> {
    let (wrote, mut statements): (Vec<Wrote>, Vec<&str>) = shelves().into_iter().unzip();
    statements.push(DOCUMENT);
    let mut document = Document {
        id: 0,
        head: Vec::new(),
        digest: Vec::new(),
        wrote,
    };
    let mut next_entry = 1;
    let last = books.side_by_side(&statements, |cursors| {
        let Some((heads, cursors)) = cursors.split_last_mut() else {
            return Ok(Vec::new());
        };
        while read_head(&mut document, heads, report)? {
            for (wrote, cursor) in document.wrote.iter_mut().zip(cursors.iter_mut()) {
                read_rows(document.id, wrote, cursor, report)?;
            }
            follows(&document, &mut next_entry, report)?;
            judge(&mut document, report)?;
        }
        for (wrote, cursor) in document.wrote.iter().zip(cursors.iter_mut()) {
            while let Some(row) = cursor.row() {
                stray(wrote, row, report)?;
                cursor.advance()?;
            }
        }
        Ok(document.digest.clone())
    })?;
    let head = if last.is_empty() { hex(&[0; 6]) } else { hex(&last) };
    report.found.head = head.chars().take(12).collect();
    Ok(())
}

/// Reads the next document's own columns; false where there is none.
fn read_head(
    document: &mut Document,
    heads: &mut Cursor<'_>,
    report: &mut Report<'_, '_>,
) -> Result<bool, Error> {
    if heads.row().is_none() {
        return Ok(false);
    }
    let before = document.id;
    document.head.clear();
    heads.take(&mut document.head)?;
    let digest = document.head.pop();
    document.head.truncate(head::WIDTH);
    document.digest = match digest {
        Some(Value::Blob(bytes)) => bytes.into_owned(),
        _ => Vec::new(),
    };
    document.id = whole(&document.head, 0)?;
    if Some(document.id) != before.checked_add(1) {
        let about = report.names.document(document.id);
        let should_be = format!("no. {}", before.saturating_add(1));
        report.add("I16 dense", about, should_be, format!("no. {}", document.id));
    }
    report.found.documents += 1;
    Ok(true)
}

/// Reads the rows of one document; rows of an earlier one that are met only now belong to none.
fn read_rows(
    id: i64,
    wrote: &mut Wrote,
    cursor: &mut Cursor<'_>,
    report: &mut Report<'_, '_>,
) -> Result<(), Error> {
    wrote.rows.clear();
    while let Some(row) = cursor.row() {
        let of = whole(row, wrote.document)?;
        if of > id {
            break;
        }
        if of < id {
            stray(wrote, row, report)?;
            cursor.advance()?;
            continue;
        }
        cursor.take(&mut wrote.rows)?;
        if wrote.document == wrote.width {
            wrote.rows.pop();
        }
    }
    Ok(())
}

/// Reports a row that no document wrote.
fn stray(wrote: &Wrote, row: &[Value], report: &mut Report<'_, '_>) -> Result<(), Error> {
    let of = whole(row, wrote.document)?;
    let about = format!("a row of {}: {}", wrote.table, super::cells::shown(row));
    let is = format!("document no. {of}, which did not write it");
    report.add("I19 no document", about, "a document that wrote it", is);
    Ok(())
}

/// The document's lines of bin cards are those it counts, numbered on from the last document's.
fn follows(document: &Document, next_entry: &mut i64, report: &mut Report<'_, '_>) -> Result<(), Error> {
    let first = whole(&document.head, head::FIRST_ENTRY)?;
    let counted = whole(&document.head, head::ENTRIES)?;
    let mut found = 0;
    let mut dense = first == *next_entry;
    for row in document.rows("entry") {
        let id = whole(row, 0)?;
        dense &= id == *next_entry;
        *next_entry = id.saturating_add(1);
        found += 1;
    }
    if !dense || found != counted {
        let about = format!("the lines of {}", report.names.document(document.id));
        let should_be = format!("{counted} from no. {first} on, after those of the document before");
        report.add(
            "I16 dense",
            about,
            should_be,
            format!("{found}, up to no. {}", next_entry.saturating_sub(1)),
        );
    }
    report.found.entries += found;
    Ok(())
}
