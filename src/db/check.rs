//! Proving the books: the engine's own checks, the law of stock worked out anew from the bin cards, and the chain.
//!
//! Nothing derived is believed. One pass goes through the documents in order, each with everything it wrote: it digests
//! the chain again, judges each document by what stood before it, and adds up what must stand now. What was added up
//! is then held against what the books say. The tests state the same law a second time, as SQL, and hold the pass
//! against it.

mod cells;
mod chain;
mod changes;
mod claimed;
mod days;
mod documents;
mod facts;
mod judged;
mod making;
mod names;
mod papers;
mod shelves;
mod stands;
mod sums;

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::schema;
use crate::db::value::{Value, values};
pub use chain::standing_at;
pub use changes::NUMBERS_OR_NOTHING;
use names::Names;
use std::collections::BTreeMap;

/// One thing that is not as it should be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// Which rule is broken, one of `RULES`, such as `I7 over-reserved`.
    pub invariant: &'static str,
    /// What it is about, in the numbers that people write: lots, places, jobs, documents.
    pub about: String,
    /// What should stand there.
    pub should_be: String,
    /// What stands there.
    pub is: String,
}

/// What a check found.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Findings {
    /// How many documents were proved.
    pub documents: i64,
    /// How many lines of bin cards.
    pub entries: i64,
    /// The first twelve digits of the last document's digest; all noughts where there is none.
    pub head: String,
    /// What is not as it should be.
    pub faults: Vec<Finding>,
    /// Every rule that was proved.
    pub checked: Vec<&'static str>,
}

/// Every rule that a check proves; the numbers are those of the law.
pub const RULES: [&str; 63] = [
    ENGINE,
    SCHEMA,
    LAW_ITSELF,
    "I1 lot sum",
    "I2 balance qty/value",
    "I3 below zero",
    "I4 where it was not",
    "I5 whole",
    "I5 two places",
    "I6 pickable",
    "I7 reserved",
    "I7 over-reserved",
    "I7 pair below zero",
    "I8 held lot",
    "I8 held place",
    "I9 line",
    "I9 line over",
    "I10 supply",
    "I10 supply over",
    "I11 layer",
    "I11 shelf wants layer",
    "I12 shelf qty",
    "I12 own layer",
    "I12 layer of another lot",
    "I12 layer of another method",
    "I12 two averages",
    "I13 value sum",
    "I13 making",
    "I14 drawn",
    "I14 drawn over",
    "I15 owner",
    "I15 owned and valued",
    "I16 dense",
    "I17 claim dead on the day",
    "I18 claim by a stranger",
    "I18 used by a stranger",
    "I19 chain",
    "I19 head",
    "I19 no document",
    "I19 changed field",
    "I20 unlawful",
    "I21 condition",
    "I21 wrong part",
    "I22 claim in whole units",
    "I22 peg in whole units",
    "I22 pick in whole units",
    "I22 most",
    "I23 list",
    "I23 picked from an old list",
    "I24 issued beside a dropped choice",
    "I25 parents",
    "I25 no making",
    "I25 child",
    "I26 child outlives",
    "I26 child escapes a hold",
    "I26 child of another owner",
    "I27 moved when dead",
    "I27 reserved when dead",
    "I28 owner not asked",
    "I28 no due day",
    "I29 not bench stock",
    "I30 moved while held",
    DAYS,
];

/// The engine's own check of the file, and that no record names another that is not there.
const ENGINE: &str = "the engine's own check";
/// Tables, indexes and guards are as the steps of the schema made them.
const SCHEMA: &str = "the schema itself";
/// The law that stands in the books is the law that the program decides by.
const LAW_ITSELF: &str = "the law itself";
/// Every day is a day of the calendar.
const DAYS: &str = "days";

/// What is found on the way, and how to name it.
struct Report<'a, 'b> {
    names: Names<'a, 'b>,
    found: Findings,
}

impl Report<'_, '_> {
    /// Notes that something is not as it should be.
    fn add(
        &mut self,
        invariant: &'static str,
        about: String,
        should_be: impl Into<String>,
        is: impl Into<String>,
    ) {
        self.found.faults.push(Finding {
            invariant,
            about,
            should_be: should_be.into(),
            is: is.into(),
        });
    }
}

/// Proves the books; reads only.
pub fn check(books: &Open<'_>) -> Result<Findings, Error> {
    let mut report = Report {
        names: Names::of(books),
        found: Findings::default(),
    };
    for fault in books.integrity()? {
        report.add(ENGINE, "the file".to_owned(), "sound", fault);
    }
    for [about, should_be, is] in books.schema_faults()? {
        report.add(SCHEMA, about, should_be, is);
    }
    law_itself(books, &mut report)?;
    let facts = facts::Facts::read(books)?;
    let mut chain = chain::Chain::begin(changes::Changes::read(books, &mut report)?);
    let mut sums = sums::Sums::default();
    documents::each(books, &mut report, |document, report| {
        days::judge(document, report)?;
        chain.prove(document, report)?;
        judged::judge(&facts, &sums, document, report)?;
        making::judge(&facts, &sums, document, report)?;
        sums.take(&facts, document)
    })?;
    chain.finish(books, &mut report)?;
    stands::compare(books, &facts, &sums, &mut report)?;
    shelves::compare(books, &facts, &sums, &mut report)?;
    claimed::compare(books, &facts, &sums, &mut report)?;
    papers::compare(books, &mut report)?;
    making::families(&facts, &mut report);
    report.found.checked = RULES.to_vec();
    Ok(report.found)
}

/// Where the law that stands in the books is not the law that the program decides by: every entry leans on it.
fn law_itself(books: &Open<'_>, report: &mut Report<'_, '_>) -> Result<(), Error> {
    let mut decided: BTreeMap<i64, Vec<Value>> = schema::law_rows()
        .into_iter()
        .map(|(id, movement, from, to, while_held, fresh, who)| {
            let row = Vec::from(values![id, movement, from, to, while_held, fresh, who]);
            (id, row)
        })
        .collect();
    let sql = "SELECT id, movement, from_kind, to_kind, while_held, fresh, who FROM law ORDER BY id";
    for row in books.rows(sql, &[])? {
        let id = row.int(0)?;
        let wanted = decided.remove(&id);
        if wanted.as_ref() != Some(&row.0) {
            let wanted = wanted.map_or("no such row".to_owned(), |row| cells::shown(&row));
            report.add(LAW_ITSELF, format!("row {id}"), wanted, cells::shown(&row.0));
        }
    }
    for (id, row) in decided {
        report.add(LAW_ITSELF, format!("row {id}"), cells::shown(&row), "no such row");
    }
    Ok(())
}
