//! A row held against what the books have: new, there already as it stands, or to be changed.

use super::Taking;
use crate::cmd::error::Failure;
use crate::cmd::shop::Scene;
use crate::db::sheets::{As, Standing, brought_forward, columns, ordered, records, written};
use crate::domain::stores::posting::Change;
use crate::intake::{Intake, Listed, Placed};
use std::collections::HashMap;

/// One field of a record in the books that a row changes, in the words of the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Changed {
    /// The stem of the file.
    pub stem: &'static str,
    /// What names the record.
    pub which: String,
    /// The heading over the cell.
    pub heading: &'static str,
    /// What the books have.
    pub old: String,
    /// What the row has.
    pub new: String,
}

/// Stands between the parts of a name; no cell holds it.
const BETWEEN: &str = "\u{1f}";

/// What the books have of the kinds of rows that are taken on.
#[derive(Debug, Default)]
pub(super) struct Known {
    /// Whether records that differ are to be changed.
    pub update: bool,
    /// Records by the stem of their file and what names them.
    named: HashMap<&'static str, HashMap<String, Standing>>,
    /// How often a row of these cells stands in the books, where nothing else names it.
    nameless: HashMap<&'static str, HashMap<Vec<String>, usize>>,
    /// How many rows of each file were there already.
    pub passed: HashMap<&'static str, usize>,
    /// What is changed.
    pub changed: Vec<Changed>,
}

impl Known {
    /// Reads what the books have of every kind that the intake has rows of.
    pub(super) fn read(scene: &Scene<'_, '_>, intake: &Intake, update: bool) -> Result<Known, Failure> {
        let mut known = Known {
            update,
            ..Known::default()
        };
        for (stem, _) in intake.counts().into_iter().filter(|(_, count)| *count > 0) {
            let standing = match stem {
                "stock" => brought_forward(scene.books)?,
                "orders" => ordered(scene.books)?,
                _ => records(scene.books, stem)?,
            };
            known.note(stem, standing);
        }
        Ok(known)
    }

    fn note(&mut self, stem: &'static str, standing: Vec<Standing>) {
        if matches!(stem, "stock" | "orders" | "jobs") {
            let rows = self.nameless.entry(stem).or_default();
            for row in standing {
                *rows.entry(row.cells).or_default() += 1;
            }
            return;
        }
        let key = key_of(stem);
        let rows = standing.into_iter().map(|row| (name(&row.cells, &key), row));
        self.named.insert(stem, rows.collect());
    }

    /// Whether a row of these cells stands in the books; each row of the books answers for one row of the file.
    pub(super) fn has(&mut self, stem: &'static str, cells: &Vec<String>) -> bool {
        let left = self.nameless.get_mut(stem).and_then(|rows| rows.get_mut(cells));
        let Some(left) = left.filter(|left| **left > 0) else {
            return false;
        };
        *left -= 1;
        *self.passed.entry(stem).or_default() += 1;
        true
    }

    /// What lies in what, by the codes of the bins.
    pub(super) fn parents(&self) -> HashMap<String, String> {
        let bins = self.named.get("bins").into_iter().flat_map(HashMap::values);
        let pair = |bin: &Standing| Some((bin.cells.first()?.clone(), bin.cells.get(3)?.clone()));
        bins.filter_map(pair).collect()
    }
}

/// The columns that name a record of a file.
fn key_of(stem: &str) -> Vec<usize> {
    let found = crate::intake::KEYS.iter().find(|(of, _, _)| *of == stem);
    found.map_or_else(Vec::new, |(_, headings, key)| columns_of(headings, key))
}

fn columns_of(headings: &[&str], key: &[&str]) -> Vec<usize> {
    let at = |name: &&str| headings.iter().position(|heading| heading == name);
    key.iter().filter_map(at).collect()
}

/// What names a record: the cells of its key.
fn name(cells: &[String], key: &[usize]) -> String {
    let named = key.iter().filter_map(|at| cells.get(*at)).map(String::as_str);
    named.collect::<Vec<_>>().join(BETWEEN)
}

impl Taking {
    /// Whether the books have the record of a row: it is passed over, changed, or told as a fault; a new one is not.
    pub(super) fn is_known<T: Listed>(&mut self, placed: &Placed<T>) -> bool {
        let cells = placed.row.cells();
        let which = name(&cells, &columns_of(T::HEADINGS, T::KEY));
        let found = self.known.named.get(T::STEM).and_then(|rows| rows.get(&which));
        let Some(standing) = found.cloned() else {
            return false;
        };
        let differing: Vec<usize> = (0..cells.len())
            .filter(|at| standing.cells.get(*at) != cells.get(*at))
            .collect();
        if differing.is_empty() {
            *self.known.passed.entry(T::STEM).or_default() += 1;
        }
        for at in differing {
            let heading = T::HEADINGS.get(at).copied().unwrap_or_default();
            let text = |row: &[String]| row.get(at).cloned().unwrap_or_default();
            let changed = Changed {
                stem: T::STEM,
                which: which.replace(BETWEEN, " "),
                heading,
                old: text(&standing.cells),
                new: text(&cells),
            };
            if !self.change(placed, at, standing.id, changed) {
                break;
            }
        }
        true
    }

    /// Changes one field of a record, or tells why not; whether the other fields are worth looking at.
    fn change<T>(&mut self, placed: &Placed<T>, at: usize, id: i64, changed: Changed) -> bool {
        let has = if changed.old.is_empty() {
            "nothing there".to_owned()
        } else {
            format!("\"{}\" there", changed.old)
        };
        let reason = format!("{} is in the books already, with {has}", changed.which);
        let (heading, new) = (changed.heading, changed.new.clone());
        if !self.known.update {
            let hint = "--update changes it; without, import only adds";
            self.fault(placed, heading, &new, reason, hint);
            return false;
        }
        let column = columns(changed.stem).get(at).copied();
        let Some((form, Some(field))) = column else {
            let hint = stays(changed.stem);
            self.fault(placed, heading, &new, format!("{reason}, and that stays"), hint);
            return true;
        };
        match self.value(form, &new) {
            None => self.unknown(placed, heading, &new, "place"),
            Some(value) => {
                let old = self.value(form, &changed.old).flatten();
                self.changes.push(Change {
                    field,
                    id,
                    old,
                    new: value,
                });
                self.known.changed.push(changed);
            }
        }
        true
    }

    /// A cell as the books write it; none where it names a place that nobody knows.
    fn value(&self, form: As, cell: &str) -> Option<Option<String>> {
        if form != As::Place || cell.is_empty() {
            return Some(written(form, cell));
        }
        let place = self.names.places.get(cell)?;
        Some(Some(place.id.0.to_string()))
    }
}

/// What to do where a field of a record is never changed.
fn stays(stem: &str) -> &'static str {
    match stem {
        "parts" => "what is kept under it hangs on that; make a part of another number",
        "bill_lines" => "make a new revision of the bill",
        "rates" => "give a rate from a later day",
        "sizes" => "jobs and quotes were worked out with it; make a part of another number",
        _ => "leave the row as the books have it",
    }
}
