//! `certificate`: the register of papers; what is accepted is drawn on them, never more than they cover.

use crate::desk::{Counter, split};
use crate::stores::{done_and_undone, refused};

/// A counter with a conformity statement for 20 studs; eight studs wait in receiving from the opening cards.
fn with_statement() -> Counter {
    let counter = Counter::unasked();
    types(
        &counter,
        "certificate add CS-90 ST-160 20 --sort conformity --issuer Quoyle --dated 2026-11-20 --by TW",
    );
    counter
}

fn types(counter: &Counter, line: &str) -> String {
    let words = split(line);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    counter.run(&words).good().answer().to_owned()
}

#[test]
fn entered_shown_and_listed() {
    let counter = with_statement();
    let shown = counter.types("certificate show CS-90").good();
    assert_eq!(
        shown.answer(),
        "CS-90: covers 20 each of ST-160, 0 drawn, 20 left"
    );
    assert!(shown.out.contains("2026-11-20"), "{}", shown.out);
    assert!(shown.out.contains("no scan of it is kept"), "{}", shown.out);
    let list = counter.types("certificate list").good();
    assert_eq!(list.answer(), "1 certificate, 1 with something left to draw");
    let none = counter.types("certificate list FP-12").good();
    assert_eq!(none.answer(), "no certificates");
    counter.types("check").good();
}

#[test]
fn what_is_accepted_is_drawn_lot_by_lot_and_given_back_by_undo() {
    let counter = with_statement();
    let words = split("inspect L0000150 8 --certificate CS-90 --by OQ");
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let ran = done_and_undone(&counter, &words);
    assert!(
        ran.out
            .contains("8 each drawn on conformity statement CS-90: 12 each left"),
        "{}",
        ran.out
    );
    let shown = counter.types("certificate show CS-90").good();
    assert_eq!(
        shown.answer(),
        "CS-90: covers 20 each of ST-160, 0 drawn, 20 left"
    );
    // The draw and its contrary both stand in the books; nothing was removed.
    assert_eq!(counter.figure("SELECT COUNT(*) FROM certificate_lot"), 2);
    counter.run(&words).good();
    let shown = counter.types("certificate show CS-90").good();
    assert_eq!(
        shown.answer(),
        "CS-90: covers 20 each of ST-160, 8 drawn, 12 left"
    );
    assert!(shown.out.contains("L0000150"), "{}", shown.out);
    counter.types("check").good();
}

/// N17: a certificate covers 20, 22 would be drawn: refused, and the twelve that are left may be drawn.
#[test]
fn a_certificate_that_covers_twenty_is_not_drawn_for_twenty_two() {
    let counter = with_statement();
    types(&counter, "inspect L0000150 8 --certificate CS-90 --by OQ");
    types(&counter, "goods-in ORD-101 2=20 --by TW");
    let words = |line: &str| split(line);
    let over = words("inspect L0001835 14 --certificate CS-90 --by OQ");
    let over: Vec<&str> = over.iter().map(String::as_str).collect();
    refused(
        &counter,
        &over,
        286,
        1,
        "covers 20 each, 8 each are drawn, so 14 each more",
    );
    assert_eq!(counter.figure("SELECT drawn FROM certificate"), 8_000_000);
    types(&counter, "inspect L0001835 12 --certificate CS-90 --by OQ");
    let shown = counter.types("certificate show CS-90").good();
    assert_eq!(
        shown.answer(),
        "CS-90: covers 20 each of ST-160, 20 drawn, 0 left"
    );
}

/// What went back into the cage and is good after all was drawn for already.
#[test]
fn what_was_drawn_once_is_not_drawn_twice() {
    let counter = with_statement();
    types(&counter, "inspect L0000150 8 --certificate CS-90 --by OQ");
    types(&counter, "quarantine L0000150 3 --by TW -w damaged");
    let again = counter
        .types("inspect L0000150 3 --certificate CS-90 --by OQ")
        .good();
    assert!(!again.out.contains("drawn on"), "{}", again.out);
    assert_eq!(counter.figure("SELECT drawn FROM certificate"), 8_000_000);
}

/// Two statements for one delivery: the first is used up before the second.
#[test]
fn two_certificates_cover_one_lot_together() {
    let counter = with_statement();
    types(
        &counter,
        "certificate add CS-91 ST-160 10 --sort conformity --issuer Quoyle --by TW",
    );
    types(&counter, "inspect L0000150 8 --certificate CS-90 --by OQ");
    types(&counter, "goods-in ORD-101 2=17 --by TW");
    types(
        &counter,
        "inspect L0001835 17 --certificate CS-90 --certificate CS-91 --by OQ",
    );
    // 20 covered, 8 drawn: 12 of the 17 on the first, 5 on the second.
    let drawn = |number: &str| {
        counter.figure(&format!(
            "SELECT drawn FROM certificate WHERE number = '{number}'"
        ))
    };
    assert_eq!((drawn("CS-90"), drawn("CS-91")), (20_000_000, 5_000_000));
    counter.types("check").good();
}

