//! Days as typed, and the day a life ends on.

use bincard::domain::measure::day::{Day, DayFault, Life, LifeFault, end_from_day};
use proptest::prelude::*;

fn day(text: &str) -> Day {
    Day::parse(text).unwrap_or_else(|fault| panic!("{fault}"))
}

#[test]
fn only_iso_days_are_read() {
    for text in [
        "2026-11-25",
        "2024-02-29",
        "2000-02-29",
        "0001-01-01",
        "9999-12-31",
        "2026-01-31",
    ] {
        assert_eq!(day(text).to_string(), text);
    }
    assert_eq!(Day::new(2026, 11, 25), Some(day("2026-11-25")));
    assert_eq!(
        (day("2026-11-25").date().year(), day("2026-11-25").date().day()),
        (2026, 25)
    );
    for (year, month, of_month) in [
        (2026, 2, 29),
        (2026, 0, 1),
        (2026, 13, 1),
        (0, 1, 1),
        (-1, 1, 1),
        (2026, 4, 31),
    ] {
        assert_eq!(Day::new(year, month, of_month), None);
    }
}

/// Readings by hand; years of two figures are 20xx.
const MEANT_OTHERWISE: &[(&str, &str)] = &[
    (
        "",
        "nothing stands where a day is wanted: type it as YYYY-MM-DD, such as 2026-11-25",
    ),
    (
        "  ",
        "nothing stands where a day is wanted: type it as YYYY-MM-DD, such as 2026-11-25",
    ),
    (
        "03/04/26",
        "'03/04/26' can be read as 2026-04-03 or as 2026-03-04: type the one meant",
    ),
    (
        "3.4.2026",
        "'3.4.2026' can be read as 2026-04-03 or as 2026-03-04: type the one meant",
    ),
    (
        "03-04-26",
        "'03-04-26' can be read as 2003-04-26 or as 2026-04-03 or as 2026-03-04: type the one meant",
    ),
    (
        "03/03/26",
        "'03/03/26' is not written as YYYY-MM-DD: type 2026-03-03",
    ),
    (
        "13/04/26",
        "'13/04/26' is not written as YYYY-MM-DD: type 2026-04-13",
    ),
    (
        "04/13/26",
        "'04/13/26' is not written as YYYY-MM-DD: type 2026-04-13",
    ),
    (
        "2026/04/03",
        "'2026/04/03' is not written as YYYY-MM-DD: type 2026-04-03",
    ),
    (
        "2026-4-3",
        "'2026-4-3' is not written as YYYY-MM-DD: type 2026-04-03",
    ),
    (
        "20261125",
        "'20261125' is not written as YYYY-MM-DD: type 2026-11-25",
    ),
    (
        " 2026-11-25",
        "' 2026-11-25' is not written as YYYY-MM-DD: type 2026-11-25",
    ),
    (
        "2026-02",
        "'2026-02' names a month but no day: type the day too, such as the last one, 2026-02-28",
    ),
    (
        "02/2028",
        "'02/2028' names a month but no day: type the day too, such as the last one, 2028-02-29",
    ),
    (
        "2026-02-29",
        "2026-02-29 is no day of the calendar: that month ends on 2026-02-28",
    ),
    (
        "2026-04-31",
        "2026-04-31 is no day of the calendar: that month ends on 2026-04-30",
    ),
    (
        "1900-02-29",
        "1900-02-29 is no day of the calendar: that month ends on 1900-02-28",
    ),
];

#[test]
fn other_days_are_refused_with_what_to_type() {
    for (text, message) in MEANT_OTHERWISE {
        assert_eq!(Day::parse(text).unwrap_err().to_string(), *message, "{text:?}");
    }
    let no_days = [
        "2026-04-00",
        "2026-13-01",
        "2026-13",
        "0000-01-01",
        "31/31/26",
        "04/26",
        "2026-11-25T08:00",
        "2026-11-25Z",
        "-002026-11-25",
        "２０２６-11-25",
        "2026-W14",
        "tomorrow",
        "2026-11-2\0",
    ];
    for text in no_days {
        assert_eq!(
            Day::parse(text),
            Err(DayFault::NotADay {
                text: text.to_owned()
            })
        );
    }
    let message = r"'2026-11-2\0' is no day of the calendar: type it as YYYY-MM-DD, such as 2026-11-25";
    assert_eq!(Day::parse("2026-11-2\0").unwrap_err().to_string(), message);
}

