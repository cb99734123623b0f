//! Money in millionths, printed in the minor unit of its currency.

use super::{cases, text, texts};
use bincard::domain::measure::money::{Currency, CurrencyFault, Money};
use bincard::domain::measure::rounding::apportion;
use rust_decimal::Decimal;
use toml::Table;

const FACTS: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/facts/money.toml"));

#[test]
fn every_published_case_comes_out() {
    for case in cases(FACTS) {
        match text(&case, "id") {
            "split-1" | "split-2" => split(&case),
            "iso4217-1" => minor_digits(&case),
            unknown => panic!("no check is written for the case {unknown}"),
        }
    }
}

fn split(case: &Table) {
    let total = Money::parse(case["inputs"]["total"].as_str().unwrap()).unwrap();
    let into = usize::try_from(case["inputs"]["into"].as_integer().unwrap()).unwrap();
    // Both cases share whole pence: ten thousand millionths.
    let pence = apportion(total.millionths() / 10_000, &vec![1; into]);
    let parts: Vec<String> = pence
        .iter()
        .map(|&pence| Decimal::new(pence, 2).to_string())
        .collect();
    assert_eq!(parts, texts(&case["expected"]));
    assert_eq!(
        pence
            .iter()
            .map(|pence| Money::from_millionths(pence * 10_000))
            .sum::<Money>(),
        total
    );
}

fn minor_digits(case: &Table) {
    let currency = Currency::parse(case["inputs"]["code"].as_str().unwrap()).unwrap();
    assert_eq!(
        i64::from(currency.minor_digits()),
        case["expected"].as_integer().unwrap()
    );
}

/// By hand: a tie goes away from zero, and the decimals are the currency's.
#[test]
fn printed_in_the_minor_unit() {
    let table = [
        ("0", "GBP", "0.00"),
        ("12.34", "GBP", "12.34"),
        ("1.005", "GBP", "1.01"),
        ("-1.005", "GBP", "-1.01"),
        ("1.004999", "GBP", "1.00"),
        ("-0.004999", "GBP", "0.00"),
        ("1234.5", "JPY", "1235"),
        ("1234.499999", "JPY", "1234"),
        ("0.0005", "KWD", "0.001"),
        ("0.00005", "CLF", "0.0001"),
        ("1000000000000", "EUR", "1000000000000.00"),
    ];
    for (amount, code, printed) in table {
        let currency = Currency::parse(code).unwrap();
        assert_eq!(
            Money::parse(amount).unwrap().in_minor(currency).to_string(),
            printed,
            "{amount} {code}"
        );
    }
    let most = Money::from_millionths(i64::MAX).in_minor(Currency::parse("GBP").unwrap());
    assert_eq!(most.to_string(), "9223372036854.78");
}

#[test]
fn money_reaches_its_limit_and_no_further() {
    assert_eq!(
        Money::parse("1000000000000").map(Money::millionths),
        Ok(1_000_000_000_000_000_000)
    );
    assert_eq!(
        Money::parse("-1000000000000").map(Money::millionths),
        Ok(-1_000_000_000_000_000_000)
    );
    for beyond in ["1000000000000.000001", "-1000000000001"] {
        let message = Money::parse(beyond).unwrap_err().to_string();
        let expected = format!("'{beyond}' is too large: type a number from -1000000000000 to 1000000000000");
        assert_eq!(message, expected);
    }
    assert_eq!(
        Money::from_decimal(Decimal::new(1234, 2)),
        Some(Money::from_millionths(12_340_000))
    );
    assert_eq!(format!("{:>7}", Money::from_millionths(12_340_000)), "  12.34");
    assert_eq!(
        Money::whole(3) - Money::whole(5),
        Money::from_millionths(-2_000_000)
    );
}

#[test]
fn currencies_in_force() {
    let pound = Currency::parse("GBP").unwrap();
    assert_eq!((pound.code(), pound.to_string().as_str()), ("GBP", "GBP"));
    assert_eq!(Currency::parse("gbp"), Ok(pound));
    for currency in Currency::all() {
        assert_eq!(currency.code().len(), 3);
        assert_eq!(
            Currency::parse(currency.code()),
            Ok(currency),
            "no code may stand twice"
        );
    }
    // ISO 4217: withdrawn (DEM 2002, HRK 2023, ANG 2025) or never a code.
    for unknown in ["", "GB", "GBPX", "DEM", "HRK", "ANG", "ABC", "£", "GBP "] {
        assert!(
            matches!(Currency::parse(unknown), Err(CurrencyFault::Unknown { .. })),
            "{unknown:?}"
        );
    }
    let unknown = "'ABC' is no currency in force: type its three letters of ISO 4217, such as GBP or EUR";
    assert_eq!(Currency::parse("ABC").unwrap_err().to_string(), unknown);
    let gold = "XAU has no minor unit, so no price can be kept in it: type a currency such as GBP or EUR";
    assert_eq!(Currency::parse("XAU").unwrap_err().to_string(), gold);
}
