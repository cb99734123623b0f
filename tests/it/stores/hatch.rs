//! `hatch`: the same commands at a standing prompt; a bare word or a scan is looked for.

use crate::desk::{Counter, Ran, run_typing};

/// Lines typed at the hatch of this store.
fn at(counter: &Counter, more: &[&str], lines: &str) -> Ran {
    let store = counter.store().display().to_string();
    let mut words = vec!["--store", &store, "hatch"];
    words.extend(more);
    run_typing(&words, &|_| None, Some(lines))
}

#[test]
fn a_morning_at_the_hatch() {
    let counter = Counter::sample();
    let ran = at(
        &counter,
        &[],
        "tw\n\nx0618\r\nSP-99999999\nbincard scrap L000048J 50 -w \"long dead\"\nfind 2 mm spacer\nmove L000045P 4 --to A-2\nquit\nx0551\n",
    )
    .good();
    assert!(ran.err.starts_with("initials: TW> TW> "), "{}", ran.err);
    assert!(
        ran.out.contains("good, until 2027-03-31: 100 ml of SE-50"),
        "{}",
        ran.out
    );
    assert!(
        ran.out.contains("SP-20 in A-1: give"),
        "an error does not end it: {ran:?}"
    );
    assert!(
        ran.err.contains("no part, lot, bin or job SP-99999999"),
        "{}",
        ran.err
    );
    assert!(!ran.out.contains("NO GOOD"), "nothing after `quit`: {}", ran.out);
    assert_eq!(
        counter.figure("SELECT COUNT(*) FROM document WHERE by = 'TW' AND reason = 'long dead'"),
        1
    );
    assert_eq!(
        counter.figure("SELECT COUNT(*) FROM document WHERE kind = 'move'"),
        1
    );
}

#[test]
fn initials_change_and_strangers_do_not() {
    let counter = Counter::sample();
    let lines = "note one\nby HP\nnote two\nby ZZ\nnote three\nnote four --by TW\n";
    at(&counter, &["--by", "TW"], lines).good();
    for (by, notes) in [("TW", 2), ("HP", 2)] {
        let sql = format!("SELECT COUNT(*) FROM document WHERE kind = 'note' AND by = '{by}'");
        assert_eq!(counter.figure(&sql), notes, "{by}");
    }
    // Nobody said who: reading goes on, a change does not.
    let ran = at(&counter, &["--no-input"], "\nW-5\nnote five\n").good();
    assert!(ran.out.starts_with("good, no last day: 9.35 m"), "{ran:?}");
    assert!(ran.err.contains("whose initials?"), "{ran:?}");
}

#[test]
fn odd_lines_end_nothing() {
    let counter = Counter::sample();
    assert_eq!(at(&counter, &[], "").good().out, "");
    let long = format!("TW\n{}\nhatch\n--help\nbincard\n\"\nW-5\n", "x".repeat(9000));
    let ran = at(&counter, &[], &long).good();
    assert!(ran.err.contains("this is the hatch already"), "{}", ran.err);
    assert!(ran.out.contains("9.35 m of WI-08"), "{}", ran.out);
    let ran = at(&counter, &["--format", "json"], "TW\nW-5\n").good();
    assert_eq!(ran.json()["kind"], "scan");
    let ran = at(&counter, &["--op-id", "x"], "TW\n");
    assert_eq!(ran.exit, 2, "{ran:?}");
}
