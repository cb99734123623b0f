//! The days printed on labels: a full day, a month, a quarter, a week or a code; and the lives counted from them.

use super::day::{Day, DayFault, Life, end_from_day};
use super::numeral::shown;
use jiff::civil::{ISOWeekDate, Weekday};
use thiserror::Error;

/// What a label says: the days from the first to the last that it may mean, and how they were worked out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Printed {
    /// The first day of what is printed.
    pub first: Day,
    /// The last day of what is printed: the last usable one where it is an expiry.
    pub last: Day,
    /// How it was worked out, `month 2026-11, to its last day`.
    pub how: String,
}

/// What stands on a label about the making, and what it says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Made {
    /// As it is printed, `4Q20`.
    pub text: String,
    /// The days that it may mean.
    pub says: Printed,
}

impl Made {
    /// Reads when a thing was made as its label has it; a year that is not written out is never after `about`.
    pub fn read(text: &str, about: Day) -> Result<Made, PrintedFault> {
        let says = printed_day(text, true, about)?;
        let text = text.trim().to_owned();
        Ok(Made { text, says })
    }

    /// Made on a day that is known.
    pub fn on(day: Day) -> Made {
        Made {
            text: day.to_string(),
            says: Printed {
                first: day,
                last: day,
                how: String::new(),
            },
        }
    }

    /// The last good day of a life counted from it, and how it was worked out; `None` past the ends of the calendar.
    pub fn end_of(&self, life: Life) -> Option<(Day, String)> {
        let (last, text) = (end_of_life(&self.says, life)?, &self.text);
        if self.says.first != self.says.last {
            let begins = self.says.last.plus_days(1)?;
            let how = if text.to_ascii_uppercase().contains('Q') {
                format!("{text} cured, {}: ageing from {begins}", in_years(life))
            } else {
                format!("made {text}, lasts {life}: counted from {begins}")
            };
            return Some((last, how));
        }
        let day = self.says.last.to_string();
        let made = if *text == day {
            day
        } else {
            format!("{text}, {}", self.says.how)
        };
        Some((last, format!("made {made}, lasts {life}")))
    }
}

/// A life in years where it is whole years: elastomers are given so.
fn in_years(life: Life) -> String {
    match life {
        Life::Months(12) => "1 year".to_owned(),
        Life::Months(months) if months % 12 == 0 => format!("{} years", months / 12),
        other => other.to_string(),
    }
}

/// Why a printed text names no day, and what to type instead.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PrintedFault {
    /// A day that is written so that it cannot be taken.
    #[error("{0}")]
    Day(DayFault),
    /// A code that may mean two things.
    #[error("'{}' can be read as {}: type the day meant as YYYY-MM-DD", shown(text), readings.join(" or as "))]
    TwoFold {
        /// The text as given.
        text: String,
        /// What it may mean.
        readings: Vec<String>,
    },
    /// Nothing that is known on labels.
    #[error(
        "'{}' is no day known on labels: type 2026-11-25, 2026-11 for its last day, 4Q26 for a quarter, \
         2026-W48 for a week, or 26330 for a day of the year",
        shown(text)
    )]
    Unread {
        /// The text as given.
        text: String,
    },
}

/// Reads a day as a label has it: `2026-11-25`, `2026-11`, `11/2026`, `4Q26`, `2026-W48`, or a code of digits.
///
/// Codes are YYDDD, YDDD, YYWW and MMYY; of four digits that fit two of them nothing is guessed. A year of two
/// digits, and a decade that a code leaves out, lies nearest to `about`, and is never after it where `made`.
pub fn printed_day(text: &str, made: bool, about: Day) -> Result<Printed, PrintedFault> {
    let trimmed = text.trim();
    let day_fault = match Day::parse(trimmed) {
        Ok(day) => return Ok(span(day, day, format!("day {day}"))),
        Err(fault) => fault,
    };
    if let DayFault::MonthOnly { last, .. } = day_fault {
        return month(last).ok_or_else(|| unread(text));
    }
    if let Some(period) = quarter(trimmed, made, about).or_else(|| week_of(trimmed)) {
        return Ok(period);
    }
    if matches!(trimmed.len(), 4 | 5) && trimmed.bytes().all(|byte| byte.is_ascii_digit()) {
        return code(trimmed, made, about);
    }
    Err(match day_fault {
        DayFault::NotADay { .. } => unread(text),
        other => PrintedFault::Day(other),
    })
}

/// The last good day of a life counted from what a label says of the making.
///
/// From a full day it clamps to the month's end; from a month, quarter or week it is counted from the first day
/// after it and ends the day before. `None` past the ends of the calendar.
pub fn end_of_life(made: &Printed, life: Life) -> Option<Day> {
    if made.first == made.last {
        return end_from_day(made.last, life);
    }
    end_from_day(made.last.plus_days(1)?, life)?.plus_days(-1)
}

