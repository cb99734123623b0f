//! No prompt is answered by accident: a scanner sends its code and an end of line, wherever it happens to be pointed.

use crate::desk::{Counter, Ran, run_typing};

/// What a scanner may send; the first has a y in it, the last begins with the word.
const SCANS: [&str; 7] = [
    "XYZ-9y0",
    "y",
    "Y",
    "YES!",
    "]C191L0000070",
    "\u{1d}yes\u{1d}",
    "yes-12",
];

fn typing(counter: &Counter, words: &[&str], lines: &str) -> Ran {
    let store = counter.store().display().to_string();
    let mut all = vec!["--store", &store];
    all.extend(words);
    run_typing(&all, &|_| None, Some(lines))
}

const DOCUMENTS: &str = "SELECT COUNT(*) FROM document";

#[test]
fn a_scan_confirms_nothing() {
    let counter = Counter::sample();
    counter.types("move L000045P 4 --to A-2 --by TW").good();
    let documents = counter.figure(DOCUMENTS);
    for scan in SCANS {
        for end in ["\r", "\r\n", "\n"] {
            let ran = typing(&counter, &["undo", "--by", "TW"], &format!("{scan}{end}"));
            assert_eq!(ran.exit, 2, "{scan:?}: {ran:?}");
            assert!(ran.err.contains("nothing was taken back"), "{scan:?}: {ran:?}");
        }
    }
    assert_eq!(counter.figure(DOCUMENTS), documents);
    // The whole word does, with either end of line.
    typing(&counter, &["undo", "--by", "TW"], "yes\r\n").good();
    assert_eq!(counter.figure(DOCUMENTS), documents + 1);
}

#[test]
fn a_scan_is_nobodys_initials() {
    let counter = Counter::sample();
    let documents = counter.figure(DOCUMENTS);
    for scan in SCANS {
        let words = ["move", "L000045P", "4", "--to", "A-2"];
        let ran = typing(&counter, &words, &format!("{scan}\r\n"));
        assert_eq!(ran.exit, 1, "{scan:?}: {ran:?}");
        let lines = format!("{scan}\r\nmove L000045P 4 --to A-2\r\n{scan}\r\n");
        let ran = typing(&counter, &["hatch"], &lines).good();
        assert!(!ran.out.contains("MOV-"), "{scan:?}: {ran:?}");
    }
    assert_eq!(counter.figure(DOCUMENTS), documents);
}
