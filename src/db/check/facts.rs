//! What the rules are judged by: the records that stand now, read once.

use super::cells::{day, maybe_whole, text, whole};
use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::schema;
use crate::db::value::Value;
use crate::domain::measure::Day;
use std::collections::{HashMap, HashSet};

/// A lot, as far as a rule asks for it.
pub(super) struct Lot {
    pub(super) part: i64,
    pub(super) child: bool,
    pub(super) owner: Option<i64>,
    pub(super) size: Option<i64>,
    pub(super) specific: bool,
    pub(super) opened: bool,
    pub(super) condition: String,
    pub(super) expiry: Option<Day>,
    /// Its owner was changed since it was made, so that its past is judged by no rule about owners.
    pub(super) owner_changed: bool,
    /// Its expiry was changed since it was made, so that its past is judged by no rule about dead goods.
    pub(super) expiry_changed: bool,
}

/// A part, as far as a rule asks for it.
pub(super) struct Part {
    pub(super) hand_out: Option<i64>,
    pub(super) bench_stock: bool,
}

/// A job, as far as a rule asks for it.
pub(super) struct Job {
    pub(super) customer: Option<i64>,
    pub(super) use_day: Option<Day>,
    pub(super) document: i64,
}

/// A job line, as far as a rule asks for it.
pub(super) struct Line {
    pub(super) job: i64,
    pub(super) part: i64,
    pub(super) allows: String,
}

/// A row of the law.
#[derive(Clone, Copy)]
pub(super) struct Lawful {
    pub(super) while_held: bool,
    pub(super) fresh: bool,
}

/// The records that stand now.
#[derive(Default)]
pub(super) struct Facts {
    pub(super) lots: HashMap<i64, Lot>,
    pub(super) parts: HashMap<i64, Part>,
    pub(super) jobs: HashMap<i64, Job>,
    pub(super) lines: HashMap<i64, Line>,
    /// The part of each order line.
    pub(super) order_parts: HashMap<i64, i64>,
    /// What each lot was made of.
    pub(super) parents: HashMap<i64, Vec<i64>>,
    /// Each cost layer with its part, its lot, and whether it is shared.
    pub(super) layers: HashMap<i64, (i64, Option<i64>, bool)>,
    /// The law that the program decides by.
    pub(super) law: HashMap<i64, Lawful>,
}

/// Goes through the rows of a statement one by one.
pub(super) fn every(
    books: &Open<'_>,
    sql: &str,
    mut work: impl FnMut(&[Value]) -> Result<(), Error>,
) -> Result<(), Error> {
    books.side_by_side(&[sql], |cursors| {
        for cursor in cursors {
            while let Some(row) = cursor.row() {
                work(row)?;
                cursor.advance()?;
            }
        }
        Ok(())
    })
}

impl Facts {
    /// Reads them.
    pub(super) fn read(books: &Open<'_>) -> Result<Facts, Error> {
        let mut facts = Facts::default();
        let law = schema::law_rows().into_iter();
        facts.law = law
            .map(|(id, _, _, _, while_held, fresh, _)| (id, Lawful { while_held, fresh }))
            .collect();
        facts.read_goods(books)?;
        facts.read_jobs(books)?;
        Ok(facts)
    }

    fn read_goods(&mut self, books: &Open<'_>) -> Result<(), Error> {
        let mut changed: HashSet<(i64, bool)> = HashSet::new();
        let sql = "SELECT what_id, field FROM change WHERE what = 'lot' AND field IN ('owner', 'expiry')";
        every(books, sql, |row| {
            changed.insert((whole(row, 0)?, text(row, 1)? == "owner"));
            Ok(())
        })?;
        let sql = "SELECT id, part, child, owner, size, specific, opened, condition, expiry FROM lot";
        every(books, sql, |row| {
            let id = whole(row, 0)?;
            let lot = Lot {
                part: whole(row, 1)?,
                child: whole(row, 2)? != 0,
                owner: maybe_whole(row, 3)?,
                size: maybe_whole(row, 4)?,
                specific: whole(row, 5)? != 0,
                opened: row.get(6) != Some(&Value::Null),
                condition: text(row, 7)?.to_owned(),
                expiry: day(row, 8)?,
                owner_changed: changed.contains(&(id, true)),
                expiry_changed: changed.contains(&(id, false)),
            };
            self.lots.insert(id, lot);
            Ok(())
        })?;
        every(books, "SELECT lot, parent FROM lot_parent", |row| {
            self.parents
                .entry(whole(row, 0)?)
                .or_default()
                .push(whole(row, 1)?);
            Ok(())
        })?;
        every(books, "SELECT id, hand_out, bench_stock FROM part", |row| {
            let part = Part {
                hand_out: maybe_whole(row, 1)?.filter(|unit| *unit > 0),
                bench_stock: whole(row, 2)? != 0,
            };
            self.parts.insert(whole(row, 0)?, part);
            Ok(())
        })?;
        every(books, "SELECT id, part, lot, shared FROM layer", |row| {
            let pool = (whole(row, 1)?, maybe_whole(row, 2)?, whole(row, 3)? != 0);
            self.layers.insert(whole(row, 0)?, pool);
            Ok(())
        })
    }

    fn read_jobs(&mut self, books: &Open<'_>) -> Result<(), Error> {
        every(books, "SELECT id, customer, use_day, document FROM job", |row| {
            let job = Job {
                customer: maybe_whole(row, 1)?,
                use_day: day(row, 2)?,
                document: whole(row, 3)?,
            };
            self.jobs.insert(whole(row, 0)?, job);
            Ok(())
        })?;
        every(books, "SELECT id, job, part, allows FROM job_line", |row| {
            let line = Line {
                job: whole(row, 1)?,
                part: whole(row, 2)?,
                allows: text(row, 3)?.to_owned(),
            };
            self.lines.insert(whole(row, 0)?, line);
            Ok(())
        })?;
        every(books, "SELECT id, part FROM order_line", |row| {
            self.order_parts.insert(whole(row, 0)?, whole(row, 1)?);
            Ok(())
        })
    }

    /// The hand-out unit of a lot that is not opened, where its part has one.
    pub(super) fn hand_out(&self, lot: &Lot) -> Option<i128> {
        let unit = self.parts.get(&lot.part)?.hand_out?;
        (!lot.opened).then_some(i128::from(unit))
    }

    /// The job of a line.
    pub(super) fn job_of(&self, line: i64) -> Option<(i64, &Job)> {
        let job = self.lines.get(&line)?.job;
        Some((job, self.jobs.get(&job)?))
    }

    /// Whether a lot is another customer's than the job of a line may use.
    pub(super) fn strange_to(&self, lot: &Lot, line: i64) -> bool {
        let customer = self.job_of(line).and_then(|(_, job)| job.customer);
        lot.owner.is_some() && lot.owner != customer
    }
}
