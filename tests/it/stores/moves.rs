//! `move`: goods change their bin, reservations stay.

use super::{done_and_undone, refused};
use crate::desk::Counter;

#[test]
fn all_of_it_or_some_and_what_is_reserved_stays_reserved() {
    let counter = Counter::sample();
    counter.run(&["reserve", "blue", "--by", "TW"]);
    let reserved = counter.figure("SELECT SUM(reserved) FROM lot_position");
    let ran = done_and_undone(&counter, &["move", "L000025X", "4", "--to", "B-1", "--by", "TW"]);
    assert_eq!(ran.answer(), "4 each of NU-10 moved from A-2 to B-1");
    // 40 in A-2 and 30 on the bench: 70 together, wherever they lie; blue has 16.
    assert!(
        ran.out
            .contains("NU-10: 70 each on the shelf, 16 each reserved, 54 each free"),
        "{}",
        ran.out
    );
    let ran = counter
        .run(&["move", "Z42-16", "--to", "a-1", "--by", "TW"])
        .good();
    assert_eq!(ran.answer(), "3 each of OR-42 moved from B-1 to A-1");
    assert_eq!(counter.figure("SELECT SUM(reserved) FROM lot_position"), reserved);
    counter.run(&["check"]).good();
}

#[test]
fn a_bin_is_named_where_it_lies_in_two() {
    let counter = Counter::sample();
    counter
        .run(&["move", "L000025X", "15", "--to", "B-1", "--by", "TW"])
        .good();
    refused(
        &counter,
        &["move", "L000025X", "--to", "A-3", "--by", "TW"],
        240,
        1,
        "A-2 25 each, B-1 15 each",
    );
    let ran = counter
        .run(&["move", "L000025X", "--from", "B-1", "--to", "A-3", "--by", "TW"])
        .good();
    assert_eq!(ran.answer(), "15 each of NU-10 moved from B-1 to A-3");
}

#[test]
fn what_does_not_move() {
    let counter = Counter::sample();
    for (words, number, exit, says) in [
        (vec!["move", "L000025X", "41", "--to", "B-1"], 207, 1, "40"),
        (vec!["move", "L000025X", "0", "--to", "B-1"], 202, 1, ""),
        (vec!["move", "L000025X", "-1", "--to", "B-1"], 202, 1, ""),
        (vec!["move", "L000025X", "1.5", "--to", "B-1"], 203, 1, "1"),
        (vec!["move", "L000025X", "1,5", "--to", "B-1"], 402, 2, "1,5"),
        (vec!["move", "L000025X", "--to", "A-2"], 201, 1, ""),
        (vec!["move", "L000025X", "--to", "CAGE"], 201, 1, ""),
        (vec!["move", "L000025X", "--to", "Z-9"], 239, 1, "Z-9"),
        (vec!["move", "L000025X", "--to", "SCRAP"], 242, 1, "wants shelf"),
        // A certified turbocharger is one thing.
        (vec!["move", "CV-8021", "0.5", "--to", "A-1"], 204, 1, "whole"),
    ] {
        let words: Vec<&str> = words.into_iter().chain(["--by", "TW"]).collect();
        refused(&counter, &words, number, exit, says);
    }
    refused(
        &counter,
        &["move", "L000025X", "--to", "B-1", "--no-input"],
        402,
        2,
        "--by",
    );
}
