//! Prices in another currency at dated rates: which rate holds, what it makes of a price, and what has none.
//!
//! Rates of the sample: 1 EUR is 0.86 GBP from 2026-01-01, 0.87 from 2026-07-01. Figures worked out by hand.

use crate::desk::Counter;
use bincard::domain::estimating::price::{Exchange, Price, in_base};
use bincard::domain::measure::{Currency, Day, Money, Qty};
use bincard::domain::stores::ids::PartId;
use bincard::print::words::no_rate;

fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

fn money(text: &str) -> Money {
    Money::parse(text).unwrap()
}

fn code(text: &str) -> Currency {
    Currency::parse(text).unwrap()
}

fn price(amount: &str, currency: &str) -> Price {
    Price {
        part: PartId(1),
        supplier: None,
        from_day: day("2026-01-05"),
        from_qty: Qty::ZERO,
        amount: money(amount),
        currency: code(currency),
        quoted: None,
    }
}

fn rate(currency: &str, from_day: &str, rate: &str) -> Exchange {
    Exchange {
        currency: code(currency),
        from_day: day(from_day),
        rate: money(rate),
    }
}

#[test]
fn the_rate_of_the_day_makes_the_price() {
    let rates = [
        rate("EUR", "2026-07-01", "0.87"),
        rate("EUR", "2026-01-01", "0.86"),
        rate("JPY", "2026-01-01", "0.005123"),
    ];
    for (amount, currency, on, wanted) in [
        // Our own needs no rate, whatever the day.
        ("2.35", "GBP", "2020-01-01", Some("2.35")),
        ("150.00", "EUR", "2025-12-31", None),
        ("150.00", "EUR", "2026-01-01", Some("129")),
        ("150.00", "EUR", "2026-06-30", Some("129")),
        ("150.00", "EUR", "2026-07-01", Some("130.5")),
        // 0.000001 x 0.86 is less than half a millionth more than itself: half away from zero keeps it.
        ("0.000001", "EUR", "2026-01-01", Some("0.000001")),
        // 1.5 x 0.005123 = 0.0076845, whose seventh place is a half: away from zero.
        ("1.5", "JPY", "2026-01-01", Some("0.007685")),
        ("1.00", "USD", "2026-11-25", None),
    ] {
        let (held, without) = in_base(vec![price(amount, currency)], &rates, day(on), code("GBP"));
        let found = held.first().map(|price| price.amount);
        assert_eq!(found, wanted.map(money), "{amount} {currency} on {on}");
        assert_eq!(
            without.is_empty(),
            wanted.is_some(),
            "{amount} {currency} on {on}"
        );
        for price in held {
            assert_eq!(price.currency, code("GBP"));
            assert_eq!(price.quoted.is_some(), currency != "GBP");
        }
    }
}

/// A sample workshop with these prices in its books besides.
fn with_prices(rows: &str) -> Counter {
    let counter = Counter::sample();
    let file = counter.folder().join("prices.csv");
    let heading = "part,supplier,basis,from_day,from_qty,unit,amount,currency";
    std::fs::write(&file, format!("{heading}\n{rows}")).unwrap();
    counter
        .run(&["import", &file.display().to_string(), "--by", "HP"])
        .good();
    counter
}

#[test]
fn a_cheaper_supplier_abroad_counts_in_the_comparison() {
    let counter = with_prices("PI-28,VANTR,purchase,2026-01-05,0,each,150.00,EUR\n");
    // Four pistons at 150.00 x 0.87 = 130.50 instead of 146.00: 925.21 - 62.00.
    let told = counter.run(&["compare", "TC-W"]).good().out;
    assert!(told.starts_with("spacer 863.21 GBP less"), "{told}");
    assert!(
        told.contains("130.5 per each from 2026-01-05: 150 EUR at 0.87 of 2026-07-01"),
        "{told}"
    );
    // In June 150.00 x 0.86 = 129.00: 925.21 - 68.00.
    let june = counter.run(&["compare", "TC-W", "--on", "2026-06-30"]).good().out;
    assert!(june.starts_with("spacer 857.21 GBP less"), "{june}");
}

#[test]
fn a_price_without_a_rate_is_left_out_and_named() {
    let counter = with_prices("PI-28,VANTR,purchase,2026-01-05,0,each,1.00,USD\n");
    let told = counter.run(&["compare", "TC-W"]).good().out;
    assert!(told.starts_with("spacer 925.21 GBP less"), "{told}");
    assert!(
        told.contains("route=piston: PI-28 has a price that was left out, no rate for USD"),
        "{told}"
    );
}

#[test]
fn a_job_stands_at_the_rate_of_the_day() {
    // Four spacers at 20.00 x 0.87 = 17.40 instead of 18.40: 2845.00 - 4.00; hours and total as before less the same.
    let told = with_prices("SP-20,VANTR,purchase,2026-01-05,0,each,20.00,EUR\n")
        .run(&["cost", "blue"])
        .good();
    assert!(
        told.answer()
            .ends_with("still 2841.00, labour 3936.00: 6777.00 GBP"),
        "{}",
        told.answer()
    );
}

#[test]
fn currencies_without_a_rate_are_named_once() {
    let quoted = vec![price("1.00", "USD"), price("2.00", "USD"), price("90", "JPY")];
    let (held, without) = in_base(quoted, &[], day("2026-11-25"), code("GBP"));
    assert_eq!(held, []);
    assert_eq!(no_rate(&without), "no rate for USD and JPY");
    assert_eq!(no_rate(&[]), "");
}

#[test]
fn what_a_job_pays_whole_is_said_beside_what_is_compared_by_use() {
    let told = Counter::sample().run(&["compare", "TC-W"]).good().out;
    // 10 ml - 1.1 ml at 1.24 a ml is 11.036, and 10 - 0.3 is 12.028.
    for wanted in [
        "route=spacer: TL-10 by use, 1.1 ml; a job pays the whole 10 ml, 11.04 GBP more",
        "route=piston: TL-10 by use, 0.3 ml; a job pays the whole 10 ml, 12.03 GBP more",
    ] {
        assert!(told.contains(wanted), "{told}");
    }
}
