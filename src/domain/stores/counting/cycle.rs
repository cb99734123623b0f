//! Cycle counting: which class a part is of, how often it is counted, what is within tolerance, and how often the record
//! was right.

use crate::domain::measure::rounding::{Rule, round};
use crate::domain::measure::{Day, Money, Qty};
use rust_decimal::{Decimal, MathematicalOps};

/// A class of parts by what passes through them in a year.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Class {
    /// The few that most of the value passes through.
    A,
    /// Those between.
    B,
    /// The many.
    C,
}

/// Every class, the dearest first.
pub const CLASSES: [Class; 3] = [Class::A, Class::B, Class::C];

impl Class {
    /// Its letter.
    pub fn letter(self) -> &'static str {
        match self {
            Class::A => "A",
            Class::B => "B",
            Class::C => "C",
        }
    }
}

/// How a class is counted: shop data, with the usual figures where the shop says nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CountRule {
    /// Every so many days.
    pub days: i64,
    /// The share of the record by which a count may differ, in hundredths; none where any difference is posted at once.
    pub tolerance_percent: Option<Decimal>,
}

impl CountRule {
    /// Counted every 20, 60 and 120 days (Heizer and Render, ch. 12 example 2).
    pub fn usual(class: Class) -> CountRule {
        CountRule {
            days: match class {
                Class::A => 20,
                Class::B => 60,
                Class::C => 120,
            },
            tolerance_percent: None,
        }
    }
}

/// The share of the value where class A ends, and where class B ends, in hundredths.
const CUTS: [i64; 2] = [80, 95];

/// The class of each value, in the order given. The dearest come first; the one that crosses a cut belongs to the higher
/// class, and what nothing passes through is of the lowest.
pub fn classes(values: &[Money]) -> Vec<Class> {
    let all: i128 = values.iter().map(|value| i128::from(value.millionths())).sum();
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by_key(|at| std::cmp::Reverse(values.get(*at).copied()));
    let mut found = vec![Class::C; values.len()];
    let mut before = 0_i128;
    for at in order {
        let value = values.get(at).map_or(0, |value| i128::from(value.millionths()));
        let reached = |cut: i64| before * 100 >= all * i128::from(cut);
        let class = match CUTS {
            _ if value <= 0 => Class::C,
            [a, _] if !reached(a) => Class::A,
            [_, b] if !reached(b) => Class::B,
            _ => Class::C,
        };
        if let Some(slot) = found.get_mut(at) {
            *slot = class;
        }
        before += value;
    }
    found
}

/// How many lines a day the rules ask for: the lines of each class over its days, added up.
pub fn lines_a_day(classes: &[(usize, i64)]) -> Decimal {
    let of = |(lines, days): &(usize, i64)| Decimal::from(*lines) / Decimal::from((*days).max(1));
    classes.iter().map(of).sum()
}

/// When a line is to be counted again; what never was is due at once.
pub fn due(last: Option<Day>, rule: CountRule, today: Day) -> Day {
    last.map_or(today, |last| last.plus_days(rule.days).unwrap_or(today))
}

/// Whether a count is within tolerance of the record: a difference just on it is a hit, and where the record says
/// nothing anything counted is a miss.
pub fn within(record: Qty, counted: Qty, tolerance_percent: Decimal) -> bool {
    let apart = (counted.to_decimal() - record.to_decimal()).abs();
    apart * Decimal::ONE_HUNDRED <= tolerance_percent * record.to_decimal().abs()
}

/// By how many hundredths of the record a count differs, to two decimals; none where the record says nothing.
pub fn variance_percent(record: Qty, counted: Qty) -> Option<Decimal> {
    let (record, counted) = (record.to_decimal(), counted.to_decimal());
    let share = (counted - record).checked_div(record)? * Decimal::ONE_HUNDRED;
    Some(round(share, Decimal::new(1, 2), Rule::HalfAway))
}

/// The share of lines that were right, in hundredths to one decimal; none where nothing was counted. Differences are
/// never set off against each other.
pub fn accuracy_percent(right: usize, counted: usize) -> Option<Decimal> {
    let share = (Decimal::from(right) * Decimal::ONE_HUNDRED).checked_div(Decimal::from(counted))?;
    Some(round(share, Decimal::new(1, 1), Rule::HalfAway))
}

/// Between which shares a month's faults stay if nothing but chance is at work: the centre and three standard
/// deviations about it for samples of so many lines, never below nothing (a p chart).
pub fn limits(share_wrong: Decimal, lines: usize) -> Option<(Decimal, Decimal)> {
    let variance = (share_wrong * (Decimal::ONE - share_wrong)).checked_div(Decimal::from(lines))?;
    let three = variance.sqrt()? * Decimal::from(3);
    Some(((share_wrong - three).max(Decimal::ZERO), share_wrong + three))
}

/// How many pieces weigh so much: gross less tare over the mass of one, to the nearest whole; all in the same unit.
pub fn pieces(gross: Decimal, tare: Decimal, piece: Decimal) -> Option<Decimal> {
    let net = gross - tare;
    if net.is_sign_negative() {
        return None;
    }
    Some(round(net.checked_div(piece)?, Decimal::ONE, Rule::HalfAway))
}
