//! Open jobs that a row changes: the day of use and the priority; what needs another bill or engine is another job.

use super::Taking;
use super::standing::{Changed, stays};
use crate::cmd::error::Failure;
use crate::cmd::shop::Scene;
use crate::db::kitting::jobs::gather_jobs;
use crate::db::sheets::Standing;
use crate::domain::kitting::alter::Alter;
use crate::domain::stores::ids::JobId;
use crate::intake::rows_kits::JobRow;
use crate::intake::{Listed, Placed};

/// Where conversion, engine and tag stand in a row.
const CONVERSION: usize = 0;
const ENGINE: usize = 2;
const TAG: usize = 4;

impl Taking<'_> {
    /// Whether the row is about an open job in the books, which it changes: that of its tag; without a tag, that of its
    /// conversion and engine.
    pub(super) fn changes_job(&mut self, placed: &Placed<JobRow>, row: &JobRow) -> bool {
        if !self.known.update {
            return false;
        }
        let cells = row.cells();
        let columns: &[usize] = match row.tag {
            Some(_) => &[TAG],
            None => &[TAG, CONVERSION, ENGINE],
        };
        let found = self.known.alike("jobs", &cells, columns);
        match found.as_slice() {
            [] => return false,
            [standing] => self.change_job(placed, row, standing),
            _ => {
                let reason = "several open jobs without a tag are of this conversion and engine";
                let hint = "which of them is meant cannot be told; `bincard job change JOB` changes one";
                self.fault(placed, "engine", &row.engine, reason, hint);
            }
        }
        true
    }

    fn change_job(&mut self, placed: &Placed<JobRow>, row: &JobRow, standing: &Standing) {
        let job = JobId(standing.id);
        if self.altered.iter().any(|(altered, _)| *altered == job) {
            let reason = "an earlier row changes that job already";
            return self.fault(placed, "engine", &row.engine, reason, "leave one of them");
        }
        let which = row.tag.clone().unwrap_or_else(|| row.engine.clone());
        let cells = row.cells();
        for (at, (old, new)) in standing.cells.iter().zip(&cells).enumerate() {
            if old == new {
                continue;
            }
            let heading = JobRow::HEADINGS.get(at).copied().unwrap_or_default();
            let alter = match heading {
                "use_day" => Alter::UseDay(row.use_day),
                "priority" => Alter::Priority(row.priority),
                _ => {
                    let reason =
                        format!("{which} is in the books already, with \"{old}\" there, and that stays");
                    self.fault(placed, heading, new, reason, stays("jobs", heading));
                    continue;
                }
            };
            self.altered.push((job, alter));
            self.known.changed.push(Changed {
                stem: "jobs",
                which: which.clone(),
                heading,
                old: old.clone(),
                new: new.clone(),
            });
        }
    }

    /// Reads what could serve the jobs that are changed.
    pub(super) fn gather_altered(&mut self, scene: &Scene<'_, '_>) -> Result<(), Failure> {
        if self.altered.is_empty() {
            return Ok(());
        }
        let jobs: Vec<JobId> = self.altered.iter().map(|(job, _)| *job).collect();
        let mut facts = scene.gather()?;
        gather_jobs(&mut facts, &jobs)?;
        let known = std::mem::replace(&mut self.stock, facts.done());
        // What the rows made of parts and places holds.
        self.stock.parts.extend(known.parts);
        self.stock.places.extend(known.places);
        Ok(())
    }
}
