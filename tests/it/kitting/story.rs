//! The whole job by each route, from the shelf to the engine and its cost.

use crate::desk::{Counter, run_typing};

/// The figure of a JSON answer, as text.
fn amount(value: &serde_json::Value) -> &str {
    value["amount"].as_str().unwrap()
}

/// Reserves everything and books the pick list of a job; returns the number of the list.
fn picked(counter: &Counter, tag: &str) -> String {
    counter.run(&["reserve", "--by", "TW"]);
    let list = counter.run(&["pick", tag]).good();
    let number = list.answer().split(' ').nth(1).unwrap().to_owned();
    counter
        .run(&["pick", tag, "--list", &number, "--as-listed", "--by", "TW"])
        .good();
    number
}

#[test]
fn the_spacer_way() {
    let counter = Counter::sample();
    let number = picked(&counter, "blue");
    // A second confirmation takes nothing.
    let again = counter.run(&["pick", "blue", "--list", &number, "--as-listed", "--by", "TW"]);
    assert_eq!(again.exit, 1);
    assert!(again.out.contains("nothing left to pick"), "{}", again.out);
    counter.run(&["issue", "blue", "--by", "TW"]).good();
    let cost = counter.run(&["cost", "blue", "--format", "json"]).good().json();
    // By hand from story.md and opening/stock.csv: for each line of blue the value of its lots' rows by the quantity
    // taken, rounded to the penny, and all added up; 2836.4756 before rounding.
    let sum: f64 = cost["rows"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| amount(&row["cost"]).parse::<f64>().unwrap())
        .sum();
    let engine = amount(&cost["tables"]["together"][1]["amount"]);
    assert_eq!(
        format!("{sum:.2}"),
        engine,
        "the total is the sum of its printed lines"
    );
    for (part, wanted) in [
        // Quantity by unit price of prices.csv: 4 × 18.40, 8 × 2.35, 16 × 6.85, 8 × 14.20, 50 × 0.36, 10 × 1.24.
        ("SP-20", "73.60"),
        ("BJ-100", "18.80"),
        ("ST-160", "109.60"),
        ("PR-212", "113.60"),
        ("SE-50", "18.00"),
        ("TL-10", "12.40"),
    ] {
        let row = cost["rows"]
            .as_array()
            .unwrap()
            .iter()
            .find(|row| row["part"] == part)
            .unwrap();
        assert_eq!(amount(&row["cost"]), wanted, "{part}");
    }
    assert_eq!(
        amount(&cost["tables"]["together"][0]["amount"]),
        "0.00",
        "nothing is left in the kit"
    );
    // 61.5 hours at 64.00.
    assert_eq!(amount(&cost["tables"]["together"][3]["amount"]), "3936.00");
    counter.run(&["check"]).good();
}

#[test]
fn the_piston_way_and_back_again() {
    let counter = Counter::sample();
    let before = counter.run(&["stock", "--format", "json"]).good().json();
    picked(&counter, "amber");
    counter.run(&["issue", "amber", "--by", "TW"]).good();
    let sheet = counter.run(&["job", "show", "amber"]).good();
    assert!(
        sheet.answer().contains("0 of 27 lines not covered"),
        "{}",
        sheet.answer()
    );
    // Everything is taken back, newest first: issue, pick, reserving.
    for _ in 0..3 {
        let log = counter.run(&["log", "--format", "json"]).good().json();
        let newest = log["rows"].as_array().unwrap().iter().find(|row| {
            row["undone"] == "" && row["undoes"] == "" && row["kind"] != "import" && row["kind"] != "change"
        });
        let number = newest.unwrap()["document"].as_str().unwrap().to_owned();
        counter.run(&["undo", &number, "--by", "TW"]).good();
        counter.run(&["check"]).good();
    }
    let after = counter.run(&["stock", "--format", "json"]).good().json();
    assert_eq!(before["rows"], after["rows"]);
}

#[test]
fn an_old_list_is_refused() {
    let counter = Counter::sample();
    counter.run(&["reserve", "blue", "--by", "TW"]);
    counter.run(&["free", "blue", "1", "--by", "TW"]).good();
    let ran = counter.run(&["pick", "blue", "--list", "2", "--as-listed", "--by", "TW"]);
    assert_eq!(ran.exit, 1);
    assert!(
        ran.err.contains("list 2 of J-0001 no longer holds, list 3 does"),
        "{}",
        ran.err
    );
    assert!(ran.err.contains("refusal 215"), "{}", ran.err);
}

