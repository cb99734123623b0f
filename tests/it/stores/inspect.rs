//! `inspect`: the inspector accepts what is good onto its shelf and puts what is bad into the cage, with the reason.

use super::{done_and_undone, refused};
use crate::desk::Counter;

#[test]
fn what_waits_is_shown() {
    let counter = Counter::sample();
    // By hand from the opening cards: joints, studs and a pump in receiving; spacers, pins, o-rings, bolts, a wrench,
    // short bolts and short studs in the cage.
    let ran = counter.run(&["inspect"]).good();
    assert_eq!(ran.answer(), "3 lots waiting in receiving, 12 lots in quarantine");
}

#[test]
fn fifteen_good_and_two_scratched() {
    let counter = Counter::unasked();
    counter.run(&["goods-in", "ORD-101", "2=17", "--by", "TW"]).good();
    let note = counter.run(&["inspect", "GRN-6"]).good();
    assert!(note.out.contains("L0001835"), "{}", note.out);
    let words = [
        "inspect",
        "GRN-6",
        "1=15",
        "--cage",
        "1=2",
        "--by",
        "OQ",
        "-w",
        "scratched",
    ];
    let ran = done_and_undone(&counter, &words);
    assert_eq!(
        ran.answer(),
        "ST-160: 15 each accepted into A-2, 2 each into the cage"
    );
    counter.run(&words).good();
    // 24 stood on the shelf; 8 came before and wait still.
    let stock = counter.run(&["stock", "ST-160"]).good();
    assert!(
        stock
            .answer()
            .starts_with("ST-160: 39 each free of 39 each on the shelf"),
        "{}",
        stock.answer()
    );
    let accepted = "SELECT accepted FROM order_line l JOIN supplier_order o ON o.id = l.supplier_order WHERE o.number = 'ORD-101' AND l.n = 2";
    assert_eq!(counter.figure(accepted), 15_000_000);
    counter.run(&["check"]).good();
}

#[test]
fn what_is_not_accepted() {
    let counter = Counter::unasked();
    for (words, number, exit, says) in [
        // The clerk may not.
        (
            vec!["inspect", "L000040Z", "1", "--by", "TW"],
            225,
            77,
            "inspector",
        ),
        (vec!["inspect", "L000040Z", "2", "--by", "OQ"], 207, 1, "1"),
        (vec!["inspect", "L000040Z", "0", "--by", "OQ"], 202, 1, ""),
        (
            vec!["inspect", "L000040Z", "2=1", "--by", "OQ"],
            402,
            2,
            "no line 2",
        ),
        (
            vec!["inspect", "L000040Z", "1=1", "1=1", "--by", "OQ"],
            402,
            2,
            "twice",
        ),
        (
            vec!["inspect", "L000040Z", "1", "--to", "CAGE", "--by", "OQ"],
            242,
            1,
            "wants shelf",
        ),
        (
            vec!["inspect", "L000040Z", "--cage", "1", "--by", "OQ"],
            402,
            2,
            "--why",
        ),
        (
            vec!["inspect", "GRN-9999", "1=1", "--by", "OQ"],
            239,
            1,
            "GRN-9999",
        ),
        // On a shelf already.
        (
            vec!["inspect", "L000025X", "1", "--by", "OQ"],
            242,
            1,
            "none of it lies",
        ),
        // Dead since October: to no shelf.
        (
            vec!["inspect", "L000032Z", "1", "--by", "OQ"],
            206,
            1,
            "2026-10-31",
        ),
    ] {
        refused(&counter, &words, number, exit, says);
    }
}

#[test]
fn who_waited_for_it_is_told() {
    let counter = Counter::unasked();
    let ran = counter
        .run(&["inspect", "L0000150", "8", "--to", "A-1", "--by", "OQ"])
        .good();
    assert_eq!(ran.answer(), "ST-160: 8 each accepted into A-1");
    assert!(ran.out.contains("ST-160: 32 each on the shelf"), "{}", ran.out);
}

/// Ten of seventeen accepted, two caged: the rest lies in two places, and the inspector says which he means.
#[test]
fn a_lot_that_waits_in_two_places_is_named_by_its_place() {
    let counter = Counter::unasked();
    counter.types("goods-in ORD-101 2=17 --by TW").good();
    counter
        .types("inspect GRN-6 1=10 --cage 2 --by OQ -w scratched")
        .good();
    counter.refuses("inspect GRN-6 1=5 --by OQ", 1, "CAGE 2 each, IN 5 each");
    counter.refuses("inspect GRN-6 1=6 --from IN --by OQ", 1, "5 each");
    counter.refuses(
        "inspect GRN-6 1=5 --from A-2 --by OQ",
        1,
        "wants receiving or quarantine",
    );
    let words = "inspect GRN-6 1=5 --from IN --by OQ";
    let ran = done_and_undone(&counter, &words.split(' ').collect::<Vec<_>>());
    assert_eq!(ran.answer(), "ST-160: 5 each accepted into A-2");
    counter.types("inspect GRN-6 1=2 --from CAGE --by OQ").good();
}
