//! Raising a job: the bill frozen for one engine, with a kit, a crate and a line for each need.

use crate::domain::kitting::bill::{Bill, Choices};
use crate::domain::kitting::expand::Expanded;
use crate::domain::measure::number::job_number;
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::ids::{JobId, PlaceId};
use crate::domain::stores::record::{Datum, Record, Table};

/// What a job is raised with.
#[derive(Clone, Debug)]
pub struct Raise<'a> {
    /// The bill it is frozen from.
    pub bill: &'a Bill,
    /// The choices taken.
    pub choices: &'a Choices,
    /// What one engine needs by them.
    pub expanded: &'a Expanded,
    /// The engine.
    pub engine: PlaceId,
    /// Whose lots it may use besides the house's.
    pub customer: Option<PlaceId>,
    /// The colour of its box.
    pub tag: Option<String>,
    /// The day its parts are fitted.
    pub use_day: Day,
    /// Which job goes first on the same day; 1 is first.
    pub priority: i64,
}

/// The numbers that a new job takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct JobNumbers {
    /// The job's.
    pub job: JobId,
    /// Its kit's.
    pub kit: PlaceId,
    /// Its crate's.
    pub crate_place: PlaceId,
    /// Its first line's; the others follow.
    pub first_line: i64,
}

/// The records of a new job.
pub fn raise(ask: &Raise<'_>, numbers: JobNumbers) -> Vec<Record> {
    let number = job_number(numbers.job.0);
    let mut records = vec![
        place(
            numbers.kit,
            &format!("KIT-{}", numbers.job.0),
            &format!("kit of {number}"),
        ),
        place(
            numbers.crate_place,
            &format!("CRATE-{}", numbers.job.0),
            &format!("take-off parts of {number}"),
        ),
        Record {
            table: Table::Job,
            data: vec![
                numbers.job.0.into(),
                number.into(),
                ask.bill.id.0.into(),
                ask.choices.to_string().into(),
                ask.tag.clone().into(),
                numbers.kit.0.into(),
                numbers.crate_place.0.into(),
                ask.engine.0.into(),
                ask.customer.map(|customer| customer.0).into(),
                ask.use_day.into(),
                ask.priority.into(),
                "open".into(),
                Datum::Nothing,
            ],
        },
    ];
    for (n, need) in (1_i64..).zip(&ask.expanded.needs) {
        let most: Qty = need.part.most(need.qty);
        records.push(Record {
            table: Table::JobLine,
            data: vec![
                (numbers.first_line + n - 1).into(),
                numbers.job.0.into(),
                n.into(),
                need.part.id.0.into(),
                need.choice.clone().into(),
                need.how.as_str().into(),
                ",new,".into(),
                false.into(),
                need.qty.into(),
                most.into(),
            ],
        });
    }
    records
}

/// The record of a place of a job.
fn place(id: PlaceId, code: &str, name: &str) -> Record {
    let nothing = || Datum::Nothing;
    let data = vec![
        id.0.into(),
        code.into(),
        name.into(),
        nothing(),
        nothing(),
        false.into(),
        nothing(),
        nothing(),
    ];
    Record {
        table: Table::Place,
        data,
    }
}
