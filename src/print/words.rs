//! Small words that every paper says alike.

use crate::domain::measure::{Day, Qty, Unit};

/// "1 lot", "2 lots".
pub fn count(number: usize, one: &str) -> String {
    if number == 1 {
        format!("1 {one}")
    } else {
        format!("{number} {one}s")
    }
}

/// "2.5 ml".
pub fn measured(qty: Qty, unit: Unit) -> String {
    format!("{qty} {unit}")
}

/// "in 12 days", "today", "expired 3 days ago"; nothing where there is no last day.
pub fn until(last: Option<Day>, day: Day) -> String {
    let Some(last) = last else { return String::new() };
    match day.days_until(last) {
        0 => "last day today".to_owned(),
        1 => "in 1 day".to_owned(),
        -1 => "expired yesterday".to_owned(),
        left if left > 0 => format!("in {left} days"),
        gone => format!("expired {} days ago", -gone),
    }
}
