//! The rows of a posting, as the tables take them and as the chain digests them: one and the same.

use super::next;
use crate::db::books::Open;
use crate::db::canon::Canon;
use crate::db::error::Error;
use crate::db::tables::{LOT, shape};
use crate::db::value::{Value, values};
use crate::domain::stores::lot::Lot;
use crate::domain::stores::posting::{Claim, Entry, Held, HoldRow, Posting, Source};
use crate::domain::stores::record::{Datum, TABLES, Table};

/// The rows of a posting as the tables take them and the chain digests them. Both want the same rows; most are made
/// anew for each, because keeping those of a long import costs more than making them.
pub(super) struct Rows<'p> {
    posting: &'p Posting,
    document: i64,
    /// The number of the first line of a bin card, the first claim and the first change.
    first: (i64, i64, i64),
    /// Invariant: the law's row of each entry, in their order.
    laws: Vec<i64>,
    parents: Vec<[Value<'p>; 2]>,
    records: Vec<(Table, Vec<Value<'p>>)>,
}

impl<'p> Rows<'p> {
    /// The rows of a posting whose document and first entry bear these numbers.
    pub(super) fn of(
        books: &Open<'_>,
        posting: &'p Posting,
        document: i64,
        first: i64,
    ) -> Result<Rows<'p>, Error> {
        let law = |entry: &Entry| {
            let law = entry.law().map(|law| law.id());
            law.ok_or_else(|| Error::Refused(format!("no law for {entry:?}")))
        };
        let claim = next(books, "SELECT COALESCE(MAX(id), 0) + 1 FROM claim")?;
        let change = next(books, "SELECT COALESCE(MAX(id), 0) + 1 FROM change")?;
        let parents = posting.parents.iter();
        let mut parents: Vec<_> = parents.map(|(lot, parent)| values![lot.0, parent.0]).collect();
        parents.sort();
        let records = posting.records.iter();
        Ok(Rows {
            posting,
            document,
            first: (first, claim, change),
            laws: posting.entries.iter().map(law).collect::<Result<_, _>>()?,
            parents,
            records: records
                .map(|record| (record.table, record_row(&record.data, document)))
                .collect(),
        })
    }

    fn entries(&self) -> impl ExactSizeIterator<Item = [Value<'_>; 11]> {
        let numbered = self.posting.entries.iter().zip(&self.laws).enumerate();
        numbered.map(|(after, (entry, law))| {
            values![
                self.first.0 + after as i64,
                self.document,
                *law,
                entry.lot.0,
                entry.from.0,
                entry.to.0,
                entry.from_line,
                entry.to_line,
                entry.qty,
                entry.value,
                entry.layer.map(|layer| layer.0),
            ]
        })
    }

    fn claims(&self) -> impl ExactSizeIterator<Item = [Value<'_>; 7]> {
        let numbered = self.posting.claims.iter().enumerate();
        numbered.map(|(after, claim)| claim_row(self.first.1 + after as i64, self.document, claim))
    }

    fn changes(&self) -> impl ExactSizeIterator<Item = [Value<'_>; 7]> {
        let numbered = self.posting.changes.iter().enumerate();
        numbered.map(|(after, change)| {
            values![
                self.first.2 + after as i64,
                self.document,
                change.field.table(),
                change.id,
                change.field.column(),
                change.old.as_deref(),
                change.new.as_deref()
            ]
        })
    }

    fn holds(&self) -> impl ExactSizeIterator<Item = [Value<'_>; 6]> {
        let holds = self.posting.holds.iter();
        holds.map(|hold| hold_row(self.document, hold))
    }

    fn lots(&self) -> impl ExactSizeIterator<Item = [Value<'_>; 19]> {
        self.posting.lots.iter().map(|lot| lot_row(lot))
    }

    /// The digest of the document and all that it wrote.
    pub(super) fn hash(&self, previous: &[u8], document: &[Value]) -> [u8; 32] {
        let mut canon = Canon::after(previous);
        canon.rows("document", [document].into_iter());
        canon.rows("entry", self.entries());
        canon.rows("lot_parent", self.parents.iter());
        canon.rows("claim", self.claims());
        canon.rows("hold", self.holds());
        canon.rows("change", self.changes());
        canon.rows("lot", self.lots());
        for table in TABLES {
            let rows = self
                .records
                .iter()
                .filter(|(of, _)| *of == table)
                .map(|(_, row)| row.as_slice());
            let mut rows: Vec<&[Value<'_>]> = rows.collect();
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
                books.run_each(shape(*table).insert, of_one.iter().map(|(_, row)| row))?;
            }
        }
        books.run_each(LOT.insert, self.lots())?;
        books.run_each(
            "INSERT INTO lot_parent (lot, parent) VALUES ($1, $2)",
            self.parents.iter(),
        )
    }

    /// The lines of the bin cards.
    pub(super) fn write_entries(&self, books: &Open<'_>) -> Result<(), Error> {
        books.run_each(
            "INSERT INTO entry (id, document, law, lot, from_place, to_place, from_line, to_line, qty, value, layer) \
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)",
            self.entries(),
        )
    }

    /// Changes, claims and holds as they are logged.
    pub(super) fn write_promises(&self, books: &Open<'_>) -> Result<(), Error> {
        books.run_each(
            "INSERT INTO change (id, document, what, what_id, field, old, new) VALUES ($1, $2, $3, $4, $5, $6, $7)",
            self.changes(),
        )?;
        books.run_each(
            "INSERT INTO claim (id, document, line, lot, order_line, qty, why) VALUES ($1, $2, $3, $4, $5, $6, $7)",
            self.claims(),
        )?;
        books.run_each(
            "INSERT INTO hold (id, document, lot, place, cause, lifts) VALUES ($1, $2, $3, $4, $5, $6)",
            self.holds(),
        )
    }
}

fn claim_row(number: i64, document: i64, claim: &Claim) -> [Value<'_>; 7] {
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
}

fn hold_row(document: i64, hold: &HoldRow) -> [Value<'_>; 6] {
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
}

fn lot_row(lot: &Lot) -> [Value<'_>; 19] {
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
        lot.batch.as_deref(),
        lot.serial.as_deref(),
        lot.maker.as_deref(),
        lot.condition.as_str(),
        lot.made,
        lot.opened,
        lot.expiry,
        lot.expiry_how.as_deref(),
        lot.order_line.map(|line| line.0),
        lot.document.0,
    ]
}

/// A record's data with the document that makes it as the last column.
fn record_row(data: &[Datum], document: i64) -> Vec<Value<'_>> {
    let mut row: Vec<Value<'_>> = data
        .iter()
        .map(|datum| match datum {
            Datum::Nothing => Value::Null,
            Datum::Whole(whole) => Value::Int(*whole),
            Datum::Text(text) => Value::from(text.as_str()),
        })
        .collect();
    row.push(Value::Int(document));
    row
}
