//! Extending a life: type, test, half of what it was, how often.

use super::{case, import, text, turned_away, types, with_part};
use crate::desk::Counter;
use crate::stores::done_and_undone;
use bincard::domain::keeping::extend::half_of;
use bincard::domain::measure::Life;

const SIZES: &str = "part,name,value,unit\n";

/// A lot of ten on B-1, its last day printed, of a part whose life is this; its number.
fn lot_of(counter: &Counter, last: &str) -> String {
    types(
        counter,
        &format!("goods-in X-1 10 --supplier QUO --cost 4 --expiry {last} --on 2025-04-01 --by TW"),
    )
    .good();
    text(counter, "SELECT number FROM lot ORDER BY id DESC LIMIT 1")
}

fn tested(counter: &Counter, number: &str, day: &str) {
    let line = format!("certificate add {number} X-1 10 --sort test --issuer Pellam --dated {day} --by TW");
    types(counter, &line).good();
}

fn expiry(counter: &Counter, lot: &str, column: &str) -> String {
    text(
        counter,
        &format!("SELECT {column} FROM lot WHERE number = '{lot}'"),
    )
}

/// By the stated rule: half, rounded down to whole months or days, never nothing.
#[test]
fn the_half_of_a_life_is_rounded_down() {
    for (life, half) in [
        (Life::Months(12), Some(Life::Months(6))),
        (Life::Months(15), Some(Life::Months(7))),
        (Life::Months(2), Some(Life::Months(1))),
        (Life::Months(1), None),
        (Life::Days(7), Some(Life::Days(3))),
        (Life::Days(1), None),
    ] {
        assert_eq!(half_of(life), half, "{life}");
    }
}

#[test]
fn a_published_extension_comes_out() {
    let case = case("extend-1");
    let months = case["inputs"]["original_months"].as_integer().unwrap();
    let counter = with_part(&format!("{months} months type 2"));
    let old = case["inputs"]["expiry"].as_str().unwrap();
    let lot = lot_of(&counter, old);
    tested(&counter, "TR-1", "2026-03-20");
    let line = format!("extend {lot} --test TR-1 --on 2026-09-01 --by OQ");
    // Judged on the clock's day, half a year more is past already.
    turned_away(&counter, &line, 252, 1, "2026-09-30, and that is past too");
    let lot = lot_of(&counter, "2026-11-30");
    let ran = types(&counter, &format!("extend {lot} --test TR-1 --by OQ")).good();
    assert_eq!(
        ran.answer(),
        format!("write on the label: {lot} of X-1 use by 2027-05-30, extended")
    );
    assert_eq!(expiry(&counter, &lot, "expiry"), "2027-05-30");
    assert_eq!(
        expiry(&counter, &lot, "expiry_how"),
        "original last day 2026-11-30; extended 1 of 1 by 6 months, half of 12 months, from 2026-11-30 on test \
         report TR-1 of 2026-03-20"
    );
    let change = format!(
        "SELECT c.old || ' ' || c.new FROM change c JOIN lot l ON l.id = c.what_id \
         WHERE c.what = 'lot' AND c.field = 'expiry' AND l.number = '{lot}'"
    );
    assert_eq!(text(&counter, &change), "2026-11-30 2027-05-30");
    types(&counter, "check").good();
}

/// The published case to the day: decided by the pure rule on its own day.
#[test]
fn from_a_last_day_half_a_life_on() {
    let case = case("extend-1");
    let day = |text: &str| bincard::domain::measure::Day::parse(text).unwrap();
    let months = u32::try_from(case["inputs"]["original_months"].as_integer().unwrap()).unwrap();
    let half = half_of(Life::Months(months)).unwrap();
    let extension = u32::try_from(case["expected"]["extension_months"].as_integer().unwrap()).unwrap();
    assert_eq!(half, Life::Months(extension));
    let until =
        bincard::domain::measure::day::end_from_day(day(case["inputs"]["expiry"].as_str().unwrap()), half);
    assert_eq!(until, Some(day(case["expected"]["new_expiry"].as_str().unwrap())));
}

#[test]
fn an_extension_is_tried_done_and_undone() {
    let counter = with_part("12 months type 2");
    let lot = lot_of(&counter, "2026-11-20");
    tested(&counter, "TR-1", "2026-11-24");
    let words = ["extend", &lot, "--test", "TR-1", "--by", "OQ"];
    done_and_undone(&counter, &words);
    assert_eq!(expiry(&counter, &lot, "expiry"), "2026-11-20");
    assert!(expiry(&counter, &lot, "expiry_how").starts_with("printed on the pack"));
    // The one that was taken back does not count.
    types(&counter, &words.join(" ")).good();
    let json = types(&counter, &format!("log {lot} --format json")).good();
    assert!(json.out.contains("2027-05-20"), "{}", json.out);
}