#[test]
fn what_died_since_is_not_picked() {
    let counter = Counter::sample();
    counter.run(&["reserve", "amber", "--by", "TW"]).good();
    // Amber's sealant of row 50 ends on 2026-11-29: on that day it is still good, on the next it is dead.
    counter
        .run(&["settings", "--training-day", "2026-11-29", "--by", "HP"])
        .good();
    counter
        .run(&[
            "pick",
            "amber",
            "--list",
            "2",
            "--as-listed",
            "--by",
            "TW",
            "--dry-run",
        ])
        .good();
    counter
        .run(&["settings", "--training-day", "2026-11-30", "--by", "HP"])
        .good();
    let ran = counter.run(&["pick", "amber", "--list", "2", "--as-listed", "--by", "TW"]);
    assert_eq!(ran.exit, 1, "{ran:?}");
    assert!(
        ran.err
            .contains("L000050V of SE-50 is dead on 2026-11-30: its last day is 2026-11-29"),
        "{}",
        ran.err
    );
    // An earlier day makes nothing good.
    let earlier = counter.run(&[
        "pick",
        "amber",
        "--list",
        "2",
        "--as-listed",
        "--by",
        "TW",
        "--on",
        "2026-11-28",
    ]);
    assert_eq!(earlier.exit, 1, "{earlier:?}");
    // Reserving again replaces it.
    let ran = counter.run(&["reserve", "amber", "--by", "TW"]).good();
    assert!(ran.out.contains("L000049H"), "{}", ran.out);
    counter.run(&["check"]).good();
}

#[test]
fn the_routes_compared() {
    let counter = Counter::sample();
    // By hand from story.md: hours at 64.00, parts at the prices of the day.
    for (conversion, spacer, piston) in [
        (
            "TC-W",
            ("2833.96", "6769.96", "7.43"),
            ("3343.17", "7695.17", "7.43"),
        ),
        (
            "TC-L",
            ("2829.91", "6957.91", "7.34"),
            ("3353.52", "7897.52", "7.34"),
        ),
    ] {
        let sheet = counter
            .run(&["compare", conversion, "--format", "json"])
            .good()
            .json();
        for (row, (parts, together, ratio)) in [(0, spacer), (1, piston)] {
            let row = &sheet["rows"][row];
            let found = (
                amount(&row["parts"]),
                amount(&row["together"]),
                row["ratio"].as_str().unwrap(),
            );
            assert_eq!(found, (parts, together, ratio), "{conversion}");
        }
        let notes = sheet["notes"].to_string();
        assert!(notes.contains("limit NOT GIVEN"), "{notes}");
        assert!(
            sheet["cautions"].to_string().contains("approved manual"),
            "{sheet}"
        );
    }
}

#[test]
fn an_undo_is_refused_where_something_later_stands_on_it() {
    let counter = Counter::sample();
    picked(&counter, "blue");
    counter.run(&["issue", "blue", "--by", "TW"]).good();
    let log = counter.run(&["log", "--format", "json"]).good().json();
    let number = |kind: &str| {
        let rows = log["rows"].as_array().unwrap();
        rows.iter().find(|row| row["kind"] == kind).unwrap()["document"]
            .as_str()
            .unwrap()
            .to_owned()
    };
    let refused = counter.run(&["undo", &number("pick"), "--by", "TW"]);
    assert_eq!(refused.exit, 1, "{refused:?}");
    assert!(
        refused.err.contains(&number("issue")),
        "names what stands on it: {}",
        refused.err
    );
    counter.run(&["undo", &number("issue"), "--by", "TW"]).good();
    let twice = counter.run(&["undo", &number("issue"), "--by", "TW"]);
    assert!(twice.err.contains("has undone it already"), "{}", twice.err);
    counter.run(&["check"]).good();
}

#[test]
fn the_last_document_is_shown_first() {
    let counter = Counter::sample();
    counter.run(&["reserve", "amber", "--by", "TW"]).good();
    let store = counter.store().display().to_string();
    let words = ["--store", &store, "undo", "--by", "TW"];
    let before = std::fs::read(counter.store()).unwrap();
    // Nobody at the keyboard, a scan, an answer that is no whole word: nothing is taken back.
    for typed in [None, Some("XYZ-9y0\r\n"), Some("y\n"), Some("\n")] {
        let ran = run_typing(&words, &|_| None, typed);
        assert_eq!(ran.exit, 2, "{typed:?} {ran:?}");
        assert!(
            ran.err.contains("the last document of TW is RSV-000005"),
            "{}",
            ran.err
        );
        assert_eq!(std::fs::read(counter.store()).unwrap(), before);
    }
    run_typing(&words, &|_| None, Some("yes\r\n")).good();
    assert_eq!(
        counter.run(&["job", "show", "amber"]).answer().split(": ").nth(1),
        Some("27 of 27 lines not covered")
    );
}
