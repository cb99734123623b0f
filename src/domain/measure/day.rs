//! Days of the calendar, and the lives that end on one.

use super::numeral::shown;
use jiff::{Span, civil::Date};
use std::fmt;
use thiserror::Error;

/// A day of the years 1 to 9999, ordered by the calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(
    /// Invariant: the year is 1 to 9999, so that days as text sort as days do.
    Date,
);

/// Why a text is no day, and what to type instead.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum DayFault {
    /// Nothing, or only spaces.
    #[error("nothing stands where a day is wanted: type it as YYYY-MM-DD, such as 2026-11-25")]
    Empty,
    /// Written so that two readers would disagree.
    #[error("'{}' can be read as {}: type the one meant", shown(text), either(readings))]
    Ambiguous {
        /// The text as given.
        text: String,
        /// The days it may mean, day first before month first.
        readings: Vec<Day>,
    },
    /// A day, but not in the one way of writing it.
    #[error("'{}' is not written as YYYY-MM-DD: type {day}", shown(text))]
    Spelling {
        /// The text as given.
        text: String,
        /// The day it means.
        day: Day,
    },
    /// A month without a day.
    #[error(
        "'{}' names a month but no day: type the day too, such as the last one, {last}",
        shown(text)
    )]
    MonthOnly {
        /// The text as given.
        text: String,
        /// The last day of that month.
        last: Day,
    },
    /// The right shape, but the month does not have that day.
    #[error("{text} is no day of the calendar: that month ends on {last}")]
    PastMonthEnd {
        /// The text as given.
        text: String,
        /// The last day of that month.
        last: Day,
    },
    /// Anything else.
    #[error(
        "'{}' is no day of the calendar: type it as YYYY-MM-DD, such as 2026-11-25",
        shown(text)
    )]
    NotADay {
        /// The text as given.
        text: String,
    },
}

impl Day {
    /// The day of a year, month and day of the month; `None` where the calendar has none.
    pub fn new(year: i16, month: i8, day: i8) -> Option<Self> {
        Date::new(year, month, day).ok().and_then(Self::from_date)
    }

    /// The day of a date; `None` outside the years 1 to 9999.
    pub fn from_date(date: Date) -> Option<Self> {
        (date.year() >= 1).then_some(Self(date))
    }

    /// Reads `YYYY-MM-DD` and nothing else.
    pub fn parse(text: &str) -> Result<Self, DayFault> {
        if text.trim().is_empty() {
            return Err(DayFault::Empty);
        }
        if !is_iso_shape(text) {
            return Err(fault_of(text));
        }
        // The library's own reader takes more than this shape, so the three numbers are read apart.
        iso_day(text).ok_or_else(|| missing(text))
    }

    /// The date, for arithmetic of the calendar.
    pub const fn date(self) -> Date {
        self.0
    }

    /// So many days later, or earlier below zero; `None` past the ends of the calendar.
    pub fn plus_days(self, days: i64) -> Option<Self> {
        self.plus(Span::new().try_days(days).ok()?)
    }

    /// So many months later, clamped to the month's end; `None` past the ends of the calendar.
    pub fn plus_months(self, months: i64) -> Option<Self> {
        self.plus(Span::new().try_months(months).ok()?)
    }

    /// How many days from this day to the other, below zero where the other is earlier.
    pub fn days_until(self, other: Self) -> i64 {
        self.0.duration_until(other.0).as_hours() / 24
    }

    /// The last day of the same month.
    pub fn last_of_month(self) -> Self {
        Self(self.0.last_of_month())
    }

    fn plus(self, span: Span) -> Option<Self> {
        self.0.checked_add(span).ok().and_then(Self::from_date)
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!(
            "{:04}-{:02}-{:02}",
            self.0.year(),
            self.0.month(),
            self.0.day()
        ))
    }
}

fn is_iso_shape(text: &str) -> bool {
    let fits = |(place, byte): (usize, u8)| match place {
        4 | 7 => byte == b'-',
        _ => byte.is_ascii_digit(),
    };
    text.len() == 10 && text.bytes().enumerate().all(fits)
}

/// The day of a text of the right shape, where the calendar has it.
fn iso_day(text: &str) -> Option<Day> {
    day_of(text.get(..4)?, text.get(5..7)?, text.get(8..)?)
}

/// The fault of a text of the right shape that names no day.
fn missing(text: &str) -> DayFault {
    let owned = text.to_owned();
    let first = text.get(..8).and_then(|month| iso_day(&format!("{month}01")));
    let past_end = text.get(8..).is_some_and(|day| day != "00" && day != "01");
    match first {
        Some(first) if past_end => DayFault::PastMonthEnd {
            text: owned,
            last: first.last_of_month(),
        },
        _ => DayFault::NotADay { text: owned },
    }
}

