//! Days as labels print them, and the lives counted from them, against the facts file.

use super::{cases, text};
use bincard::domain::measure::day::{Day, Life, end_from_day};
use bincard::domain::measure::printed::{PrintedFault, end_of_life, end_when_opened, printed_day};
use bincard::domain::stores::ids::{DocId, LotId, PartId};
use bincard::domain::stores::lot::Lot;
use proptest::prelude::*;
use toml::Table;

const FACTS: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/facts/life.toml"));

fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

/// A lot whose last day is this and about which nothing else is said.
fn lot(last: Day) -> Lot {
    Lot {
        id: LotId(1),
        number: "L000001C".to_owned(),
        part: PartId(1),
        child: false,
        pending: false,
        owner: None,
        size: None,
        specific: false,
        off_engine: None,
        batch: None,
        serial: None,
        maker: None,
        condition: "new".to_owned(),
        made: None,
        opened: None,
        expiry: Some(last),
        expiry_how: None,
        order_line: None,
        document: DocId(1),
    }
}

#[test]
fn every_published_case_comes_out() {
    let cases = cases(FACTS);
    assert_eq!(cases.len(), 13);
    for case in cases {
        check(&case);
    }
}

fn check(case: &Table) {
    let id = text(case, "id");
    let input = |key: &str| case["inputs"][key].as_str().unwrap();
    let count = |key: &str| u32::try_from(case["inputs"][key].as_integer().unwrap()).unwrap();
    let today = day("2026-11-25");
    match id {
        "exp-month-1" | "exp-month-2" => {
            let read = printed_day(input("printed"), false, today).unwrap();
            assert_eq!(read.last, day(text(case, "expected")), "{id}");
            assert!(read.how.contains("to its last day"), "{}", read.how);
        }
        "open-life-1" | "open-life-2" => {
            let own = Some(day(input("printed_expiry")));
            let end = end_when_opened(own, day(input("opened")), Life::Months(count("open_life_months")));
            assert_eq!(end, Some(day(text(case, "expected"))), "{id}");
        }
        "expiry-day-1" | "expiry-day-2" => {
            let usable = lot(day(input("expiry"))).usable_on(day(input("asof")));
            assert_eq!(usable, text(case, "expected").starts_with("usable"), "{id}");
        }
        "planned-use-1" => {
            let lot = lot(day(input("expiry")));
            assert!(lot.usable_on(day(input("pick_date"))));
            assert!(!lot.usable_on(day(input("planned_use"))));
        }
        "cad-1" => {
            let made = printed_day(input("lot"), true, today).unwrap();
            let end = end_of_life(&made, Life::Months(count("life_years") * 12));
            assert_eq!(end, Some(day(text(case, "expected"))), "{made:?}");
        }
        "cure-1" | "cure-2" => {
            let made = printed_day(input("cure"), true, today).unwrap();
            let end = end_of_life(&made, Life::Months(count("life_years") * 12));
            let expected = case["expected"]["last_usable_day"].as_str().unwrap();
            assert_eq!(end, Some(day(expected)), "{id}");
        }
        "addm-1" | "addm-2" => {
            let end = end_from_day(day(input("start")), Life::Months(count("months")));
            assert_eq!(end, Some(day(text(case, "expected"))), "{id}");
        }
        "isoweek-1" => {
            let week = printed_day(input("iso"), false, today).unwrap();
            assert_eq!(week.first, day(text(case, "expected")));
        }
        other => panic!("no check is written for the case {other}"),
    }
}

/// By hand from the calendar: 2026 begins on a Thursday and has 53 weeks of ISO 8601; 330 is 26 November.
#[test]
fn labels_are_read_to_the_last_day_they_mean() {
    let today = day("2026-11-25");
    for (printed, made, last) in [
        ("2026-11-25", false, "2026-11-25"),
        ("2026-11", false, "2026-11-30"),
        ("02/2027", false, "2027-02-28"),
        ("4Q20", true, "2020-12-31"),
        ("1q2027", false, "2027-03-31"),
        ("4Q95", true, "1995-12-31"),
        ("4Q27", true, "1927-12-31"),
        ("4Q27", false, "2027-12-31"),
        ("2026-W53", false, "2027-01-03"),
        ("2026W01", false, "2026-01-04"),
        ("26330", false, "2026-11-26"),
        ("26330", true, "1926-11-26"),
        ("28366", false, "2028-12-31"),
        // Day 365 alone fits: no week 65, no month 63.
        ("6365", false, "2026-12-31"),
    ] {
        let read = printed_day(printed, made, today).unwrap_or_else(|fault| panic!("{printed}: {fault}"));
        assert_eq!(read.last, day(last), "{printed}: {}", read.how);
    }
}

#[test]
fn what_fits_two_codes_is_listed_and_what_fits_none_is_refused() {
    let today = day("2026-11-25");
    // Month 12 of 2026, week 26 of 2012, day 226 of 2021 or 2031.
    let PrintedFault::TwoFold { readings, .. } = printed_day("1226", false, today).unwrap_err() else {
        panic!("guessed");
    };
    assert!(
        readings.iter().any(|one| one.starts_with("2026-12-31")),
        "{readings:?}"
    );
    assert!(
        readings.iter().any(|one| one.starts_with("2012-07-01")),
        "{readings:?}"
    );
    for printed in [
        "", "5Q20", "0Q20", "2025-W53", "2026-W00", "9999", "27366", "03/04/26", "soon", "+4Q20", "2026-13",
        "26-11",
    ] {
        assert!(printed_day(printed, false, today).is_err(), "{printed:?}");
    }
    let words = printed_day("soon", false, today).unwrap_err().to_string();
    for accepted in ["2026-11-25", "2026-11 ", "4Q26", "2026-W48"] {
        assert!(words.contains(accepted), "{words}");
    }
}

#[test]
fn a_life_from_a_month_ends_with_a_month() {
    let today = day("2026-11-25");
    let end = |printed: &str, life: Life| end_of_life(&printed_day(printed, true, today).unwrap(), life);
    // From January: first day after is 1 February, a month later 1 March, the day before 28 February.
    assert_eq!(end("2026-01", Life::Months(1)), Some(day("2026-02-28")));
    assert_eq!(end("2026-01-31", Life::Months(1)), Some(day("2026-02-28")));
    assert_eq!(end("2026-01", Life::Days(1)), Some(day("2026-02-01")));
    assert_eq!(end("2026-01-31", Life::Days(1)), Some(day("2026-02-01")));
    assert_eq!(end("9999-12", Life::Months(1)), None);
    assert_eq!(
        end_when_opened(None, day("2026-01-31"), Life::Days(0)),
        Some(day("2026-01-31"))
    );
}

proptest! {
    #[test]
    fn any_text_is_answered(printed in any::<String>(), made in any::<bool>()) {
        let today = day("2026-11-25");
        let _ = printed_day(&printed, made, today).map_err(|fault| fault.to_string());
    }

    #[test]
    fn codes_of_digits_are_answered(code in 0_u32..100_000, made in any::<bool>()) {
        for printed in [format!("{code:05}"), format!("{:04}", code % 10_000)] {
            if let Ok(read) = printed_day(&printed, made, day("2026-11-25")) {
                prop_assert!(read.first <= read.last);
                prop_assert!(!made || read.first <= day("2026-11-25"));
            }
        }
    }
}
