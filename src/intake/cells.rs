//! The cells of one row, read under their headings; whatever will not do is added to the faults.
//!
//! Every reading gives `None` where it has added a fault, so that a row reads all its cells before it gives up.

use std::fmt::Display;
use std::sync::Arc;

use csv::StringRecord;

use super::csv_file::MOST_CELL_BYTES;
use super::fault::{Fault, Faults};
use super::labels::{made_on_a_label, on_a_label};
use super::sheet::{RecordAt, Sheet};
use super::words::Word;
use crate::domain::measure::near::nearest;
use crate::domain::measure::printed::Made;
use crate::domain::measure::{Currency, Day, Life, Money, Qty, Unit};

/// The longest name, code or number, in characters.
const MOST_NAME_LETTERS: usize = 200;

/// One row's cells.
pub(super) struct Cells<'a> {
    pub sheet: &'a Arc<Sheet>,
    pub record: &'a StringRecord,
    pub at: RecordAt,
    pub faults: &'a mut Faults,
}

impl<'a> Cells<'a> {
    /// What stands under a heading, without spaces around it.
    pub fn raw(&self, heading: &str) -> &'a str {
        let index = self.sheet.headings.iter().position(|known| *known == heading);
        index
            .and_then(|index| self.record.get(index))
            .unwrap_or("")
            .trim()
    }

    /// Adds a fault of the cell under a heading.
    pub fn fault(&mut self, heading: &str, reason: impl Into<String>, hint: impl Into<String>) {
        let text = self.raw(heading);
        self.faults.push(Fault::under(
            self.sheet,
            self.at,
            heading,
            text,
            reason.into(),
            hint.into(),
        ));
    }

    /// Adds a fault of the cell and gives nothing.
    pub(super) fn no<T>(
        &mut self,
        heading: &str,
        reason: impl Into<String>,
        hint: impl Into<String>,
    ) -> Option<T> {
        self.fault(heading, reason, hint);
        None
    }

    /// What stands under a heading, blank or not, unless no cell may hold it.
    fn cell(&mut self, heading: &str) -> Option<&'a str> {
        let text = self.raw(heading);
        if text.len() > MOST_CELL_BYTES {
            return self.no(heading, "is longer than 64 KiB", "");
        }
        match text.chars().find(|letter| letter.is_control()) {
            None => Some(text),
            Some('\n' | '\r') => self.no(
                heading,
                "holds a line break",
                "write it on one line; is a quote mark left open?",
            ),
            Some(letter) => {
                let reason = format!("holds the control character U+{:04X}", u32::from(letter));
                self.no(heading, reason, "take it out")
            }
        }
    }

    /// What stands under a heading that must not be blank.
    fn filled(&mut self, heading: &str) -> Option<&'a str> {
        match self.cell(heading)? {
            "" => self.no(heading, "is blank", ""),
            text => Some(text),
        }
    }

    /// Reads a cell that may be blank.
    pub fn unless_blank<T>(
        &mut self,
        heading: &str,
        read: impl FnOnce(&mut Self) -> Option<T>,
    ) -> Option<Option<T>> {
        match self.cell(heading)? {
            "" => Some(None),
            _ => read(self).map(Some),
        }
    }

    /// Reads a cell by one of the domain's readers, which says itself what is wrong and what to write.
    pub fn parsed<T, E: Display>(&mut self, heading: &str, parse: fn(&str) -> Result<T, E>) -> Option<T> {
        let text = self.filled(heading)?;
        parse(text)
            .map_err(|fault| self.fault(heading, unquoted(&fault, text), ""))
            .ok()
    }

    /// A text of any length.
    pub fn long_text(&mut self, heading: &str) -> Option<String> {
        self.filled(heading).map(|text| unguarded(text).to_owned())
    }

    /// A text of any length, or none.
    pub fn maybe_long_text(&mut self, heading: &str) -> Option<Option<String>> {
        self.unless_blank(heading, |cells| cells.long_text(heading))
    }

    /// A name, a code or a number: at most 200 characters.
    pub fn text(&mut self, heading: &str) -> Option<String> {
        let text = self.long_text(heading)?;
        if text.chars().nth(MOST_NAME_LETTERS).is_some() {
            return self.no(
                heading,
                format!("is longer than {MOST_NAME_LETTERS} characters"),
                "",
            );
        }
        Some(text)
    }

    /// A name, a code or a number, or none.
    pub fn maybe_text(&mut self, heading: &str) -> Option<Option<String>> {
        self.unless_blank(heading, |cells| cells.text(heading))
    }

    /// A quantity in a part's unit, or any other exact number.
    pub fn qty(&mut self, heading: &str) -> Option<Qty> {
        self.parsed(heading, Qty::parse)
    }

    /// A quantity above zero.
    pub fn some_qty(&mut self, heading: &str) -> Option<Qty> {
        let qty = self.qty(heading)?;
        if qty.is_positive() {
            Some(qty)
        } else {
            self.no(heading, "is not above zero", "")
        }
    }

    /// A quantity above zero, or none.
    pub fn maybe_some_qty(&mut self, heading: &str) -> Option<Option<Qty>> {
        self.unless_blank(heading, |cells| cells.some_qty(heading))
    }

    /// A quantity not below zero.
    pub fn qty_or_zero(&mut self, heading: &str) -> Option<Qty> {
        let qty = self.qty(heading)?;
        if qty >= Qty::ZERO {
            Some(qty)
        } else {
            self.no(heading, "is below zero", "")
        }
    }

    /// An amount of money not below zero.
    pub fn money(&mut self, heading: &str) -> Option<Money> {
        let money = self.parsed(heading, Money::parse)?;
        if money >= Money::ZERO {
            Some(money)
        } else {
            self.no(heading, "is below zero", "")
        }
    }

    /// A day.
    pub fn day(&mut self, heading: &str) -> Option<Day> {
        self.parsed(heading, Day::parse)
    }

    /// A day, or none.
    pub fn maybe_day(&mut self, heading: &str) -> Option<Option<Day>> {
        self.unless_blank(heading, |cells| cells.day(heading))
    }

    /// The last day of what a label says, or none: a day, a month, a quarter or a week.
    ///
    /// A file may be read in any year, so a code of four digits, which leaves the decade out, is refused.
    pub fn maybe_expiry(&mut self, heading: &str) -> Option<Option<Day>> {
        self.unless_blank(heading, |cells| {
            cells.parsed(heading, on_a_label).map(|printed| printed.last)
        })
    }

    /// When a thing was made, as its label has it, or nothing.
    pub fn maybe_made(&mut self, heading: &str) -> Option<Option<Made>> {
        self.unless_blank(heading, |cells| cells.parsed(heading, made_on_a_label))
    }

    /// A span of days of which the last does not come before the first, either left open where it is blank.
    pub fn span(&mut self, first: &str, last: &str) -> Option<(Option<Day>, Option<Day>)> {
        let (from, until) = (self.maybe_day(first), self.maybe_day(last));
        self.in_order(last, first, from?, until?)
    }

    /// Two days as they are, unless the one under `last` comes before the one under `first`.
    pub fn in_order(
        &mut self,
        last: &str,
        first: &str,
        from: Option<Day>,
        until: Option<Day>,
    ) -> Option<(Option<Day>, Option<Day>)> {
        if from.zip(until).is_some_and(|(from, until)| until < from) {
            return self.no(last, format!("comes before {first}"), "");
        }
        Some((from, until))
    }

    /// A whole number from zero, up to nine digits.
    pub fn count(&mut self, heading: &str) -> Option<i64> {
        let text = self.filled(heading)?;
        let plain = text.len() <= 9 && text.bytes().all(|byte| byte.is_ascii_digit());
        match text.parse() {
            Ok(count) if plain => Some(count),
            _ => self.no(
                heading,
                "is not a whole number",
                "write it in digits alone, nine at most",
            ),
        }
    }

    /// A whole number from zero, or none.
    pub fn maybe_count(&mut self, heading: &str) -> Option<Option<i64>> {
        self.unless_blank(heading, |cells| cells.count(heading))
    }

    /// `yes` or `no`.
    pub fn flag(&mut self, heading: &str) -> Option<bool> {
        match self.filled(heading)? {
            "yes" => Some(true),
            "no" => Some(false),
            _ => self.no(heading, "is neither yes nor no", ""),
        }
    }

    /// A unit that parts are kept in.
    pub fn unit(&mut self, heading: &str) -> Option<Unit> {
        let text = self.filled(heading)?;
        let guess = || {
            nearest(text, Unit::ALL.map(Unit::symbol))
                .map(meant)
                .unwrap_or_default()
        };
        Unit::parse(text)
            .map_err(|fault| self.fault(heading, unquoted(&fault, text), guess()))
            .ok()
    }

    /// One of the words of a type.
    pub fn word<W: Word>(&mut self, heading: &str) -> Option<W> {
        self.one_of(heading, W::SORT, W::ALL, W::spelled)
    }

    /// One of the words of a type, or none.
    pub fn maybe_word<W: Word>(&mut self, heading: &str) -> Option<Option<W>> {
        self.unless_blank(heading, |cells| cells.word(heading))
    }

    /// Words of a type with spaces between them, each once, at least one.
    pub fn words<W: Word + PartialEq>(&mut self, heading: &str) -> Option<Vec<W>> {
        let text = self.filled(heading)?;
        let read = text
            .split_whitespace()
            .map(|word| self.known(heading, word, W::SORT, W::ALL, W::spelled));
        let words: Vec<W> = read.collect::<Vec<_>>().into_iter().collect::<Option<_>>()?;
        match repeated(&words) {
            Some(word) => self.no(heading, format!("names {} twice", word.spelled()), ""),
            None => Some(words),
        }
    }

    /// One of a list of values, each spelled by a word.
    pub fn one_of<T: Copy>(
        &mut self,
        heading: &str,
        sort: &str,
        all: &[T],
        spelled: impl Fn(T) -> &'static str,
    ) -> Option<T> {
        let text = self.filled(heading)?;
        self.known(heading, text, sort, all, spelled)
    }

    /// A currency in force.
    pub fn currency(&mut self, heading: &str) -> Option<Currency> {
        self.parsed(heading, Currency::parse)
    }

    /// A length of life, or none.
    pub fn maybe_life(&mut self, heading: &str) -> Option<Option<Life>> {
        self.unless_blank(heading, |cells| cells.parsed(heading, Life::parse))
    }

    /// The value behind a word that stands under a heading, one of a list.
    fn known<T: Copy>(
        &mut self,
        heading: &str,
        text: &str,
        sort: &str,
        all: &[T],
        spelled: impl Fn(T) -> &'static str,
    ) -> Option<T> {
        let found = all.iter().copied().find(|value| spelled(*value) == text);
        if found.is_none() {
            let known: Vec<&str> = all.iter().map(|value| spelled(*value)).collect();
            self.fault(heading, format!("is not a {sort}"), word_hint(text, &known));
        }
        found
    }

    /// A word that must not be blank: no space and no equals sign in it.
    pub fn single(&mut self, heading: &str) -> Option<String> {
        let text = self.text(heading)?;
        if text.contains([' ', '=']) {
            return self.no(
                heading,
                "is not one word",
                "write it without spaces and without =",
            );
        }
        Some(text)
    }

    /// A word, or none.
    pub fn maybe_single(&mut self, heading: &str) -> Option<Option<String>> {
        self.unless_blank(heading, |cells| cells.single(heading))
    }

    /// Nothing: the cell must be blank, because of what another cell says.
    pub fn blank(&mut self, heading: &str, because: &str) -> Option<()> {
        match self.cell(heading)? {
            "" => Some(()),
            _ => self.no(heading, format!("must be blank {because}"), ""),
        }
    }
}

