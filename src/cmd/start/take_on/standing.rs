//! A row held against what the books have: new, there already as it stands, or to be changed.

use super::Taking;
use crate::cmd::error::Failure;
use crate::cmd::shop::Scene;
use crate::db::leaning::stands_on;
use crate::db::sheets::{As, Standing, brought_forward, columns, on_order, ordered, records, written};
use crate::domain::stores::posting::Change;
use crate::intake::{Fault, Intake, Listed, Placed};
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
    /// The lines of orders and the open jobs, one by one.
    listed: HashMap<&'static str, Vec<Standing>>,
    /// The lines of orders that something came on already, as far as they are still to come, by their numbers.
    to_come: HashMap<i64, Vec<String>>,
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
            if stem == "orders" {
                let rows = on_order(scene.books)?.into_iter();
                known.to_come = rows.map(|row| (row.id, row.cells)).collect();
            }
        }
        Ok(known)
    }

    fn note(&mut self, stem: &'static str, standing: Vec<Standing>) {
        if matches!(stem, "stock" | "orders" | "jobs") {
            let rows = self.nameless.entry(stem).or_default();
            for row in &standing {
                *rows.entry(row.cells.clone()).or_default() += 1;
            }
            if stem != "stock" {
                self.listed.insert(stem, standing);
            }
            return;
        }
        let key = key_of(stem);
        let rows = standing.into_iter().map(|row| (name(&row.cells, &key), row));
        self.named.insert(stem, rows.collect());
    }

    /// Whether the books have any rows of a kind of which nothing else names one.
    pub(super) fn has_any(&self, stem: &str) -> bool {
        self.nameless.get(stem).is_some_and(|rows| !rows.is_empty())
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

    /// Whether a row of these cells is what is still to come on a line of an order, which then answers for it.
    pub(super) fn is_to_come(&mut self, cells: &[String]) -> bool {
        let mut lines = self.listed.get("orders").into_iter().flatten();
        let Some(line) =
            lines.find(|line| self.to_come.get(&line.id).is_some_and(|to_come| to_come == cells))
        else {
            return false;
        };
        self.to_come.remove(&line.id);
        self.has("orders", &line.cells.clone())
    }

    /// What is still to come on the line of this number, as `export` gives it.
    pub(super) fn to_come(&self, line: i64) -> Option<&Vec<String>> {
        self.to_come.get(&line)
    }

    /// The rows of the books that no row of the file answered for and that are alike in these columns.
    pub(super) fn alike(&self, stem: &str, cells: &[String], columns: &[usize]) -> Vec<Standing> {
        let left = |row: &&Standing| {
            let rows = self.nameless.get(stem).and_then(|rows| rows.get(&row.cells));
            rows.is_some_and(|left| *left > 0)
        };
        let like = |row: &&Standing| columns.iter().all(|at| row.cells.get(*at) == cells.get(*at));
        let rows = self.listed.get(stem).into_iter().flatten();
        rows.filter(left).filter(like).cloned().collect()
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

impl Taking<'_> {
    /// Whether the books have the record of a row: it is passed over, changed, or told as a fault; a new one is not.
    pub(super) fn is_known<T: Listed>(&mut self, placed: &Placed<T>) -> bool {
        self.progress.step();
        let Some(there) = self.known.named.get(T::STEM).filter(|rows| !rows.is_empty()) else {
            return false;
        };
        let cells = placed.row.cells();
        let which = name(&cells, &columns_of(T::HEADINGS, T::KEY));
        let Some(standing) = there.get(&which).cloned() else {
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
            let hint = stays(changed.stem, heading);
            self.fault(placed, heading, &new, format!("{reason}, and that stays"), hint);
            return true;
        };
        match self.value(form, &new) {
            None => {
                let what = if form == As::Part { "part" } else { "place" };
                self.unknown(placed, heading, &new, what);
            }
            Some(value) => {
                let old = self.value(form, &changed.old).flatten();
                let hint = stays(changed.stem, heading);
                let fault = Fault::at(placed, heading, &new, reason, hint);
                let change = Change {
                    field,
                    id,
                    old,
                    new: value,
                };
                self.asked.push((change, fault));
                self.known.changed.push(changed);
            }
        }
        true
    }

    /// Every change that was asked for is made, or told as a fault where something stands on the field.
    pub(super) fn judge_changes(&mut self, scene: &Scene<'_, '_>) -> Result<(), Failure> {
        for (change, mut fault) in std::mem::take(&mut self.asked) {
            match stands_on(scene.books, &change, 0)? {
                None => self.changes.push(change),
                Some(what) => {
                    fault.reason.push_str(", and that stays: ");
                    fault.reason.push_str(what);
                    self.faults.push(fault);
                }
            }
        }
        Ok(())
    }

    /// A cell as the books write it; none where it names a place or a part that nobody knows.
    fn value(&self, form: As, cell: &str) -> Option<Option<String>> {
        if cell.is_empty() {
            return Some(None);
        }
        let id = match form {
            As::Place => self.names.places.get(cell)?.id.0,
            As::Part => self.names.parts.get(cell)?.id.0,
            _ => return Some(written(form, cell)),
        };
        Some(Some(id.to_string()))
    }
}

/// What to do where a field of a record is not changed, or not any more.
pub(super) fn stays(stem: &str, heading: &str) -> &'static str {
    match (stem, heading) {
        ("parts", _) => "what is kept under it hangs on that; make a part of another number",
        ("bill_lines", _) => "make a new revision of the bill",
        ("lives", _) => "what came since was judged by it; give a rule from a later day",
        ("rates", _) => "give a rate from a later day",
        ("sizes", _) => "jobs and quotes were worked out with it; make a part of another number",
        ("packs", _) => "goods were counted in it; give the new pack a name of its own, such as box200",
        ("standins", _) => "end the pair by its last day (until_day), and record what holds as another pair",
        ("prices", _) => "a price is for the part's own unit; give a price from a later day",
        ("bins", "kind") => {
            "the kind is in the number under which the books keep the bin; make a bin of another code and move what \
             lies here: `bincard move LOT QTY --from BIN --to BIN`"
        }
        ("orders", "supplier" | "day") => {
            "that is the head of the whole order; close it and raise another: `bincard order`"
        }
        ("jobs", "choices") => "`bincard job change JOB --need LINE=QTY` changes what a line needs",
        ("jobs", _) => "that is another job: `bincard job cancel JOB`, then raise it anew",
        _ => "leave the row as the books have it",
    }
}