/// The fault of a text of another shape, with the days it may mean.
fn fault_of(text: &str) -> DayFault {
    let owned = text.to_owned();
    let trimmed = text.trim();
    let parts: Vec<&str> = trimmed.split(['/', '.', '-', ' ']).collect();
    let is_number = |part: &&str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    if !parts.iter().all(is_number) {
        return DayFault::NotADay { text: owned };
    }
    let readings = match *parts.as_slice() {
        [run] if run.len() == 8 => run_of_digits(run),
        [year, month] if year.len() == 4 => return month_only(owned, year, month),
        [month, year] if year.len() == 4 => return month_only(owned, year, month),
        [one, two, three] => three_parts(one, two, three, trimmed.contains('-')),
        _ => Vec::new(),
    };
    match *readings.as_slice() {
        [] => DayFault::NotADay { text: owned },
        [day] => DayFault::Spelling { text: owned, day },
        _ => DayFault::Ambiguous {
            text: owned,
            readings,
        },
    }
}

fn month_only(text: String, year: &str, month: &str) -> DayFault {
    match day_of(year, month, "1") {
        Some(first) => DayFault::MonthOnly {
            text,
            last: first.last_of_month(),
        },
        None => DayFault::NotADay { text },
    }
}

fn run_of_digits(run: &str) -> Vec<Day> {
    let day = (|| day_of(run.get(..4)?, run.get(4..6)?, run.get(6..)?))();
    day.into_iter().collect()
}

/// The days three numbers may mean: year first where it leads, else day first, then month first.
fn three_parts(one: &str, two: &str, three: &str, hyphens: bool) -> Vec<Day> {
    let year_first = day_of(one, two, three);
    let tried = match (one.len(), three.len()) {
        (4, _) => [year_first, None, None],
        (_, 4) => [day_of(three, two, one), day_of(three, one, two), None],
        // With hyphens the year may well lead, as it does in the full form.
        (_, 2) => [
            year_first.filter(|_| hyphens),
            day_of(three, two, one),
            day_of(three, one, two),
        ],
        _ => [None; 3],
    };
    let mut readings: Vec<Day> = Vec::new();
    for day in tried.into_iter().flatten() {
        if !readings.contains(&day) {
            readings.push(day);
        }
    }
    readings
}

/// The day of three numbers as text; a year of two digits is of this century.
fn day_of(year: &str, month: &str, day: &str) -> Option<Day> {
    let century = match year.len() {
        4 => 0,
        2 => 2000,
        _ => return None,
    };
    Day::new(
        century + year.parse::<i16>().ok()?,
        month.parse().ok()?,
        day.parse().ok()?,
    )
}

fn either(readings: &[Day]) -> String {
    let named: Vec<String> = readings.iter().map(Day::to_string).collect();
    named.join(" or as ")
}

/// How long a thing keeps, from the day it was made or opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Life {
    /// So many days.
    Days(u32),
    /// So many months of the calendar.
    Months(u32),
}

/// Why a text is no life, and what to type instead.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum LifeFault {
    /// Not a whole number and a word for its unit.
    #[error(
        "'{}' is no life: type a whole number and days, weeks, months or years, such as 12 months",
        shown(text)
    )]
    NotALife {
        /// The text as given.
        text: String,
    },
    /// Nothing, or longer than a hundred years.
    #[error(
        "'{}' is no life a thing can have: type one from 1 day to 100 years",
        shown(text)
    )]
    OutOfRange {
        /// The text as given.
        text: String,
    },
}

impl Life {
    /// Reads `12 months`, `90 days`; weeks are kept as seven days and years as twelve months.
    pub fn parse(text: &str) -> Result<Self, LifeFault> {
        let not_a_life = || LifeFault::NotALife {
            text: text.to_owned(),
        };
        let out_of_range = || LifeFault::OutOfRange {
            text: text.to_owned(),
        };
        let (number, word) = text.split_once(' ').ok_or_else(not_a_life)?;
        if number.is_empty() || !number.bytes().all(|byte| byte.is_ascii_digit()) {
            return Err(not_a_life());
        }
        let (life, per_word, most): (fn(u32) -> Self, u32, u32) = match word {
            "day" | "days" => (Self::Days, 1, 36_525),
            "week" | "weeks" => (Self::Days, 7, 36_525),
            "month" | "months" => (Self::Months, 1, 1200),
            "year" | "years" => (Self::Months, 12, 1200),
            _ => return Err(not_a_life()),
        };
        let number: u32 = number.parse().map_err(|_| out_of_range())?;
        let length = number
            .checked_mul(per_word)
            .filter(|length| (1..=most).contains(length));
        length.map(life).ok_or_else(out_of_range)
    }
}

impl fmt::Display for Life {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (number, word) = match self {
            Self::Days(number) => (number, "day"),
            Self::Months(number) => (number, "month"),
        };
        f.pad(&format!("{number} {word}{}", if *number == 1 { "" } else { "s" }))
    }
}

/// The last good day of a life counted from a full date; months clamp to the month's end.
///
/// `None` past the ends of the calendar.
pub fn end_from_day(made: Day, life: Life) -> Option<Day> {
    match life {
        Life::Days(days) => made.plus_days(i64::from(days)),
        Life::Months(months) => made.plus_months(i64::from(months)),
    }
}
