//! `away`: what stays ours and is with somebody else, out with a due day and back to be inspected.

use super::{lies, lot_of, there_and_back, turned_away, types};
use crate::desk::Counter;
use bincard::domain::measure::day::end_from_day;
use bincard::domain::measure::{Day, Life};

const RECEIVING: i64 = 1;
const AWAY: i64 = 8;

/// Two of eight spacers go to be plated: 147.20 × 2 / 8 = 36.80 goes with them and comes back. The morning page tells of
/// them from the day on which they are due.
#[test]
fn out_to_be_plated_and_back() {
    let counter = Counter::sample();
    let line = "away S20-11 2 --to PLATE --due 2026-12-05 --by TW -w nickel plating";
    let ran = there_and_back(&counter, line);
    assert_eq!(ran.answer(), "2 each of SP-20 away to PLATE, due back 2026-12-05");
    assert_eq!(types(&counter, "away").good().answer(), "nothing is away");
    types(&counter, line).good();
    let lot = lot_of(&counter, "S20-11");
    assert_eq!(lies(&counter, &lot, AWAY), 2_000_000);
    let worth = "SELECT value FROM balance WHERE place / 1000000 = 8 AND qty > 0";
    assert_eq!(counter.figure(worth), 36_800_000);
    let page = |day: &str| types(&counter, &format!("today --on {day}")).good().out;
    assert!(!page("2026-12-04").contains("away"), "{}", page("2026-12-04"));
    for (day, state) in [
        ("2026-12-05", "DUE today"),
        ("2026-12-06", "OVERDUE by 1 day"),
        ("2026-12-08", "OVERDUE by 3 days"),
    ] {
        let page = page(day);
        assert!(page.contains("1 away and due") && page.contains(state), "{page}");
        assert!(
            page.contains("2 each of SP-20 with away at the plating shop"),
            "{page}"
        );
    }
    let list = types(&counter, "away").good();
    assert_eq!(list.answer(), "1 lot away, none overdue");
    assert!(
        list.out.contains("in 10 days") && list.out.contains("nickel plating"),
        "{}",
        list.out
    );
    let list = types(&counter, "away --on 2026-12-06 --format json")
        .good()
        .json();
    assert_eq!(list["rows"][0]["state"], "OVERDUE by 1 day", "{list}");
    let line = format!("away {lot} --back --by TW");
    let ran = there_and_back(&counter, &line);
    assert_eq!(
        ran.answer(),
        "2 each of SP-20 back from PLATE, in IN to be inspected"
    );
    types(
        &counter,
        &format!("away {lot} 1 --back --by TW -w one is still in the bath"),
    )
    .good();
    assert_eq!(
        (lies(&counter, &lot, AWAY), lies(&counter, &lot, RECEIVING)),
        (1_000_000, 1_000_000)
    );
    types(&counter, &line).good();
    turned_away(&counter, &line, 242, 1, "none of it lies");
    types(&counter, "check").good();
}

/// A tool is a lot whose last day is the end of its calibration, 2027-02-15: good on the day itself, refused after, and
/// said where it ends before the tool is due back.
#[test]
fn a_tool_is_lent_while_it_is_calibrated() {
    let counter = Counter::sample();
    let lend = |days: &str| format!("away TW-2 --to OUT {days} --by TW -w fitter at the slip");
    turned_away(
        &counter,
        &lend("--due 2026-12-01"),
        242,
        1,
        "it lies on BENCH, and goes out from a shelf",
    );
    types(&counter, "move TW-2 --to TOOLS --by TW").good();
    let ran = there_and_back(&counter, &lend("--due 2027-02-15"));
    assert!(!ran.out.contains("calibration"), "{}", ran.out);
    let ran = there_and_back(&counter, &lend("--due 2027-02-16"));
    assert!(
        ran.out
            .contains("its calibration ends 2027-02-15, before it is due back"),
        "{}",
        ran.out
    );
    types(&counter, "people change OQ --until 2029-01-08 --by DA").good();
    types(&counter, "settings --training-day 2027-02-15 --by HP").good();
    there_and_back(&counter, &lend("--due 2027-03-01"));
    types(&counter, "settings --training-day 2027-02-16 --by HP").good();
    turned_away(
        &counter,
        &lend("--due 2027-03-01"),
        259,
        1,
        "calibration ended 2027-02-15, overdue by 1 day",
    );
    // Out of the cage the inspector sends it to be calibrated; nobody else does.
    let calibrate = |by: &str| format!("away TW-1 --to OUT --due 2027-03-01 --by {by} -w to be calibrated");
    turned_away(&counter, &calibrate("TW"), 225, 77, "inspector");
    there_and_back(&counter, &calibrate("OQ"));
}

