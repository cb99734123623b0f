//! What the value behind an identifier of GS1 means: numbers with a check digit, days, counts and measures.

use crate::domain::measure::Day;
use crate::domain::measure::scan::{Meaning, Measured, ScanFault, Swallowed};
use rust_decimal::Decimal;

/// The check digit of GS1 over figures, modulo 10 with the weights 3 and 1 from the right (General Specifications 7.9);
/// `None` for any other text.
pub fn check_digit(body: &str) -> Option<char> {
    let mut sum = 0_u32;
    for (weight, figure) in [3, 1].into_iter().cycle().zip(body.chars().rev()) {
        sum = (sum + figure.to_digit(10)? * weight) % 10;
    }
    let check = (10 - sum) % 10;
    char::from_digit(check, 10).filter(|_| !body.is_empty())
}

/// The year that two figures stand for, seen from a year: 51 or more ahead is the century before, 50 or more behind the
/// one after (General Specifications 7.12).
pub fn year_in_full(of_century: i16, seen_from: i16) -> i16 {
    let century = seen_from - seen_from.rem_euclid(100);
    match of_century - seen_from.rem_euclid(100) {
        51..=99 => century - 100 + of_century,
        -99..=-50 => century + 100 + of_century,
        _ => century + of_century,
    }
}

/// What a value that has the right length and characters means.
pub(super) fn meaning(ai: &str, value: &str, today: Day) -> Result<Meaning, ScanFault> {
    match ai {
        "00" | "01" | "02" => checked(ai, value),
        "11" | "13" | "15" | "17" => {
            let (day, month_only) = day_of(value, today).map_err(|because| ScanFault::Day {
                ai: ai.to_owned(),
                value: value.to_owned(),
                because,
            })?;
            Ok(Meaning::Day { day, month_only })
        }
        "30" | "37" => Ok(value
            .parse()
            .map_or_else(|_| Meaning::Text(value.to_owned()), Meaning::Count)),
        _ => Ok(measure(ai, value).map_or_else(|| Meaning::Text(value.to_owned()), Meaning::Measured)),
    }
}

/// A number whose last figure checks the others.
fn checked(ai: &str, value: &str) -> Result<Meaning, ScanFault> {
    let found = value.chars().next_back();
    let body = value.get(..value.len().saturating_sub(1)).unwrap_or_default();
    match (check_digit(body), found) {
        (Some(right), Some(found)) if right != found => Err(ScanFault::CheckDigit {
            ai: ai.to_owned(),
            value: value.to_owned(),
            found,
            right,
        }),
        _ => Ok(Meaning::Text(value.to_owned())),
    }
}

/// The day that `YYMMDD` stands for; the day 00 is the last of its month. The words are why it is none.
fn day_of(value: &str, today: Day) -> Result<(Day, bool), String> {
    let figure = |from: usize| value.get(from..from + 2).and_then(|two| two.parse::<i16>().ok());
    let (Some(year), Some(month), Some(day)) = (figure(0), figure(2), figure(4)) else {
        return Err("six figures are wanted".to_owned());
    };
    let year = year_in_full(year, today.date().year());
    let narrow = |figure: i16| i8::try_from(figure).unwrap_or_default();
    let first = Day::new(year, narrow(month), 1).ok_or_else(|| format!("month {month:02}"))?;
    if day == 0 {
        return Ok((first.last_of_month(), true));
    }
    let day_found = Day::new(year, narrow(month), narrow(day));
    let found = day_found.ok_or_else(|| format!("day {day:02} in month {month:02} of {year}"))?;
    Ok((found, false))
}

/// What a measuring identifier says: its last figure is the number of decimals.
fn measure(ai: &str, value: &str) -> Option<Measured> {
    let unit = match ai.get(..3)? {
        "310" => "kg",
        "311" | "312" | "313" => "m",
        "314" => "m2",
        "315" => "l",
        "316" => "m3",
        _ => return None,
    };
    let decimals = ai.get(3..)?.parse().ok()?;
    let value = Decimal::try_new(value.parse().ok()?, decimals).ok()?;
    Some(Measured { value, unit })
}

/// The day that a value of no fixed length seems to have swallowed: it ends in an identifier of a day and six figures
/// that make one.
pub(super) fn swallowed_in(ai: &str, value: &str, today: Day) -> Option<Swallowed> {
    let at = value.len().checked_sub(8).filter(|at| *at > 0)?;
    let (shorter, tail) = (value.get(..at)?, value.get(at..)?);
    let (swallowed, figures) = (tail.get(..2)?, tail.get(2..)?);
    let of_a_day = matches!(swallowed, "11" | "13" | "15" | "17");
    let plain = figures.bytes().all(|byte| byte.is_ascii_digit());
    let (day, _) = (of_a_day && plain)
        .then(|| day_of(figures, today).ok())
        .flatten()?;
    Some(Swallowed {
        ai: ai.to_owned(),
        value: value.to_owned(),
        shorter: shorter.to_owned(),
        swallowed: swallowed.to_owned(),
        day,
    })
}