/// The last good day of an opened pack: its own or its opened life, whichever comes first.
///
/// `None` past the ends of the calendar.
pub fn end_when_opened(own: Option<Day>, opened: Day, life: Life) -> Option<Day> {
    let end = end_from_day(opened, life)?;
    Some(own.map_or(end, |own| own.min(end)))
}

fn unread(text: &str) -> PrintedFault {
    PrintedFault::Unread {
        text: text.to_owned(),
    }
}

fn span(first: Day, last: Day, how: String) -> Printed {
    Printed { first, last, how }
}

/// The month that ends on a day.
fn month(last: Day) -> Option<Printed> {
    let first = Day::new(last.date().year(), last.date().month(), 1)?;
    let how = format!(
        "month {:04}-{:02}, to its last day",
        last.date().year(),
        last.date().month()
    );
    Some(span(first, last, how))
}

/// `4Q26` or `4Q2026`.
fn quarter(text: &str, made: bool, about: Day) -> Option<Printed> {
    let upper = text.to_ascii_uppercase();
    let (number, year) = upper.split_once('Q')?;
    let number: i8 = number
        .parse()
        .ok()
        .filter(|number| (1..=4).contains(number) && upper.starts_with(|c: char| c.is_ascii_digit()))?;
    let quarter_of = |year: i16| {
        let first = Day::new(year, number * 3 - 2, 1)?;
        let last = Day::new(year, number * 3, 1)?.last_of_month();
        Some(span(
            first,
            last,
            format!("quarter {number} of {year}, to its last day"),
        ))
    };
    if !year.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let value: i16 = year.parse().ok()?;
    match year.len() {
        4 => quarter_of(value),
        2 => nearest(value, 100, made, about, quarter_of),
        _ => None,
    }
}

/// `2026-W48`, a week of ISO 8601, Monday to Sunday.
fn week_of(text: &str) -> Option<Printed> {
    let upper = text.to_ascii_uppercase();
    let (year, week) = upper.split_once('W')?;
    let year = year.strip_suffix('-').unwrap_or(year);
    let plain = |part: &str, len: usize| part.len() == len && part.bytes().all(|byte| byte.is_ascii_digit());
    if !plain(year, 4) || !plain(week, 2) {
        return None;
    }
    week_in(year.parse().ok()?, week.parse().ok()?)
}

fn week_in(year: i16, week: i8) -> Option<Printed> {
    let monday = ISOWeekDate::new(year, week, Weekday::Monday).ok()?;
    let first = Day::from_date(monday.date())?;
    let last = first.plus_days(6)?;
    Some(span(first, last, format!("week {week} of {year}, to its Sunday")))
}

/// The one meaning of a code of digits.
fn code(text: &str, made: bool, about: Day) -> Result<Printed, PrintedFault> {
    let number = |from: usize, to: usize| text.get(from..to).and_then(|part| part.parse::<i16>().ok());
    let mut readings = Vec::new();
    if let (5, Some(year), Some(day)) = (text.len(), number(0, 2), number(2, 5)) {
        readings.extend(nearest(year, 100, made, about, |year| day_in_year(year, day)));
    }
    if let (4, Some(year), Some(day)) = (text.len(), number(0, 1), number(1, 4)) {
        readings.extend(nearest(year, 10, made, about, |year| day_in_year(year, day)));
    }
    if let (4, Some(one), Some(other)) = (text.len(), number(0, 2), number(2, 4)) {
        readings.extend(nearest(one, 100, made, about, |year| {
            week_in(year, i8::try_from(other).ok()?)
        }));
        readings.extend(nearest(other, 100, made, about, |year| {
            month(Day::new(year, i8::try_from(one).ok()?, 1)?.last_of_month())
        }));
    }
    match <[Printed; 1]>::try_from(readings) {
        Ok([only]) => Ok(only),
        Err(none) if none.is_empty() => Err(unread(text)),
        Err(several) => Err(PrintedFault::TwoFold {
            text: text.to_owned(),
            readings: several
                .iter()
                .map(|one| format!("{} ({})", one.last, one.how))
                .collect(),
        }),
    }
}

/// A day by its number in the year.
fn day_in_year(year: i16, number: i16) -> Option<Printed> {
    let day = Day::new(year, 1, 1)?.plus_days(i64::from(number) - 1)?;
    let fits = number >= 1 && day.date().year() == year;
    fits.then(|| span(day, day, format!("day {number} of {year}, {day}")))
}

/// What a year without its century or decade makes, in the one nearest to a day; never after it where `made`.
fn nearest(
    short: i16,
    cycle: i16,
    made: bool,
    about: Day,
    period_of: impl Fn(i16) -> Option<Printed>,
) -> Option<Printed> {
    let this_cycle = about.date().year() / cycle * cycle + short;
    [-1, 0, 1]
        .into_iter()
        .filter_map(|cycles| period_of(this_cycle + cycles * cycle))
        .filter(|period| !made || period.first <= about)
        .min_by_key(|period| about.days_until(period.last).abs())
}
