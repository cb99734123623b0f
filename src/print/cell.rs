//! One value in a table, and what each way of printing makes of it.

use crate::domain::measure::{Currency, Day, Money, Qty};
use crate::print::look::Tone;
use rust_decimal::Decimal;

/// One typed value in a table; the type decides how it lines up and how machines read it.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Nothing to say; JSON null.
    Empty,
    /// Words or a number that only names (part, lot, job, bin); may come from outside.
    Text(String),
    /// A quantity with its unit's symbol.
    Qty(Qty, String),
    /// An amount of money, rounded for print to the currency's minor unit.
    Money(Money, Currency),
    /// A civil day, ISO 8601.
    Day(Day),
    /// A count or a line number; the only JSON integer.
    Count(i64),
    /// A computed measure with the decimals it should show.
    Number(Decimal),
    /// A state in one word, coloured where colour is; SHORT, EXPIRED, OK.
    Alert(String),
}

/// A number taken apart for lining up.
pub(crate) struct Numeral {
    /// Sign and digits before the decimal marker.
    pub(crate) whole: String,
    /// Digits after the decimal marker.
    pub(crate) decimals: String,
    /// Unit symbol or currency code, or empty.
    pub(crate) unit: String,
    /// A count never shows decimals, whatever stands above it.
    pub(crate) counted: bool,
}

impl Cell {
    /// A text cell from anything that is text.
    pub fn text(words: impl Into<String>) -> Cell {
        Cell::Text(words.into())
    }

    /// The value alone, exact and without unit or currency; empty for an empty cell.
    #[must_use]
    pub fn value(&self) -> String {
        match self {
            Cell::Empty => String::new(),
            Cell::Text(words) | Cell::Alert(words) => words.clone(),
            Cell::Qty(qty, _) => qty.to_string(),
            Cell::Money(money, currency) => money.in_minor(*currency).to_string(),
            Cell::Day(day) => day.to_string(),
            Cell::Count(count) => count.to_string(),
            Cell::Number(number) => number.to_string(),
        }
    }

    /// The unit's symbol of a quantity.
    #[must_use]
    pub fn unit(&self) -> Option<&str> {
        if let Cell::Qty(_, unit) = self {
            Some(unit)
        } else {
            None
        }
    }

    /// The currency's code of an amount.
    #[must_use]
    pub fn currency(&self) -> Option<&str> {
        if let Cell::Money(_, currency) = self {
            Some(currency.code())
        } else {
            None
        }
    }

    /// Whether the value is words, which may need guarding, and not a number or a day.
    #[must_use]
    pub fn is_words(&self) -> bool {
        matches!(self, Cell::Text(_) | Cell::Alert(_))
    }

    /// The number taken apart, or `None` where the cell holds none.
    pub(crate) fn numeral(&self) -> Option<Numeral> {
        let counted = matches!(self, Cell::Count(_));
        if !counted && !matches!(self, Cell::Qty(..) | Cell::Money(..) | Cell::Number(_)) {
            return None;
        }
        let value = self.value();
        let (whole, decimals) = value.split_once('.').unwrap_or((&value, ""));
        let unit = self.unit().or(self.currency()).unwrap_or_default().to_owned();
        Some(Numeral {
            whole: whole.to_owned(),
            decimals: decimals.to_owned(),
            unit,
            counted,
        })
    }

    /// The tone of a state word; only alerts have one.
    pub(crate) fn tone(&self) -> Option<Tone> {
        let Cell::Alert(word) = self else { return None };
        let starts = |words: &[&str]| words.iter().any(|known| word.starts_with(known));
        Some(if starts(&["OK", "READY", "COMPLETE", "FREE", "GOOD"]) {
            Tone::Well
        } else if starts(&["SHORT", "EXPIRED", "ON HOLD", "REFUSED", "RECALLED", "QUARANTINE"]) {
            Tone::Stop
        } else {
            Tone::Mind
        })
    }
}
