//! The chain proved: every document digested again from what it wrote, records as they were when it made them.

use super::{Finding, Findings};
use crate::db::books::Open;
use crate::db::canon::{Canon, START};
use crate::db::error::Error;
use crate::db::post::{DOCUMENT, hex};
use crate::db::tables::{LOT, Shape, shape};
use crate::db::value::{Row, Value, values};
use crate::domain::stores::record::TABLES;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Rows by the document that wrote them.
type ByDocument = HashMap<i64, Vec<Vec<Value>>>;

/// What stood in a field before it was first changed, by table, record and column.
type Before = BTreeMap<(String, i64, String), Option<String>>;

/// Digests every document again and compares.
pub(super) fn prove(books: &Open<'_>, found: &mut Findings) -> Result<(), Error> {
    let tables = tables(books)?;
    let mut previous = START.to_vec();
    let (mut next_document, mut next_entry) = (1, 1);
    let mut known = BTreeSet::new();
    for row in books.rows(DOCUMENT, &[])? {
        let (id, first, entries) = (row.int(0)?, row.int(15)?, row.int(16)?);
        if id != next_document || first != next_entry {
            found.faults.push(Finding {
                rule: "I16 dense".to_owned(),
                about: format!("document {id}"),
            });
        }
        let mut canon = Canon::after(&previous);
        let head: Vec<Value> = row.0.iter().take(17).cloned().collect();
        canon.rows("document", [head.as_slice()].into_iter());
        let lines = books.rows(
            "SELECT id, document, law, lot, from_place, to_place, from_line, to_line, qty, value, layer FROM entry \
             WHERE id >= $1 AND id < $2 ORDER BY id",
            &values![first, first + entries],
        )?;
        canon.rows("entry", lines.iter().map(|row| row.0.as_slice()));
        for (table, rows) in &tables {
            let rows = rows.get(&id).map(Vec::as_slice).unwrap_or_default();
            canon.rows(table, rows.iter().map(Vec::as_slice));
        }
        let digest = canon.done();
        if row.blob(17)? != digest {
            found.faults.push(Finding {
                rule: "I19 chain".to_owned(),
                about: format!("document {id}"),
            });
        }
        previous = row.blob(17)?;
        known.insert(id);
        (next_document, next_entry) = (id + 1, first + entries);
        found.documents += 1;
        found.entries += entries;
    }
    found.head = hex(&previous);
    if found.documents > 0 && books.setting("head")?.as_ref() != Some(&found.head) {
        found.faults.push(Finding {
            rule: "I19 head".to_owned(),
            about: "the last document is another".to_owned(),
        });
    }
    found.faults.extend(strays(&tables, &known));
    Ok(())
}

/// Rows that bear the number of no document: the chain never came to them.
fn strays(tables: &[(&'static str, ByDocument)], known: &BTreeSet<i64>) -> Vec<Finding> {
    let mut strays = Vec::new();
    for (table, rows) in tables {
        let unknown: BTreeSet<&i64> = rows.keys().filter(|id| !known.contains(id)).collect();
        strays.extend(unknown.into_iter().map(|id| Finding {
            rule: "I19 no document".to_owned(),
            about: format!("{table} of document {id}"),
        }));
    }
    strays
}

/// Every table but documents and entries, its rows by the document that wrote them, in the order of the chain.
fn tables(books: &Open<'_>) -> Result<Vec<(&'static str, ByDocument)>, Error> {
    let before = before(books)?;
    let parents = "SELECT p.lot, p.parent, l.document FROM lot_parent p JOIN lot l ON l.id = p.lot ORDER BY p.lot, p.parent";
    let mut tables = vec![
        ("lot_parent", grouped(books.rows(parents, &[])?, Some(2))?),
        (
            "claim",
            log(
                books,
                "SELECT id, document, line, lot, order_line, qty, why FROM claim ORDER BY id",
            )?,
        ),
        (
            "hold",
            log(
                books,
                "SELECT id, document, lot, place, cause, lifts FROM hold ORDER BY id",
            )?,
        ),
        (
            "change",
            log(
                books,
                "SELECT id, document, what, what_id, field, old, new FROM change ORDER BY id",
            )?,
        ),
        ("lot", made(books, &LOT, &before)?),
    ];
    for table in TABLES {
        tables.push((shape(table).name, made(books, shape(table), &before)?));
    }
    Ok(tables)
}

/// What each field held before its first change.
fn before(books: &Open<'_>) -> Result<Before, Error> {
    let mut before = Before::new();
    for row in books.rows("SELECT what, what_id, field, old FROM change ORDER BY id", &[])? {
        before
            .entry((row.text(0)?, row.int(1)?, row.text(2)?))
            .or_insert(row.maybe_text(3)?);
    }
    Ok(before)
}

/// The rows of a log, whose second column is the document.
fn log(books: &Open<'_>, sql: &str) -> Result<ByDocument, Error> {
    let mut by_document = ByDocument::new();
    for row in books.rows(sql, &[])? {
        by_document.entry(row.int(1)?).or_default().push(row.0);
    }
    Ok(by_document)
}

/// Rows whose last column is the document; it is taken off where it is not part of the row.
fn grouped(rows: Vec<Row>, extra: Option<usize>) -> Result<ByDocument, Error> {
    let mut by_document = ByDocument::new();
    for mut row in rows {
        let document = row.int(row.0.len().saturating_sub(1))?;
        if let Some(kept) = extra {
            row.0.truncate(kept);
        }
        by_document.entry(document).or_default().push(row.0);
    }
    Ok(by_document)
}

/// The records of a table as they were when they were made: every later change walked back.
fn made(books: &Open<'_>, shape: &Shape, before: &Before) -> Result<ByDocument, Error> {
    let mut rows = books.rows(shape.made_by, &[])?;
    if shape.numbered {
        for row in &mut rows {
            let id = row.int(0)?;
            for (column, value) in shape.columns.iter().zip(&mut row.0) {
                if let Some(old) = before.get(&(shape.name.to_owned(), id, (*column).to_owned())) {
                    *value = as_made(value, old.as_ref());
                }
            }
        }
    }
    let mut by_document = grouped(rows, None)?;
    by_document.values_mut().for_each(|rows| rows.sort());
    Ok(by_document)
}

/// An old text as the column keeps it: a number where the column holds one now, or where it reads as one and the
/// column is empty now.
fn as_made(now: &Value, old: Option<&String>) -> Value {
    match (now, old) {
        (_, None) => Value::Null,
        (Value::Text(_), Some(text)) => Value::Text(text.clone()),
        (_, Some(text)) => text
            .parse()
            .map_or_else(|_| Value::Text(text.clone()), Value::Int),
    }
}