/// Days of the months from the calendar; 2024 is a leap year, 2026 is not.
#[test]
fn days_are_counted() {
    let table = [
        ("2026-11-25", 0, "2026-11-25"),
        ("2026-12-31", 1, "2027-01-01"),
        ("2024-02-28", 1, "2024-02-29"),
        ("2026-02-28", 1, "2026-03-01"),
        ("2026-01-01", -1, "2025-12-31"),
        ("2026-01-01", 365, "2027-01-01"),
        ("2024-01-01", 366, "2025-01-01"),
    ];
    for (from, days, to) in table {
        assert_eq!(day(from).plus_days(days), Some(day(to)));
        assert_eq!(day(from).days_until(day(to)), days);
        assert_eq!(day(to).days_until(day(from)), -days);
    }
    assert_eq!(day("9999-12-31").plus_days(1), None);
    assert_eq!(day("0001-01-01").plus_days(-1), None);
    assert_eq!(day("2026-01-01").plus_days(i64::MAX), None);
    assert_eq!(
        day("0001-01-01").days_until(day("9999-12-31")),
        3_652_058,
        "25 centuries of 146097 days a four"
    );
    assert!(day("2026-09-30") < day("2026-10-01"));
    assert_eq!(format!("{:>12}", day("2026-11-25")), "  2026-11-25");
}

#[test]
fn lives_are_read() {
    let table = [
        ("1 day", Life::Days(1), "1 day"),
        ("90 days", Life::Days(90), "90 days"),
        ("6 weeks", Life::Days(42), "42 days"),
        ("1 month", Life::Months(1), "1 month"),
        ("12 months", Life::Months(12), "12 months"),
        ("24 months", Life::Months(24), "24 months"),
        ("2 years", Life::Months(24), "24 months"),
        ("100 years", Life::Months(1200), "1200 months"),
    ];
    for (text, life, shown) in table {
        assert_eq!(Life::parse(text), Ok(life));
        assert_eq!(life.to_string(), shown);
        assert_eq!(Life::parse(shown), Ok(life));
    }
    for text in [
        "",
        "12",
        "months",
        "12months",
        "12 Months",
        "12 m",
        "1.5 years",
        "-1 months",
        "+1 month",
        "12  days",
    ] {
        assert_eq!(
            Life::parse(text),
            Err(LifeFault::NotALife {
                text: text.to_owned()
            })
        );
    }
    for text in [
        "0 days",
        "0 months",
        "1201 months",
        "101 years",
        "36526 days",
        "4294967296 days",
        "4294967295 years",
    ] {
        assert_eq!(
            Life::parse(text),
            Err(LifeFault::OutOfRange {
                text: text.to_owned()
            })
        );
    }
}

/// End-of-month clamp by hand; the first two rows are the agreed cases addm-1 and addm-2 (recomputed).
#[test]
fn a_life_from_a_full_date_clamps_to_the_months_end() {
    let table = [
        ("2024-02-29", "12 months", "2025-02-28"),
        ("2026-01-31", "1 month", "2026-02-28"),
        ("2026-08-31", "6 months", "2027-02-28"),
        ("2027-08-31", "6 months", "2028-02-29"),
        ("2024-02-29", "48 months", "2028-02-29"),
        ("2025-02-28", "12 months", "2026-02-28"),
        ("2026-03-10", "6 months", "2026-09-10"),
        ("2026-10-31", "1 month", "2026-11-30"),
        ("2026-12-31", "2 months", "2027-02-28"),
        ("2026-02-28", "1 day", "2026-03-01"),
        ("2024-02-28", "1 day", "2024-02-29"),
        ("2026-01-01", "90 days", "2026-04-01"),
    ];
    for (made, life, end) in table {
        assert_eq!(
            end_from_day(day(made), Life::parse(life).unwrap()),
            Some(day(end)),
            "{made} + {life}"
        );
    }
    assert_eq!(end_from_day(day("9999-12-31"), Life::Days(1)), None);
    assert_eq!(end_from_day(day("9999-12-31"), Life::Months(u32::MAX)), None);
    assert_eq!(end_from_day(day("2026-01-01"), Life::Days(u32::MAX)), None);
    assert_eq!(day("2028-02-03").last_of_month(), day("2028-02-29"));
}

proptest! {
    #[test]
    fn days_sort_as_their_text_does(a in 0_i64..3_652_059, b in 0_i64..3_652_059) {
        let first = day("0001-01-01");
        let (one, other) = (first.plus_days(a).unwrap(), first.plus_days(b).unwrap());
        prop_assert_eq!(one.cmp(&other), one.to_string().cmp(&other.to_string()));
        prop_assert_eq!(Day::parse(&one.to_string()), Ok(one));
        prop_assert_eq!(one.days_until(other), b - a);
    }

    #[test]
    fn any_text_is_answered(text in any::<String>()) {
        let _ = Day::parse(&text).map_err(|fault| fault.to_string());
        let _ = Life::parse(&text).map_err(|fault| fault.to_string());
    }
}