/// The facts of calibration: the last day is good, the day after is a day overdue.
#[test]
fn the_facts_of_calibration() {
    let facts: toml::Value = toml::from_str(include_str!("../../facts/cautions.toml")).unwrap();
    let mut seen = 0;
    for case in facts["case"].as_array().unwrap() {
        if case["kind"].as_str() != Some("calibration") {
            continue;
        }
        let day = |key: &str| Day::parse(case[key].as_str().unwrap()).unwrap();
        let months = u16::try_from(case["months"].as_integer().unwrap()).unwrap();
        let end = end_from_day(day("last"), Life::Months(months.into())).unwrap();
        let overdue = end.days_until(day("as_of")).max(0);
        assert_eq!(
            overdue,
            case["overdue_days"].as_integer().unwrap(),
            "{}",
            case["id"]
        );
        seen += 1;
    }
    assert_eq!(seen, 2);
}

#[test]
fn what_does_not_go_out() {
    let counter = Counter::sample();
    // What is short elsewhere is no matter here.
    types(&counter, "reserve blue --by TW");
    types(&counter, "hold S25-04 --by OQ -w thickness in doubt").good();
    let rest = "--to PLATE --due 2026-12-05 --by TW -w plating";
    for (line, number, exit, says) in [
        (format!("away S20-11 8 {rest}"), 208, 1, "reserved for"),
        (format!("away S20-11 9 {rest}"), 207, 1, "8 each there are in A-1"),
        (format!("away S20-11 0 {rest}"), 202, 1, ""),
        (format!("away S25-04 1 {rest}"), 205, 1, "thickness in doubt"),
        (format!("away NONE 1 {rest}"), 239, 1, "NONE"),
        (
            format!("away S20-11 1 --from A-2 {rest}"),
            242,
            1,
            "none of it lies in A-2",
        ),
        (
            "away S20-11 1 --to PLATE --by TW -w plating".to_owned(),
            223,
            1,
            "should be back",
        ),
        (
            "away S20-11 1 --to PLATE --due soon --by TW -w x".to_owned(),
            402,
            2,
            "--due",
        ),
        (
            "away S20-11 1 --to PLATE --due 2026-11-24 --by TW -w x".to_owned(),
            242,
            1,
            "before it goes",
        ),
        (
            "away S20-11 1 --to PLATE --due 2026-12-05 --by TW".to_owned(),
            402,
            2,
            "why",
        ),
        (
            "away S20-11 1 --to A-2 --due 2026-12-05 --by TW -w x".to_owned(),
            242,
            1,
            "this wants away",
        ),
        (
            "away S20-11 1 --due 2026-12-05 --by TW -w x".to_owned(),
            240,
            1,
            "OUT",
        ),
        (
            "away S20-11 1 --back --by TW".to_owned(),
            242,
            1,
            "none of it lies",
        ),
        (
            "away S20-11 1 --back --due 2026-12-05 --by TW".to_owned(),
            402,
            2,
            "--due",
        ),
    ] {
        turned_away(&counter, &line, number, exit, says);
    }
}

#[test]
fn due_on_the_day_itself_is_no_day_too_early() {
    let counter = Counter::sample();
    there_and_back(
        &counter,
        "away S20-11 1 --to PLATE --due 2026-11-25 --by TW -w plating",
    );
}