#[test]
fn what_is_refused() {
    let counter = with_statement();
    types(&counter, "inspect L0000150 8 --certificate CS-90 --by OQ");
    for (line, number, exit, says) in [
        // Of another part: a pump on the studs' paper.
        (
            "inspect L000040Z 1 --certificate CS-90 --by OQ",
            285,
            1,
            "covers ST-160, and lot L000040Z is FP-12",
        ),
        (
            "inspect L000040Z 1 --certificate CS-1 --by OQ",
            239,
            1,
            "near it: CS-90",
        ),
        ("certificate show CS-1", 239, 1, "no certificate CS-1"),
        (
            "certificate add CS-90 ST-160 5 --sort conformity --issuer Quoyle --by TW",
            241,
            1,
            "there already",
        ),
        (
            "certificate add CS-92 NONE 5 --sort conformity --issuer Quoyle --by TW",
            239,
            1,
            "no part NONE",
        ),
        (
            "certificate add CS-92 ST-160 0 --sort conformity --issuer Quoyle --by TW",
            202,
            1,
            "",
        ),
        (
            "certificate add CS-92 ST-160 5 --sort conformity --issuer Quoyle --file no-such-scan.pdf --by TW",
            403,
            66,
            "no-such-scan.pdf",
        ),
        // Eight are drawn: it cannot cover seven.
        (
            "certificate change CS-90 --covers 7 --by OQ",
            242,
            1,
            "8 are drawn on it",
        ),
        (
            "certificate change CS-90 --covers 20 --by OQ",
            402,
            2,
            "stands so already",
        ),
    ] {
        let words = split(line);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        refused(&counter, &words, number, exit, says);
    }
}

/// The same number of two issuers is asked about and told apart by the issuer.
#[test]
fn one_number_of_two_issuers() {
    let counter = with_statement();
    types(
        &counter,
        "certificate add CS-90 ST-160 4 --sort conformity --issuer Marrabel --by TW",
    );
    counter.refuses("certificate show CS-90", 1, "Quoyle CS-90, Marrabel CS-90");
    counter.refuses(
        "inspect L0000150 4 --certificate CS-90 --by OQ",
        1,
        "Marrabel CS-90",
    );
    assert_eq!(
        types(&counter, "certificate show \"Marrabel CS-90\""),
        "CS-90: covers 4 each of ST-160, 0 drawn, 4 left"
    );
}

/// What it covers is raised, eight are drawn, then twenty: setting it back to twenty would cover less than is drawn.
#[test]
fn what_it_covers_is_changed_and_set_back_only_as_far_as_it_is_drawn() {
    let counter = with_statement();
    let words = split("certificate change CS-90 --covers 28 --by OQ");
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let ran = done_and_undone(&counter, &words);
    assert_eq!(ran.answer(), "CS-90: covers 28 each of ST-160, 0 drawn, 28 left");
    counter.run(&words).good();
    let change = counter.figure("SELECT MAX(id) FROM document");
    types(&counter, "inspect L0000150 8 --certificate CS-90 --by OQ");
    types(&counter, "goods-in ORD-101 2=20 --by TW");
    types(&counter, "inspect L0001835 20 --certificate CS-90 --by OQ");
    counter.refuses(&format!("undo {change} --by OQ"), 1, "28 are drawn on it");
    counter.types("check").good();
}

/// SHA-256 of the three letters abc: FIPS 180-4, the published example.
#[test]
fn the_scan_is_known_again() {
    let counter = with_statement();
    let scan = counter.folder().join("cs-93.pdf");
    std::fs::write(&scan, "abc").unwrap();
    let scan = scan.display().to_string();
    types(
        &counter,
        &format!("certificate add CS-93 ST-160 5 --sort test --issuer Quoyle --file {scan} --by TW"),
    );
    let shown = || {
        counter
            .types("certificate show CS-93")
            .good()
            .out
            .replace("\n  ", " ")
    };
    let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    assert!(shown().contains(abc), "{}", shown());
    assert!(shown().contains("as it was entered"), "{}", shown());
    std::fs::write(&scan, "abd").unwrap();
    assert!(shown().contains("is NOT what was entered"), "{}", shown());
    std::fs::remove_file(&scan).unwrap();
    assert!(shown().contains("its scan is MISSING"), "{}", shown());
}
