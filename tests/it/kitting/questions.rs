//! The clerk's questions about a kit, each answered by the first line of one command, in no more than 80 cells.

use crate::desk::{Counter, Ran};

fn run(counter: &Counter, line: &str) -> Ran {
    counter.run(&line.split(' ').collect::<Vec<_>>())
}

#[track_caller]
fn answers(counter: &Counter, line: &str, exit: u8, wanted: &str) {
    let ran = run(counter, line);
    assert_eq!((ran.exit, ran.answer()), (exit, wanted), "{line}: {}", ran.err);
    assert!(ran.answer().chars().count() <= 80, "{line}");
}

/// "What am I short on the blue kit, and is any of it coming today?" By story.md: blue one jet, promised for 30
/// November; green eight studs, promised for 16 December, and pushrods from nowhere; red pistons, for 4 December.
#[test]
fn what_am_i_short_and_is_any_of_it_coming_today() {
    let counter = Counter::sample();
    answers(
        &counter,
        "shorts amber",
        1,
        "27 lines short on J-0004 (amber); all of it free to reserve",
    );
    run(&counter, "reserve --by TW");
    for (line, exit, wanted) in [
        ("shorts amber", 0, "nothing short on J-0004 (amber)"),
        (
            "shorts blue",
            1,
            "1 line short on J-0001 (blue); none due today, next 2026-11-30",
        ),
        (
            "shorts green",
            1,
            "2 lines short on J-0003 (green); none due today, next 2026-12-16",
        ),
        (
            "shorts red",
            1,
            "1 line short on J-0002 (red); none due today, next 2026-12-04",
        ),
        (
            "shorts",
            1,
            "4 lines short on 4 open jobs; none due today, next 2026-11-30",
        ),
        // The day before, the day itself, the day after, when it is late.
        (
            "shorts blue --on 2026-11-29",
            1,
            "1 line short on J-0001 (blue); none due today, next 2026-11-30",
        ),
        (
            "shorts blue --on 2026-11-30",
            1,
            "1 line short on J-0001 (blue); 1 line due today",
        ),
        (
            "shorts blue --on 2026-12-01",
            1,
            "1 line short on J-0001 (blue); none of it due",
        ),
    ] {
        answers(&counter, line, exit, wanted);
    }
    // Each short line with its part, the need, what is reserved, dead on the shelf, on order and when.
    let blue = run(&counter, "shorts blue --format json").json();
    let row = &blue["rows"][0];
    assert_eq!((&row["part"], &row["n"]), (&"JT-130".into(), &3.into()));
    for (column, wanted) in [
        ("short", "1"),
        ("need", "2"),
        ("reserved", "1"),
        ("free", "0"),
        ("dead", "0"),
    ] {
        assert_eq!(row[column]["qty"], wanted, "{column}");
    }
    assert_eq!(row["on_order"], "4 each ORD-103 2026-11-30");
}

/// "I've two lots in the one bin. Which first?" By opening/stock.csv: of the o-rings row 31 ends before row 30; of the
/// studs neither ends, so the older.
#[test]
fn which_lot_first() {
    let counter = Counter::sample();
    for (line, wanted) in [
        (
            "stock OR-42",
            "OR-42: 15 each free of 15 each on the shelf; first L0000310 in B-1",
        ),
        (
            "stock ST-160",
            "ST-160: 24 each free of 24 each on the shelf; first L0000134 in A-2",
        ),
    ] {
        answers(&counter, line, 0, wanted);
    }
    // What amber and blue have reserved is not handed out: of row 31 nothing is free any more.
    run(&counter, "reserve amber blue --by TW");
    answers(
        &counter,
        "stock OR-42",
        0,
        "OR-42: 11 each free of 15 each on the shelf; first L0000302 in B-1",
    );
}

/// "I put that on the wrong job. How do I undo it?"
#[test]
fn how_do_i_undo_it() {
    let counter = Counter::sample();
    run(&counter, "give JT-130 1 -j amber --by TW").good();
    let asked = run(&counter, "undo --by TW");
    let told: Vec<&str> = asked.err.lines().collect();
    assert_eq!(asked.exit, 2);
    assert!(
        told[0].contains("the last document of TW is ISS-000005"),
        "{told:?}"
    );
    assert!(told[0].chars().count() <= 80, "{told:?}");
    assert!(asked.err.contains("bincard undo ISS-000005 --by TW"), "{told:?}");
    answers(
        &counter,
        "undo ISS-000005 --by TW",
        0,
        "ISS-000005 is taken back: 2 lines",
    );
    run(&counter, "give JT-130 1 -j blue --by TW").good();
    run(&counter, "check").good();
}

/// What stops a job is told apart from what only has to be reserved: the jet that is not there, the nuts that are free.
#[test]
fn short_and_to_reserve_are_told_apart() {
    let counter = Counter::sample();
    run(&counter, "reserve amber blue --by TW");
    run(&counter, "free blue 16 --by TW").good();
    let told = "1 line short, 1 to reserve on J-0001 (blue); none due today, next 2026-11-30";
    answers(&counter, "shorts blue", 1, told);
}

/// A tube of 50 ml goes out whole for the 12 ml that a kit takes; what is left of it is named before and after.
#[test]
fn what_goes_out_beyond_the_need_is_named() {
    let counter = Counter::sample();
    run(&counter, "reserve amber --by TW").good();
    let before = run(&counter, "cost amber").good().out;
    let by_use =
        "line 19: 12 ml of SE-50 by use; unopened it goes out as 50 ml, and what is left is put back";
    assert!(before.replace("\n  ", " ").contains(by_use), "{before}");
    run(&counter, "pick amber --list 2 --as-listed --by TW").good();
    let after = run(&counter, "cost amber").good().out;
    let over = "line 19: 38 ml of SE-50 more than it needs stands on the job until it is put back";
    assert!(after.replace("\n  ", " ").contains(over), "{after}");
    assert!(!after.contains("by use; unopened"), "{after}");
}
