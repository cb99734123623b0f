//! Jobs: each raised as `job raise` raises it, from a bill in the books or from one that comes with the same import.

use super::Taking;
use crate::cmd::bench::bill_called;
use crate::cmd::error::Failure;
use crate::cmd::shop::Scene;
use crate::db::estimating::sizes_of;
use crate::db::kitting::bills::{first_day, sub_bill};
use crate::db::kitting::jobs::{engine, jobs};
use crate::domain::kitting::bill::{Bill, BillLine, LineKind, Per};
use crate::domain::kitting::expand::{Model, expand};
use crate::domain::kitting::raise::{JobNumbers, Raise, raise};
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{BillId, JobId, PartId, PlaceId};
use crate::domain::stores::law::Kind;
use crate::domain::stores::record::Table;
use crate::intake::rows_kits::{BillLineRow, BillRow, JobRow};
use crate::intake::words::PartClass;
use crate::intake::{Intake, Listed};
use std::collections::{BTreeMap, BTreeSet};

/// An engine as a job asks for it: its place, its model and its customer.
type Engine = (PlaceId, String, Option<PlaceId>);

impl Taking<'_> {
    /// Raises every job; what cannot be raised is told with its place.
    pub(super) fn jobs(&mut self, intake: &Intake, scene: &Scene<'_, '_>) -> Result<(), Failure> {
        let open = jobs(scene.books, false)?;
        let mut tags: BTreeSet<String> = open.into_iter().filter_map(|job| job.tag).collect();
        for placed in &intake.jobs {
            self.progress.step();
            let row = &placed.row;
            let row_in_full = self.with_customer(row, intake, scene)?;
            if self.known.has("jobs", &row_in_full.cells()) || self.changes_job(placed, &row_in_full) {
                continue;
            }
            if let Some(tag) = &row.tag
                && !tags.insert(tag.clone())
            {
                let reason = "the open job of that tag is in the books already";
                let hint = "--update changes its day of use and its priority; another job bears another tag";
                self.fault(placed, "tag", tag, reason, hint);
                continue;
            }
            match self.job(row, intake, scene) {
                Ok(()) => {}
                Err(Failure::Refusal(refusal)) => {
                    let (heading, text) = cell_of(row, &refusal);
                    let hint = "the bill, its model and the engine must be in the books or come with the job";
                    self.fault(placed, heading, &text, refusal.to_string(), hint);
                }
                Err(other) => return Err(other),
            }
        }
        Ok(())
    }

    /// The row as the books would have it: without a customer it is the engine's.
    fn with_customer(&self, row: &JobRow, intake: &Intake, scene: &Scene<'_, '_>) -> Result<JobRow, Failure> {
        let mut row = row.clone();
        if row.customer.is_none()
            && let Some((_, _, Some(owner))) = self.engine(&row.engine, intake, scene)?
        {
            row.customer = self.stock.places.get(&owner).map(|place| place.code.clone());
        }
        Ok(row)
    }

    /// The engine of a serial, as it stands after the rows of this import.
    fn engine(
        &self,
        serial: &str,
        intake: &Intake,
        scene: &Scene<'_, '_>,
    ) -> Result<Option<Engine>, Failure> {
        let Some(placed) = intake.engines.iter().find(|placed| placed.row.serial == serial) else {
            return Ok(engine(scene.books, serial)?);
        };
        let owner = placed.row.customer.as_ref();
        let owner = owner.and_then(|code| self.names.place_of_kind(code, Kind::Customer));
        let place = self.names.engines.get(serial);
        Ok(place.map(|place| (*place, placed.row.model.clone(), owner.map(|owner| owner.id))))
    }

    fn job(&mut self, row: &JobRow, intake: &Intake, scene: &Scene<'_, '_>) -> Result<(), Failure> {
        let bill = self.bill(&row.conversion, intake, scene)?;
        let asked: Vec<(String, String)> = row
            .choices
            .iter()
            .map(|c| (c.group.clone(), c.choice.clone()))
            .collect();
        let choices = bill.choose(&asked)?;
        let found = self.engine(&row.engine, intake, scene)?;
        let (place, model, owner) = found.ok_or_else(|| unknown("engine", &row.engine))?;
        let customer = match &row.customer {
            None => owner,
            Some(code) => {
                let known = self
                    .names
                    .place_of_kind(code, Kind::Customer)
                    .map(|place| place.id);
                Some(known.ok_or_else(|| unknown("customer", code))?)
            }
        };
        let model = self.model(&model, intake, scene)?;
        let expanded = expand(&bill, &choices, &model, &self.stock.parts)?;
        let ask = Raise {
            bill: &bill,
            choices: &choices,
            expanded: &expanded,
            engine: place,
            customer,
            tag: row.tag.clone(),
            use_day: row.use_day,
            priority: row.priority,
        };
        let numbers = self.job_numbers(expanded.needs.len());
        self.records.extend(raise(&ask, numbers));
        Ok(())
    }

    /// The numbers of a job with so many lines.
    fn job_numbers(&mut self, lines: usize) -> JobNumbers {
        let first_line = self.names.next(Table::JobLine);
        for _ in 1..lines {
            self.names.next(Table::JobLine);
        }
        JobNumbers {
            job: JobId(self.names.next(Table::Job)),
            kit: self.names.next_place(Kind::Kit),
            crate_place: self.names.next_place(Kind::Crate),
            first_line,
        }
    }

    /// The conversion's bill that holds on the day, with those of its sub-assemblies: of those in the books and those
    /// that come with this import the one that began last.
    fn bill(&self, called: &str, intake: &Intake, scene: &Scene<'_, '_>) -> Result<Bill, Failure> {
        let row = self.newest_row(called, intake, scene);
        let mut top = match (bill_called(scene, called), row) {
            (booked, None) => booked?,
            (Ok(booked), Some(row)) if self.began_later(&booked, row, scene)? => booked,
            (_, Some(row)) => self
                .bill_of(row, intake)
                .ok_or_else(|| unknown("conversion", called))?,
        };
        let mut ahead = top.goes_on();
        let mut looked = BTreeSet::from([top.part]);
        while let Some(part) = ahead.pop() {
            if !looked.insert(part) {
                continue;
            }
            if let Some(sub) = self.sub_bill(part, intake, scene)? {
                ahead.extend(sub.goes_on());
                top.subs.insert(part, sub);
            }
        }
        Ok(top)
    }

    /// The bill of a sub-assembly, alone.
    fn sub_bill(
        &self,
        part: PartId,
        intake: &Intake,
        scene: &Scene<'_, '_>,
    ) -> Result<Option<Bill>, Failure> {
        let booked = sub_bill(scene.books, part, scene.day)?;
        let number = self.stock.parts.get(&part).map(|part| part.number.as_str());
        let Some(row) = number.and_then(|number| self.newest_row(number, intake, scene)) else {
            return Ok(booked);
        };
        match booked {
            Some(booked) if self.began_later(&booked, row, scene)? => Ok(Some(booked)),
            _ => Ok(self.bill_of(row, intake)),
        }
    }

    /// The row of a new bill of this part that holds on the day and began last.
    fn newest_row<'i>(&self, called: &str, intake: &'i Intake, scene: &Scene<'_, '_>) -> Option<&'i BillRow> {
        let first_new = BillId(self.first_new_bill());
        let holds = |row: &&BillRow| {
            self.bill_number(row) >= Some(first_new)
                && row.part.eq_ignore_ascii_case(called)
                && row.from_day.is_none_or(|from| from <= scene.day)
                && row.until_day.is_none_or(|until| until >= scene.day)
        };
        let rows = intake.bills.iter().map(|placed| &placed.row);
        rows.filter(holds)
            .max_by_key(|row| (row.from_day, self.bill_number(row)))
    }

    /// Whether a bill in the books began later than that of a row.
    fn began_later(&self, booked: &Bill, row: &BillRow, scene: &Scene<'_, '_>) -> Result<bool, Failure> {
        let began = (first_day(scene.books, booked.id)?, Some(booked.id));
        Ok(began > (row.from_day, self.bill_number(row)))
    }

    fn bill_number(&self, row: &BillRow) -> Option<BillId> {
        let key = (row.part.clone(), row.revision.clone());
        self.names.bills.get(&key).copied()
    }

    /// A bill as its rows have it; none where one of them could not be taken, which is told already.
    fn bill_of(&self, row: &BillRow, intake: &Intake) -> Option<Bill> {
        let part = self.names.parts.get(&row.part)?;
        let lines = intake.bill_lines.iter().map(|placed| &placed.row);
        let mut lines: Vec<BillLine> = lines
            .filter(|line| line.bill == row.part && line.revision == row.revision)
            .map(|line| self.line_of(line))
            .collect::<Option<_>>()?;
        lines.sort_by_key(|line| line.n);
        Some(Bill {
            id: self.bill_number(row)?,
            part: part.id,
            number: row.part.clone(),
            name: part.name.clone(),
            revision: row.revision.clone(),
            fits: row.fits.clone(),
            data_source: row.data_source.clone(),
            lines,
            subs: BTreeMap::new(),
        })
    }

    fn line_of(&self, row: &BillLineRow) -> Option<BillLine> {
        let part = match &row.part {
            None => None,
            Some(number) => Some(self.names.part(number)?),
        };
        Some(BillLine {
            n: row.n,
            kind: LineKind::from_word(row.kind.word())?,
            part,
            qty: row.qty.unwrap_or(Qty::ZERO).to_decimal(),
            per: row
                .per
                .map_or(Some(Per::Engine), |per| Per::from_word(per.word()))?,
            waste_pct: row.waste.unwrap_or(Qty::ZERO).to_decimal(),
            choice: row
                .choice
                .as_ref()
                .map(|taken| (taken.group.clone(), taken.choice.clone())),
            text: row.text.clone(),
        })
    }

    /// An engine model with what it has of what is counted, by the books and by the rows of this import.
    fn model(&self, number: &str, intake: &Intake, scene: &Scene<'_, '_>) -> Result<Model, Failure> {
        let found = self.names.parts.get(number);
        let part = found
            .filter(|part| part.class == PartClass::EngineModel.word())
            .ok_or_else(|| unknown("engine model", number))?;
        let mut counts: BTreeMap<String, Qty> = sizes_of(scene.books, part.id)?;
        let rows = intake.sizes.iter().map(|placed| &placed.row);
        counts.extend(
            rows.filter(|row| row.part == number)
                .map(|row| (row.name.clone(), row.value)),
        );
        Ok(Model {
            number: number.to_owned(),
            counts,
        })
    }
}

fn unknown(what: &'static str, asked: &str) -> Refusal {
    Refusal::Unknown {
        what,
        asked: asked.to_owned(),
        near: vec![],
    }
}

/// Which cell of the row a refusal is about.
fn cell_of(row: &JobRow, refusal: &Refusal) -> (&'static str, String) {
    match refusal {
        Refusal::Unknown { what: "engine", .. } => ("engine", row.engine.clone()),
        Refusal::Unknown { what: "customer", .. } => ("customer", row.customer.clone().unwrap_or_default()),
        Refusal::ChoiceMissing { .. } | Refusal::ChoiceDoubled { .. } | Refusal::ChoiceUnknown { .. } => {
            let choices: Vec<String> = row
                .choices
                .iter()
                .map(|c| format!("{}={}", c.group, c.choice))
                .collect();
            ("choices", choices.join(" "))
        }
        _ => ("conversion", row.conversion.clone()),
    }
}
