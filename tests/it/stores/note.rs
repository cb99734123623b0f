//! `note`: left for the next shift, open until somebody closes it.

use super::refused;
use crate::desk::Counter;

#[test]
fn a_note_stays_open_until_it_is_closed() {
    let counter = Counter::sample();
    assert_eq!(counter.run(&["note"]).good().answer(), "no open notes");
    let ran = counter
        .run(&[
            "note", "blue", "waits", "for", "one", "jet", "-j", "blue", "--by", "TW",
        ])
        .good();
    assert_eq!(ran.answer(), "note 1 left for the next shift");
    let ran = counter.run(&["note"]).good();
    assert_eq!(ran.answer(), "1 open note");
    assert!(ran.out.contains("blue waits for one jet"), "{}", ran.out);
    refused(
        &counter,
        &["note", "--done", "2", "--by", "HP"],
        239,
        1,
        "near it: 1",
    );
    let ran = counter
        .run(&["note", "--done", "1", "--by", "HP", "-w", "jet", "came"])
        .good();
    assert_eq!(ran.answer(), "note 1 closed");
    assert_eq!(counter.run(&["note"]).good().answer(), "no open notes");
    refused(&counter, &["note", "--done", "1", "--by", "HP"], 239, 1, "1");
    assert_eq!(
        counter.figure("SELECT COUNT(*) FROM note WHERE answers = 1 AND text = 'jet came'"),
        1
    );
    counter.run(&["check"]).good();
}

#[test]
fn a_note_says_something_and_not_too_much() {
    let counter = Counter::sample();
    let long = "x".repeat(501);
    refused(&counter, &["note", &long, "--by", "TW"], 242, 1, "500 characters");
    refused(&counter, &["note", " ", "--by", "TW"], 242, 1, "says nothing");
    let most = "x".repeat(500);
    counter.run(&["note", &most, "--by", "TW"]).good();
    refused(
        &counter,
        &["note", "x", "-j", "mauve", "--by", "TW"],
        239,
        1,
        "mauve",
    );
}

#[test]
fn a_trial_leaves_none() {
    let counter = Counter::sample();
    counter.run(&["--dry-run", "note", "x", "--by", "TW"]).good();
    assert_eq!(counter.run(&["note"]).good().answer(), "no open notes");
}
