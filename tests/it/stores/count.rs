//! `count`: short is lost, over is found without making money, every line is kept, and an older list is refused.

use super::{done_and_undone, refused};
use crate::desk::Counter;

/// The list's number: the last document in the books.
fn list(counter: &Counter) -> String {
    counter.figure("SELECT MAX(id) FROM document").to_string()
}

#[test]
fn the_list_and_the_blind_list() {
    let counter = Counter::sample();
    let ran = counter.run(&["count", "C-1"]).good();
    assert_eq!(
        ran.answer(),
        format!("list {} of C-1: 6 lines to count", list(&counter))
    );
    assert!(ran.out.contains("    book\n"), "{}", ran.out);
    let blind = counter.run(&["count", "C-1", "--blind"]).good();
    assert!(
        !blind.out.contains("book\n") && !blind.out.contains("100 ml"),
        "{}",
        blind.out
    );
}

#[test]
fn two_short_one_over_one_right() {
    let counter = Counter::sample();
    // B-1 by part number: trays 6, pumps 8, jets 130 3, ...
    let words = |list: &str| -> Vec<String> {
        [
            "count", "B-1", "--list", list, "1=5", "2=8", "3=3", "--by", "TW", "-w", "fell", "behind",
        ]
        .map(str::to_owned)
        .to_vec()
    };
    let first = words(&list(&counter));
    let first: Vec<&str> = first.iter().map(String::as_str).collect();
    let ran = done_and_undone(&counter, &first);
    assert_eq!(ran.answer(), "B-1: 2 of 3 lines right, DT-10 short by 1 each");
    let again = words(&list(&counter));
    let again: Vec<&str> = again.iter().map(String::as_str).collect();
    counter.run(&again).good();
    // One tray of 21.50 (129.00 for six) is lost; both counts are kept, right lines included.
    assert_eq!(
        counter.figure("SELECT value FROM entry ORDER BY id DESC LIMIT 1"),
        21_500_000
    );
    assert_eq!(counter.figure("SELECT COUNT(*) FROM count_line"), 6);
    assert_eq!(
        counter.figure("SELECT COUNT(*) FROM count_line WHERE cause IS NULL"),
        4
    );
    // It was found again: what was lost comes back at what it was, and what is over beyond that at nothing.
    let (found, more) = (list(&counter), "found behind the rack");
    counter
        .run(&["count", "B-1", "--list", &found, "1=6", "--by", "TW", "-w", more])
        .good();
    assert_eq!(
        counter.figure("SELECT value FROM entry ORDER BY id DESC LIMIT 1"),
        21_500_000
    );
    let found = list(&counter);
    counter
        .run(&["count", "B-1", "--list", &found, "1=7", "--by", "TW", "-w", more])
        .good();
    assert_eq!(
        counter.figure("SELECT value FROM entry ORDER BY id DESC LIMIT 1"),
        0
    );
    counter.run(&["check"]).good();
}

#[test]
fn all_right_is_kept_too() {
    let counter = Counter::sample();
    let number = list(&counter);
    let ran = counter
        .run(&["count", "C-1", "--list", &number, "--as-listed", "--by", "TW"])
        .good();
    assert_eq!(ran.answer(), "C-1: 6 lines counted, all right");
    assert_eq!(
        counter.figure("SELECT COUNT(*) FROM count_line WHERE book = counted"),
        6
    );
    assert_eq!(
        counter.figure("SELECT COUNT(*) FROM entry WHERE document = (SELECT MAX(id) FROM document)"),
        0
    );
}

#[test]
fn what_a_count_refuses() {
    let counter = Counter::sample();
    let number = list(&counter);
    for (words, code, exit, says) in [
        (
            vec!["count", "B-1", "--list", &number, "1=5"],
            242,
            1,
            "no cause is given",
        ),
        (
            vec!["count", "B-1", "--list", &number, "99=5", "-w", "x"],
            402,
            2,
            "no line 99",
        ),
        (
            vec!["count", "B-1", "--list", &number, "0=5", "-w", "x"],
            402,
            2,
            "no line 0",
        ),
        (
            vec!["count", "B-1", "--list", &number, "1=5", "1=6", "-w", "x"],
            402,
            2,
            "twice",
        ),
        (
            vec!["count", "B-1", "--list", &number, "1=-1", "-w", "x"],
            242,
            1,
            "less than none",
        ),
        (
            vec!["count", "B-1", "--list", &number],
            402,
            2,
            "nothing was counted",
        ),
        (
            vec!["count", "B-1", "--list", "9999", "1=5", "-w", "x"],
            402,
            2,
            "9999",
        ),
        (vec!["count", "B-1", "1=5"], 402, 2, "--list"),
        (vec!["count", "SCRAP"], 242, 1, "no place in the house"),
    ] {
        let mut words = words;
        words.splice(1..1, ["--by", "TW"]);
        refused(&counter, &words, code, exit, says);
    }
    // Goods moved there since: the list is old. Elsewhere they may move.
    counter
        .run(&["move", "L000025X", "1", "--to", "A-3", "--by", "TW"])
        .good();
    counter
        .run(&["count", "B-1", "--list", &number, "1=6", "--by", "TW"])
        .good();
    counter
        .run(&["move", "L000029P", "1", "--to", "A-3", "--by", "TW"])
        .good();
    refused(
        &counter,
        &["count", "B-1", "--list", &number, "1=6", "--by", "TW"],
        246,
        1,
        "MOV-",
    );
}

#[test]
fn a_short_count_takes_reservations_with_it() {
    let counter = Counter::sample();
    counter.run(&["reserve", "blue", "--by", "TW"]);
    let number = list(&counter);
    // Blue has two of the six trays; one left means one of them is gone.
    let ran = counter
        .run(&[
            "count", "B-1", "--list", &number, "1=1", "--by", "TW", "-w", "lost",
        ])
        .good();
    assert!(
        ran.out
            .contains("SHORT J-0001 (blue): 1 each of DT-10 no longer reserved (job line 4)"),
        "{}",
        ran.out
    );
    counter.run(&["check"]).good();
}
