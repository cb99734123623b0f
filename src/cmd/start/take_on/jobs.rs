//! Jobs: each raised from a bill that is in the books, as `job raise` raises it.

use super::Taking;
use crate::cmd::bench::{bill_called, expanded_for};
use crate::cmd::error::Failure;
use crate::cmd::shop::Scene;
use crate::db::kitting::jobs::{engine, jobs};
use crate::domain::kitting::raise::{JobNumbers, Raise, raise};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::JobId;
use crate::domain::stores::law::Kind;
use crate::domain::stores::record::Table;
use crate::intake::Intake;
use crate::intake::rows_kits::JobRow;
use std::collections::BTreeSet;

impl Taking {
    /// Raises every job; what cannot be raised is told with its place.
    pub(super) fn jobs(&mut self, intake: &Intake, scene: &Scene<'_, '_>) -> Result<(), Failure> {
        let open = jobs(scene.books, false)?;
        let mut tags: BTreeSet<String> = open.into_iter().filter_map(|job| job.tag).collect();
        for placed in &intake.jobs {
            let row = &placed.row;
            if let Some(tag) = &row.tag
                && !tags.insert(tag.clone())
            {
                self.doubled(placed, "tag", tag, "open job of that tag");
                continue;
            }
            match self.job(row, scene) {
                Ok(()) => {}
                Err(Failure::Refusal(refusal)) => {
                    let (heading, text) = cell_of(row, &refusal);
                    let hint = "the bill, its model and the engine must be in the books before the job";
                    self.fault(placed, heading, &text, refusal.to_string(), hint);
                }
                Err(other) => return Err(other),
            }
        }
        Ok(())
    }

    fn job(&mut self, row: &JobRow, scene: &Scene<'_, '_>) -> Result<(), Failure> {
        let bill = bill_called(scene, &row.conversion)?;
        let asked: Vec<(String, String)> = row
            .choices
            .iter()
            .map(|c| (c.group.clone(), c.choice.clone()))
            .collect();
        let choices = bill.choose(&asked)?;
        let unknown = |what, asked: &str| Refusal::Unknown {
            what,
            asked: asked.to_owned(),
            near: vec![],
        };
        let found = engine(scene.books, &row.engine)?;
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
        let expanded = expanded_for(scene, &bill, &choices, &model)?;
        let first_line = self.names.next(Table::JobLine);
        for _ in 1..expanded.needs.len() {
            self.names.next(Table::JobLine);
        }
        let numbers = JobNumbers {
            job: JobId(self.names.next(Table::Job)),
            kit: self.names.next_place(Kind::Kit),
            crate_place: self.names.next_place(Kind::Crate),
            first_line,
        };
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
        self.records.extend(raise(&ask, numbers));
        Ok(())
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
