//! What is wrong in a file: where, under which heading, what stands there, why it will not do, and what to do.

use std::collections::HashMap;
use std::fmt;

use super::sheet::{Placed, RecordAt, Sheet, Spot, printable};

/// How many different faults are printed.
const PRINTED: usize = 20;
/// How many faults are kept; more than these are only counted.
const KEPT: usize = 10_000;
/// How many lines are named where a fault repeats.
const LINES_NAMED: usize = 8;
/// How many characters of a cell are quoted.
const QUOTED: usize = 60;

/// One thing that is wrong in a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// The file's name, as it was given.
    pub file: String,
    /// The line, from 1.
    pub line: u64,
    /// The character in the line at which the cell begins, from 1.
    pub column: u64,
    /// The heading over the cell; empty where the fault is not of one cell.
    pub heading: String,
    /// What stands in the cell, cut after 60 characters; empty where it is blank.
    pub text: String,
    /// Why it will not do.
    pub reason: String,
    /// What to do about it; empty where the reason says it.
    pub hint: String,
    /// The line's text around the cell, and where the caret stands.
    spot: Spot,
}

impl Fault {
    /// A fault of a row that was read before, at the cell under `heading`: what a look into the store has shown.
    pub fn at<T>(
        placed: &Placed<T>,
        heading: &str,
        text: &str,
        reason: impl Into<String>,
        hint: impl Into<String>,
    ) -> Fault {
        Fault::under(
            &placed.sheet,
            placed.record,
            heading,
            text,
            reason.into(),
            hint.into(),
        )
    }

    /// A fault at the cell under `heading` in a record.
    pub(super) fn under(
        sheet: &Sheet,
        record: RecordAt,
        heading: &str,
        text: &str,
        reason: String,
        hint: String,
    ) -> Fault {
        let spot = sheet.spot_under(record, heading);
        Fault::on(&sheet.file, spot, reason, hint).named(heading, text)
    }

    /// A fault somewhere in a file.
    pub(super) fn on(file: &str, spot: Spot, reason: impl Into<String>, hint: impl Into<String>) -> Fault {
        let (line, column) = (spot.line, spot.column);
        Fault {
            file: file.to_owned(),
            line,
            column,
            heading: String::new(),
            text: String::new(),
            reason: reason.into(),
            hint: hint.into(),
            spot,
        }
    }

    /// A fault of a file as a whole.
    pub(super) fn of_file(file: &str, reason: impl Into<String>, hint: impl Into<String>) -> Fault {
        Fault::on(
            file,
            Spot {
                line: 1,
                column: 1,
                ..Spot::default()
            },
            reason,
            hint,
        )
    }

    /// The same fault with its heading and the text that stands there.
    pub(super) fn named(mut self, heading: &str, text: &str) -> Fault {
        heading.clone_into(&mut self.heading);
        self.text = quotable(text);
        self
    }

    /// Whether the other fault says the same of another row.
    fn like(&self) -> (&str, &str, &str, &str) {
        (&self.file, &self.heading, &self.reason, &self.hint)
    }
}

impl fmt::Display for Fault {
    /// `parts.csv:7:12: unit "metres": reason`, the line with a caret under the cell, and the hint.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}:{}: ", self.file, self.line, self.column)?;
        match (self.heading.is_empty(), self.text.is_empty()) {
            (true, true) => {}
            (true, false) => write!(f, "\"{}\": ", self.text)?,
            (false, true) => write!(f, "{}: ", self.heading)?,
            (false, false) => write!(f, "{} \"{}\": ", self.heading, self.text)?,
        }
        f.write_str(&self.reason)?;
        if !self.spot.excerpt.is_empty() {
            let (before, caret) = (" ".repeat(self.spot.caret_from), "^".repeat(self.spot.caret_len));
            write!(f, "\n    {}\n    {before}{caret}", self.spot.excerpt)?;
        }
        if !self.hint.is_empty() {
            write!(f, "\n    {}", self.hint)?;
        }
        Ok(())
    }
}

/// Every fault of the files read together; of a flood of them the first 10,000 in full.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Faults {
    /// Invariant: never more than `KEPT`.
    kept: Vec<Fault>,
    total: u64,
}

impl Faults {
    /// Adds a fault; past the first 10,000 it is only counted.
    pub fn push(&mut self, fault: Fault) {
        self.total += 1;
        if self.kept.len() < KEPT {
            self.kept.push(fault);
        }
    }

    /// Whether nothing is wrong.
    pub fn is_empty(&self) -> bool {
        self.total == 0
    }

    /// How many faults there are.
    pub fn total(&self) -> u64 {
        self.total
    }

    /// The faults in the order in which they were met.
    pub fn iter(&self) -> impl Iterator<Item = &Fault> {
        self.kept.iter()
    }

    /// The first of each sort of fault with the lines of those like it, in the order in which they were met.
    fn sorts(&self) -> Vec<(&Fault, Vec<u64>)> {
        let mut places = HashMap::new();
        let mut sorts: Vec<(&Fault, Vec<u64>)> = Vec::new();
        for fault in &self.kept {
            let place = *places.entry(fault.like()).or_insert(sorts.len());
            match sorts.get_mut(place) {
                Some((_, lines)) => lines.push(fault.line),
                None => sorts.push((fault, Vec::new())),
            }
        }
        sorts
    }
}

impl From<Fault> for Faults {
    fn from(fault: Fault) -> Faults {
        Faults {
            kept: vec![fault],
            total: 1,
        }
    }
}

impl Extend<Fault> for Faults {
    fn extend<I: IntoIterator<Item = Fault>>(&mut self, faults: I) {
        faults.into_iter().for_each(|fault| self.push(fault));
    }
}

impl std::error::Error for Faults {}

impl fmt::Display for Faults {
    /// At most 20 faults, those that repeat told once with their lines, and how many more there are.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut told = 0;
        for (number, (fault, others)) in self.sorts().into_iter().take(PRINTED).enumerate() {
            if number > 0 {
                f.write_str("\n")?;
            }
            write!(f, "{fault}")?;
            if !others.is_empty() {
                write!(
                    f,
                    "\n    and {} more like this: {}",
                    others.len(),
                    lines_named(&others)
                )?;
            }
            told += 1 + others.len() as u64;
        }
        match self.total.saturating_sub(told) {
            0 => Ok(()),
            more => write!(f, "\nand {more} more"),
        }
    }
}

/// `line 8` or `lines 8, 9, 12 …`.
fn lines_named(lines: &[u64]) -> String {
    let named: Vec<String> = lines.iter().take(LINES_NAMED).map(u64::to_string).collect();
    let word = if lines.len() == 1 { "line" } else { "lines" };
    let rest = if lines.len() > LINES_NAMED { " …" } else { "" };
    format!("{word} {}{rest}", named.join(", "))
}

/// What stands in a cell, on one line, cut after 60 characters.
fn quotable(text: &str) -> String {
    let mut quoted: String = text.chars().take(QUOTED).map(printable).collect();
    if text.chars().nth(QUOTED).is_some() {
        quoted.push('…');
    }
    quoted
}
