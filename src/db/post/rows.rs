//! The rows of a posting, as the tables take them and as the chain digests them: one and the same.

use super::next;
use crate::db::books::Open;
use crate::db::canon::Canon;
use crate::db::error::Error;
use crate::db::tables::{LOT, shape};
use crate::db::value::{Value, values};
use crate::domain::stores::lot::Lot;
use crate::domain::stores::posting::{Claim, Held, HoldRow, Posting, Source};
use crate::domain::stores::record::{Datum, TABLES, Table};

/// The rows of a posting as the tables take them and the chain digests them.
pub(super) struct Rows {
    entries: Vec<Vec<Value>>,
    parents: Vec<Vec<Value>>,
    claims: Vec<Vec<Value>>,
    holds: Vec<Vec<Value>>,
    changes: Vec<Vec<Value>>,
    lots: Vec<Vec<Value>>,
    records: Vec<(Table, Vec<Value>)>,
}

impl Rows {
    /// The rows of a posting whose document and first entry bear these numbers.
    pub(super) fn of(books: &Open<'_>, posting: &Posting, id: i64, first: i64) -> Result<Rows, Error> {
        let mut entries = Vec::new();
        for (number, entry) in (first..).zip(&posting.entries) {
            let law = entry
                .law()
                .ok_or_else(|| Error::Refused(format!("no law for {entry:?}")))?
                .id();
            entries.push(
                values![
                    number,
                    id,
                    law,
                    entry.lot.0,
                    entry.from.0,
                    entry.to.0,
                    entry.from_line,
                    entry.to_line,
                    entry.qty,
                    entry.value,
                    entry.layer.map(|layer| layer.0),
                ]
                .to_vec(),
            );
        }
        let claim = next(books, "SELECT COALESCE(MAX(id), 0) + 1 FROM claim")?;
        let change = next(books, "SELECT COALESCE(MAX(id), 0) + 1 FROM change")?;
        let parents = posting
            .parents
            .iter()
            .map(|(lot, parent)| values![lot.0, parent.0].to_vec());
        let changes = (change..).zip(&posting.changes).map(|(number, c)| {
            values![
                number,
                id,
                c.field.table(),
                c.id,
                c.field.column(),
                c.old.clone(),
                c.new.clone()
            ]
            .to_vec()
        });
        let mut parents: Vec<Vec<Value>> = parents.collect();
        parents.sort();
        Ok(Rows {
            entries,
            parents,
            claims: (claim..)
                .zip(&posting.claims)
                .map(|(number, claim)| claim_row(number, id, claim))
                .collect(),
            holds: posting.holds.iter().map(|hold| hold_row(id, hold)).collect(),
            changes: changes.collect(),
            lots: posting.lots.iter().map(lot_row).collect(),
            records: posting
                .records
                .iter()
                .map(|record| (record.table, record_row(&record.data, id)))
                .collect(),
        })
    }

    /// The digest of the document and all that it wrote.
    pub(super) fn hash(&self, previous: &[u8], document: &[Value]) -> [u8; 32] {
        let mut canon = Canon::after(previous);
        canon.rows("document", [document].into_iter());
        for (table, rows) in [
            ("entry", &self.entries),
            ("lot_parent", &self.parents),
            ("claim", &self.claims),
            ("hold", &self.holds),
            ("change", &self.changes),
            ("lot", &self.lots),
        ] {
            canon.rows(table, rows.iter().map(Vec::as_slice));
        }
        for table in TABLES {
            let rows = self
                .records
                .iter()
                .filter(|(of, _)| *of == table)
                .map(|(_, row)| row.as_slice());
            let mut rows: Vec<&[Value]> = rows.collect();
            // In the order of their values, so that the books may give them back in any.
            rows.sort();
            canon.rows(shape(table).name, rows.into_iter());
        }
        canon.done()
    }

    /// Records, then lots, then which lots went into which.
    pub(super) fn write(&self, books: &Open<'_>) -> Result<(), Error> {
        // In the order in which they were made: a record may lean on one of another table made before it.
        for of_one in self.records.chunk_by(|(one, _), (next, _)| one == next) {
            if let Some((table, _)) = of_one.first() {
                books.run_each(shape(*table).insert, of_one.iter().map(|(_, row)| row.as_slice()))?;
            }
        }
        books.run_each(LOT.insert, self.lots.iter().map(Vec::as_slice))?;
        books.run_each(
            "INSERT INTO lot_parent (lot, parent) VALUES ($1, $2)",
            self.parents.iter().map(Vec::as_slice),
        )
    }

    /// The lines of the bin cards.
    pub(super) fn write_entries(&self, books: &Open<'_>) -> Result<(), Error> {
        books.run_each(
            "INSERT INTO entry (id, document, law, lot, from_place, to_place, from_line, to_line, qty, value, layer) \
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)",
            self.entries.iter().map(Vec::as_slice),
        )
    }

    /// Changes, claims and holds as they are logged.
    pub(super) fn write_promises(&self, books: &Open<'_>) -> Result<(), Error> {
        books.run_each(
            "INSERT INTO change (id, document, what, what_id, field, old, new) VALUES ($1, $2, $3, $4, $5, $6, $7)",
            self.changes.iter().map(Vec::as_slice),
        )?;
        books.run_each(
            "INSERT INTO claim (id, document, line, lot, order_line, qty, why) VALUES ($1, $2, $3, $4, $5, $6, $7)",
            self.claims.iter().map(Vec::as_slice),
        )?;
        books.run_each(
            "INSERT INTO hold (id, document, lot, place, cause, lifts) VALUES ($1, $2, $3, $4, $5, $6)",
            self.holds.iter().map(Vec::as_slice),
        )
    }
}

fn claim_row(number: i64, document: i64, claim: &Claim) -> Vec<Value> {
    let (lot, order) = match claim.source {
        Source::Lot(lot) => (Some(lot.0), None),
        Source::Order(order) => (None, Some(order.0)),
    };
    values![
        number,
        document,
        claim.line.0,
        lot,
        order,
        claim.qty,
        claim.why.word()
    ]
    .to_vec()
}

fn hold_row(document: i64, hold: &HoldRow) -> Vec<Value> {
    let (lot, place) = match hold.on {
        Held::Lot(lot) => (Some(lot.0), None),
        Held::Place(place) => (None, Some(place.0)),
    };
    values![
        hold.id.0,
        document,
        lot,
        place,
        hold.cause.as_str(),
        hold.lifts.map(|lifted| lifted.0)
    ]
    .to_vec()
}

fn lot_row(lot: &Lot) -> Vec<Value> {
    values![
        lot.id.0,
        lot.number.as_str(),
        lot.part.0,
        lot.child,
        lot.pending,
        lot.owner.map(|owner| owner.0),
        lot.size,
        lot.specific,
        lot.off_engine.map(|engine| engine.0),
        lot.batch.clone(),
        lot.serial.clone(),
        lot.maker.clone(),
        lot.condition.as_str(),
        lot.made,
        lot.opened,
        lot.expiry,
        lot.expiry_how.clone(),
        lot.order_line.map(|line| line.0),
        lot.document.0,
    ]
    .to_vec()
}

/// A record's data with the document that makes it as the last column.
fn record_row(data: &[Datum], document: i64) -> Vec<Value> {
    let mut row: Vec<Value> = data
        .iter()
        .map(|datum| match datum {
            Datum::Nothing => Value::Null,
            Datum::Whole(whole) => Value::Int(*whole),
            Datum::Text(text) => Value::Text(text.clone()),
        })
        .collect();
    row.push(Value::Int(document));
    row
}
