//! Lots and documents as people call them: short forms shown whole, wrong check characters refused with the right one.

use crate::desk::Counter;
use bincard::domain::measure::number::{lot_number, read_lot_number};

/// The first lot of a part of the sample.
fn first_lot(counter: &Counter, part: &str) -> String {
    let out = counter.run(&["stock", part, "--format", "json"]).good().out;
    let at = out.find("\"L0").unwrap() + 1;
    let number = out[at..at + 8].to_owned();
    read_lot_number(&number).unwrap();
    number
}

#[test]
fn a_short_form_is_shown_whole() {
    let counter = Counter::sample();
    let number = first_lot(&counter, "SE-50");
    let serial = read_lot_number(&number).unwrap();
    let check = number.chars().next_back().unwrap();
    let whole = counter.run(&["card", &number]).good().out;
    assert!(whole.starts_with(&format!("lot {number} of SE-50")), "{whole}");
    for short in [
        format!("{serial}"),
        format!("L{serial}"),
        format!("{serial:04}"),
        format!("{serial}{check}"),
        number.to_lowercase(),
    ] {
        assert_eq!(counter.run(&["card", &short]).good().out, whole, "{short}");
    }
    let of_part = counter.run(&["stock", "SE-50"]).good().out;
    assert_eq!(counter.run(&["stock", &number]).good().out, of_part);
    assert_eq!(counter.run(&["stock", &format!("L{serial}")]).good().out, of_part);
}

#[test]
fn a_wrong_check_character_is_refused_with_the_right_one_and_nothing_changes() {
    let counter = Counter::sample();
    let number = first_lot(&counter, "SE-50");
    let (body, check) = number.split_at(7);
    let wrong = format!("{body}{}", if check == "A" { "B" } else { "A" });
    let before = std::fs::read(counter.store()).unwrap();
    for words in [
        ["card", wrong.as_str(), "--by", "HP"].as_slice(),
        &["stock", &wrong],
        &["open", &wrong, "--by", "HP"],
    ] {
        let ran = counter.run(words);
        assert_eq!(ran.exit, 1, "{words:?}: {}{}", ran.out, ran.err);
        assert!(
            ran.err.contains(&format!("whose number is {number}")),
            "{words:?}: {}",
            ran.err
        );
    }
    assert_eq!(std::fs::read(counter.store()).unwrap(), before);
    let none = lot_number(900_000).or_else(|| lot_number(900_001)).unwrap();
    let ran = counter.run(&["card", &none]);
    assert_eq!(ran.exit, 1);
    assert!(
        ran.err.contains(&format!("no part, lot or bin {none}")),
        "{}",
        ran.err
    );
}

#[test]
fn a_document_is_undone_by_its_figures_alone() {
    let counter = Counter::sample();
    let log = counter
        .run(&["log", "--most", "1", "--format", "json"])
        .good()
        .json();
    let number = log["rows"][0]["document"].as_str().unwrap().to_owned();
    let figures = number
        .split_once('-')
        .unwrap()
        .1
        .trim_start_matches('0')
        .to_owned();
    let trial = |called: &str| counter.run(&["undo", called, "--by", "HP", "--dry-run"]);
    let (whole, short) = (trial(&number), trial(&figures));
    assert_eq!(
        (whole.exit, whole.out, whole.err),
        (short.exit, short.out, short.err)
    );
    assert_eq!(trial("0").exit, 1);
    assert_eq!(trial("+1").exit, 1);
}