/// N22: a lot of type I passed its test and the clerk wants an extension: refused, to him and to the inspector.
#[test]
fn a_type_one_lot_that_passed_its_test_is_not_extended() {
    let case = case("extend-3");
    assert!(case["expected"].as_str().unwrap().starts_with("refused"));
    let counter = with_part("12 months type 1");
    let lot = lot_of(&counter, "2026-12-31");
    tested(&counter, "TR-1", "2026-11-24");
    let line = |by: &str| format!("extend {lot} --test TR-1 --by {by}");
    turned_away(&counter, &line("TW"), 225, 77, "inspector");
    turned_away(&counter, &line("OQ"), 252, 1, "type 1, which is never extended");
}

#[test]
fn what_is_not_extended_says_why() {
    let counter = with_part("12 months");
    let lot = lot_of(&counter, "2026-12-31");
    tested(&counter, "TR-1", "2026-11-24");
    turned_away(
        &counter,
        &format!("extend {lot} --test TR-1 --by OQ"),
        252,
        1,
        "does not say",
    );
    let counter = with_part("12 months type 2");
    let lot = lot_of(&counter, "2026-12-31");
    turned_away(
        &counter,
        &format!("extend {lot} --test TR-9 --by OQ"),
        239,
        1,
        "no test report TR-9",
    );
    turned_away(&counter, &format!("extend {lot} --test TR-9 --by TW"), 239, 1, "");
    tested(&counter, "OLD", "2025-04-01");
    turned_away(
        &counter,
        &format!("extend {lot} --test OLD --by OQ"),
        252,
        1,
        "later than 2025-04-01",
    );
    tested(&counter, "NEXT", "2026-11-26");
    turned_away(
        &counter,
        &format!("extend {lot} --test NEXT --by OQ"),
        252,
        1,
        "still to come",
    );
    let add = |number: &str, part: &str, sort: &str| {
        let line = format!(
            "certificate add {number} {part} 9 --sort {sort} --issuer Pellam --dated 2026-11-24 --by TW"
        );
        types(&counter, &line).good();
    };
    add("CC-1", "X-1", "conformity");
    turned_away(
        &counter,
        &format!("extend {lot} --test CC-1 --by OQ"),
        252,
        1,
        "a test report is wanted",
    );
    add("TR-2", "OR-18", "test");
    turned_away(
        &counter,
        &format!("extend {lot} --test TR-2 --by OQ"),
        252,
        1,
        "of another part",
    );
}

/// An opened pack is a lot of its own, and is not extended; what was opened of a lot before is not made to last either.
#[test]
fn an_opened_pack_is_not_extended() {
    let counter = with_part("12 months type 2");
    let lot = lot_of(&counter, "2026-12-31");
    tested(&counter, "TR-3", "2026-11-24");
    types(
        &counter,
        &format!("inspect {lot} 10 --to B-1 --checked all --by OQ"),
    )
    .good();
    types(&counter, &format!("open {lot} 1 --by TW")).good();
    let child = text(&counter, "SELECT number FROM lot ORDER BY id DESC LIMIT 1");
    turned_away(
        &counter,
        &format!("extend {child} --test TR-3 --by OQ"),
        252,
        1,
        "only an unopened pack",
    );
    types(&counter, &format!("extend {lot} --test TR-3 --by OQ")).good();
    assert_eq!(expiry(&counter, &child, "expiry"), "2026-12-31");
}

#[test]
fn as_often_as_the_part_says_and_each_time_on_a_newer_test() {
    let counter = with_part("3 months type 2");
    import(
        &counter,
        "sizes.csv",
        &format!("{SIZES}X-1,extensions,2,\n"),
        "HP",
    )
    .good();
    let lot = lot_of(&counter, "2026-11-24");
    tested(&counter, "TR-1", "2026-11-24");
    types(&counter, &format!("extend {lot} --test TR-1 --by OQ")).good();
    assert_eq!(expiry(&counter, &lot, "expiry"), "2026-12-24");
    turned_away(
        &counter,
        &format!("extend {lot} --test TR-1 --by OQ"),
        252,
        1,
        "later than 2026-11-25",
    );
    types(&counter, "settings --training-day 2026-12-26 --by HP").good();
    tested(&counter, "TR-2", "2026-12-24");
    types(&counter, &format!("extend {lot} --test TR-2 --by OQ")).good();
    assert_eq!(expiry(&counter, &lot, "expiry"), "2027-01-24");
    let how = expiry(&counter, &lot, "expiry_how");
    assert!(
        how.starts_with("original last day 2026-11-24; extended 2 of 2"),
        "{how}"
    );
    tested(&counter, "TR-3", "2026-12-26");
    types(&counter, "settings --training-day 2026-12-27 --by HP").good();
    tested(&counter, "TR-4", "2026-12-27");
    turned_away(
        &counter,
        &format!("extend {lot} --test TR-4 --by OQ"),
        252,
        1,
        "extended 2 times and was",
    );
    types(&counter, "check").good();
}
