//! Rows of files become one document: names resolved to numbers, records made, opening cards brought forward.
//!
//! Every row that cannot be taken is told, with its place; nothing is taken where one cannot.

mod jobs;
mod kits;
mod people;
mod shelves;
mod things;

use crate::cmd::error::Failure;
use crate::cmd::shop::Scene;
use crate::db::names::Names;
use crate::domain::measure::Day;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::record::{Datum, Record, Table};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::intake::{Fault, Faults, Intake, Placed};

/// What is being taken on: the names known so far, the facts, the records made and the faults found.
pub(crate) struct Taking {
    names: Names,
    stock: Stock,
    records: Vec<Record>,
    faults: Faults,
}

/// Turns rows into one posting, or tells every fault.
pub fn take_on(scene: &Scene<'_, '_>, intake: &Intake) -> Result<Posting, Failure> {
    let mut taking = Taking {
        names: Names::read(scene.books)?,
        stock: scene.gather()?.done(),
        records: Vec::new(),
        faults: Faults::default(),
    };
    for part in taking.names.parts.values() {
        taking.stock.parts.insert(part.id, part.clone());
    }
    for place in taking.names.places.values() {
        taking.stock.places.insert(place.id, place.clone());
    }
    taking.people(intake);
    taking.parties(intake);
    taking.bins(intake);
    taking.parts(intake);
    taking.sizes(intake);
    taking.engines(intake);
    taking.bills(intake);
    taking.bill_lines(intake);
    taking.prices(intake);
    taking.rates(intake);
    taking.orders(intake, scene.currency);
    taking.jobs(intake, scene)?;
    let mut draft = Draft::new(&taking.stock, scene.head(DocKind::Import));
    taking.opening_stock(intake, &mut draft);
    if !taking.faults.is_empty() {
        return Err(Failure::Faults(taking.faults));
    }
    draft.posting.records = taking.records;
    Ok(draft.finish()?)
}

/// Nothing said.
fn nothing() -> Datum {
    Datum::Nothing
}

/// A day or nothing.
fn day(day: Option<Day>) -> Datum {
    day.into()
}

impl Taking {
    /// Makes a record.
    fn record(&mut self, table: Table, data: Vec<Datum>) {
        self.records.push(Record { table, data });
    }

    /// Tells a fault of a row.
    fn fault<T>(
        &mut self,
        row: &Placed<T>,
        heading: &str,
        text: &str,
        reason: impl Into<String>,
        hint: &str,
    ) {
        self.faults.push(Fault::at(row, heading, text, reason, hint));
    }

    /// Tells that a name is not known.
    fn unknown<T>(&mut self, row: &Placed<T>, heading: &str, text: &str, what: &str) {
        let hint = format!("put the {what} into its file, or spell it as the books do");
        self.fault(row, heading, text, format!("no {what} of that name"), &hint);
    }

    /// Tells that a name stands in the books already.
    fn doubled<T>(&mut self, row: &Placed<T>, heading: &str, text: &str, what: &str) {
        let reason = format!("the {what} is in the books already");
        self.fault(row, heading, text, reason, "leave the row out; import only adds");
    }
}
