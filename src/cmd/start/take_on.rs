//! Rows of files become one document: names resolved to numbers, records made, opening cards brought forward.
//!
//! Every row that cannot be taken is told, with its place; nothing is taken where one cannot.

mod jobs;
mod jobs_changed;
mod kits;
mod orders;
mod packs;
mod people;
mod shelves;
mod standing;
mod things;

use crate::cmd::error::Failure;
use crate::cmd::progress::Progress;
use crate::cmd::shop::Scene;
use crate::cmd::start::people::manager_says;
use crate::cmd::start::settings::rules_say;
use crate::db::names::Names;
use crate::domain::kitting::alter::Alter;
use crate::domain::measure::Day;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::JobId;
use crate::domain::stores::posting::{Change, Posting};
use crate::domain::stores::record::{Datum, Record, Table};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::intake::{Fault, Faults, Intake, Placed};
use crate::print::tracing::undo_slip::stripped_notes;
pub use standing::Changed;
use standing::Known;
use std::collections::HashMap;

/// What is being taken on: the names known so far, the facts, the records made and the faults found.
pub(crate) struct Taking<'p> {
    names: Names,
    stock: Stock,
    records: Vec<Record>,
    changes: Vec<Change>,
    /// Changes of records that are still to be judged, each with the fault it is where it may not be made.
    asked: Vec<(Change, Fault)>,
    /// What is changed of open jobs.
    altered: Vec<(JobId, Alter)>,
    known: Known,
    progress: &'p mut Progress,
    /// What the reader should look at, though it was taken on.
    cautions: Vec<String>,
    faults: Faults,
}

/// What is taken on.
#[derive(Debug)]
pub struct Taken {
    /// The document; none where the books have everything as the rows have it.
    pub posting: Option<Posting>,
    /// How many rows of each file the books had already.
    pub passed: HashMap<&'static str, usize>,
    /// What is changed, field by field.
    pub changed: Vec<Changed>,
    /// The reservations that are given up because a job is needed on another day, a line each.
    pub stripped: Vec<String>,
    /// Numbers that read like others.
    pub cautions: Vec<String>,
}

/// Turns rows into one posting, or tells every fault. Records that are there already are changed where that is asked
/// for, and faults where it is not.
pub fn take_on(
    scene: &Scene<'_, '_>,
    intake: &Intake,
    update: bool,
    progress: &mut Progress,
) -> Result<Taken, Failure> {
    let mut taking = Taking {
        names: Names::read(scene.books)?,
        stock: scene.gather()?.done(),
        records: Vec::new(),
        changes: Vec::new(),
        asked: Vec::new(),
        altered: Vec::new(),
        known: Known::read(scene, intake, update)?,
        progress,
        cautions: Vec::new(),
        faults: Faults::default(),
    };
    taking.names.parts.reserve(intake.parts.len());
    taking.records.reserve(intake.parts.len());
    for part in taking.names.parts.values() {
        taking.stock.parts.insert(part.id, part.clone());
    }
    for place in taking.names.places.values() {
        taking.stock.places.insert(place.id, place.clone());
    }
    taking.people(intake);
    if taking.touches_people() {
        manager_says(scene, "an import that changes who may sign")?;
    }
    taking.parties(intake);
    taking.bins(intake);
    taking.parts(intake);
    taking.sizes(intake);
    taking.packs(intake);
    taking.engines(intake);
    taking.bills(intake);
    taking.bill_lines(intake);
    taking.prices(intake);
    taking.rates(intake);
    taking.rules(intake);
    taking.stand_ins(intake);
    taking.lives(intake);
    if taking.touches_rules() {
        rules_say(scene, "an import that changes what goods are asked for")?;
    }
    taking.orders(intake, scene)?;
    taking.jobs(intake, scene)?;
    taking.judge_changes(scene)?;
    taking.gather_altered(scene)?;
    let facts = std::mem::replace(&mut taking.stock, scene.gather()?.done());
    let mut draft = Draft::over(facts, scene.head(DocKind::Import));
    for (job, alter) in &taking.altered {
        draft.alter(*job, alter)?;
    }
    taking.opening_stock(intake, &mut draft);
    if !taking.faults.is_empty() {
        return Err(Failure::Faults(taking.faults));
    }
    draft.posting.records = taking.records;
    draft.posting.changes.append(&mut taking.changes);
    let (posting, stock) = draft.finish_with_stock()?;
    let stripped = stripped_notes(&stock, &posting.stripped);
    let nothing = posting.records.is_empty() && posting.entries.is_empty() && posting.changes.is_empty();
    Ok(Taken {
        posting: (!nothing).then_some(posting),
        passed: taking.known.passed,
        changed: taking.known.changed,
        stripped,
        cautions: taking.cautions,
    })
}

/// Nothing said.
fn nothing() -> Datum {
    Datum::Nothing
}

/// A day or nothing.
fn day(day: Option<Day>) -> Datum {
    day.into()
}

impl Taking<'_> {
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
        self.fault(
            row,
            heading,
            text,
            reason,
            "leave the row out, or give it another name",
        );
    }
}