/// The first value that equals an earlier one.
pub(super) fn repeated<T: PartialEq>(values: &[T]) -> Option<&T> {
    let again = |(index, value): &(usize, &T)| values.iter().take(*index).any(|earlier| earlier == *value);
    values.iter().enumerate().find(again).map(|(_, value)| value)
}

/// "did you mean …?", or every word there is.
pub(super) fn word_hint(text: &str, known: &[&str]) -> String {
    match nearest(text, known.iter().copied()) {
        Some(word) => meant(word),
        None => format!("one of: {}", known.join(", ")),
    }
}

/// What the domain says of a text, without the text in front: a fault quotes it already.
fn unquoted(fault: &impl Display, text: &str) -> String {
    let said = fault.to_string();
    let rest = said
        .strip_prefix(&format!("'{text}' "))
        .or_else(|| said.strip_prefix(&format!("{text} ")));
    rest.map_or_else(|| said.clone(), str::to_owned)
}

fn meant(word: &str) -> String {
    format!("did you mean {word}?")
}

/// A text without the `'` that the printing floor puts before what a spreadsheet would run; it puts one before quotes
/// that lead to such a sign as well, so that one taken off gives the text back.
fn unguarded(text: &str) -> &str {
    let guarded = |rest: &&str| {
        let bare = rest
            .trim_start_matches('\'')
            .trim_start_matches(|mark: char| mark.is_whitespace() && !starts_a_formula(mark));
        bare.starts_with(starts_a_formula)
    };
    text.strip_prefix('\'').filter(guarded).unwrap_or(text)
}

/// The signs that start a formula in some spreadsheet, their full-width twins included.
fn starts_a_formula(mark: char) -> bool {
    matches!(
        mark,
        '=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '\0' | '＝' | '＋' | '－' | '＠'
    )
}
