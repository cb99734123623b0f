//! Cycle counting held to check values that name their source, and the days on which a line is due.

use bincard::domain::measure::{Day, Money, Qty};
use bincard::domain::stores::counting::cycle::{
    Class, CountRule, accuracy_percent, classes, due, limits, lines_a_day, pieces, variance_percent, within,
};
use rust_decimal::Decimal;
use toml::{Table, Value};

/// Check values with their sources.
const FACTS: &str = include_str!("../../facts/counting.toml");

fn number(value: &Value) -> Decimal {
    value.as_str().unwrap().parse().unwrap()
}

fn qty(value: &Value) -> Qty {
    Qty::parse(value.as_str().unwrap()).unwrap()
}

fn whole(value: &Value) -> usize {
    usize::try_from(value.as_integer().unwrap()).unwrap()
}

/// Equal to the six decimals that the source prints.
fn close(found: Decimal, wanted: Decimal) -> bool {
    (found - wanted).abs() <= Decimal::new(1, 6)
}

fn judge(case: &Table) {
    let id = case["id"].as_str().unwrap();
    match case["kind"].as_str().unwrap() {
        "variance" => {
            let (record, counted) = (qty(&case["record"]), qty(&case["counted"]));
            assert_eq!(
                variance_percent(record, counted),
                Some(number(&case["percent"])),
                "{id}"
            );
            let found = within(record, counted, number(&case["tolerance_percent"]));
            assert_eq!(Some(found), case["within"].as_bool(), "{id}");
        }
        "accuracy" => assert_eq!(
            accuracy_percent(whole(&case["right"]), whole(&case["lines"])),
            Some(number(&case["percent"])),
            "{id}"
        ),
        "classes" => {
            let values: Vec<Money> = case["values"]
                .as_array()
                .unwrap()
                .iter()
                .map(|value| Money::parse(value.as_str().unwrap()).unwrap())
                .collect();
            let found: String = classes(&values).into_iter().map(Class::letter).collect();
            assert_eq!(found, case["classes"].as_str().unwrap(), "{id}");
        }
        "weigh" => assert_eq!(
            pieces(
                number(&case["gross"]),
                number(&case["tare"]),
                number(&case["piece"])
            ),
            Some(number(&case["pieces"])),
            "{id}"
        ),
        "a day" => {
            let rows: Vec<(usize, i64)> = case["classes"]
                .as_array()
                .unwrap()
                .iter()
                .map(|row| {
                    let row = row.as_array().unwrap();
                    (whole(&row[0]), row[1].as_integer().unwrap())
                })
                .collect();
            let found = lines_a_day(&rows).round_dp(4);
            assert_eq!(found, number(&case["total"]), "{id}");
        }
        "lines" => {
            let rows = case["rows"].as_array().unwrap();
            let hits = rows.iter().filter(|row| {
                let found = within(
                    qty(&row["record"]),
                    qty(&row["counted"]),
                    number(&row["tolerance_percent"]),
                );
                assert_eq!(Some(found), row["within"].as_bool(), "{id} {row}");
                found
            });
            let percent = accuracy_percent(hits.count(), rows.len());
            assert_eq!(percent, Some(number(&case["percent"])), "{id}");
        }
        "limits" => {
            let (lower, upper) = limits(number(&case["p"]), whole(&case["n"])).unwrap();
            assert!(close(lower, number(&case["lower"])), "{id}: {lower}");
            assert!(close(upper, number(&case["upper"])), "{id}: {upper}");
        }
        kind => panic!("{id}: no kind {kind}"),
    }
}

#[test]
fn the_check_values_hold() {
    let file: Table = FACTS.parse().unwrap();
    let cases = file["case"].as_array().unwrap();
    assert_eq!(cases.len(), 11);
    for case in cases {
        let case = case.as_table().unwrap();
        assert!(!case["source"].as_str().unwrap().is_empty());
        judge(case);
    }
}

#[test]
fn what_nothing_passes_through_is_of_the_lowest_class() {
    let money = |text: &str| Money::parse(text).unwrap();
    assert_eq!(classes(&[]), []);
    assert_eq!(classes(&[money("0"), money("0")]), [Class::C, Class::C]);
    // The only one that anything passes through crosses both cuts.
    assert_eq!(classes(&[money("0"), money("5")]), [Class::C, Class::A]);
    // 80 of 100 reach the cut exactly: the next is B.
    assert_eq!(classes(&[money("20"), money("80")]), [Class::B, Class::A]);
}

#[test]
fn a_line_is_due_on_the_day_its_class_says() {
    let day = |text: &str| Day::parse(text).unwrap();
    let today = day("2026-11-25");
    for (class, wanted) in [
        (Class::A, "2026-11-21"),
        (Class::B, "2026-12-31"),
        (Class::C, "2027-03-01"),
    ] {
        let last = Some(day("2026-11-01"));
        assert_eq!(
            due(last, CountRule::usual(class), today),
            day(wanted),
            "{class:?}"
        );
        assert_eq!(due(None, CountRule::usual(class), today), today);
    }
}

#[test]
fn nothing_to_divide_by_is_no_figure() {
    assert_eq!(accuracy_percent(0, 0), None);
    assert_eq!(variance_percent(Qty::ZERO, Qty::whole(1)), None);
    assert_eq!(limits(Decimal::new(5, 2), 0), None);
    assert_eq!(pieces(Decimal::ONE, Decimal::ONE, Decimal::ZERO), None);
    assert_eq!(pieces(Decimal::ONE, Decimal::TWO, Decimal::ONE), None);
}
