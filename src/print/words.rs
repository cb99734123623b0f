//! Small words that every paper says alike.

use crate::domain::estimating::price::Price;
use crate::domain::measure::{Currency, Day, Money, Qty, Unit};

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

/// An amount as it is printed: rounded half away from zero to the currency's minor unit.
pub fn printed(amount: Money, currency: Currency) -> Money {
    // What was rounded to fewer decimals than it had always fits a millionth.
    Money::from_decimal(amount.in_minor(currency)).unwrap_or(amount)
}

/// A printed total: the sum of its printed lines.
pub fn printed_sum(lines: impl Iterator<Item = Money>, currency: Currency) -> Money {
    lines.map(|line| printed(line, currency)).sum()
}

/// On which price a part stands, for one unit of it: `7.83 per each from 2026-01-05`, and how it was converted.
pub fn price_basis(price: &Price, unit: Unit) -> String {
    let from = format!("per {unit} from {}", price.from_day);
    match &price.quoted {
        None => format!("{} {from}", price.amount),
        Some(quoted) => format!(
            "{} {from}: {} {} at {} of {}",
            price.amount, quoted.amount, quoted.currency, quoted.rate, quoted.rate_from
        ),
    }
}

/// "no rate for EUR", where a price is asked in currencies that have none on the day; nothing where there are none.
pub fn no_rate(without: &[Currency]) -> String {
    let codes: Vec<&str> = without.iter().map(|currency| currency.code()).collect();
    match codes.as_slice() {
        [] => String::new(),
        codes => format!("no rate for {}", codes.join(" and ")),
    }
}
