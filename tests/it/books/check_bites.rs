//! `check` bites: every derived column moved by one, and the chain of documents cut, edited, swapped and lengthened,
//! by statements typed at a copy with all guards off. Rules: law.md I1 to I30.

use super::{at_work, forge, number, raw};
use crate::desk::Counter;
use rusqlite::Connection;

/// The store met with no CHECK and no key; no trigger guards what is derived.
fn unguarded(counter: &Counter) -> Connection {
    let raw = raw(counter);
    raw.execute_batch("PRAGMA ignore_check_constraints = ON; PRAGMA foreign_keys = OFF")
        .unwrap();
    raw
}

/// The rules that `check` says are broken; none where the books hold.
#[track_caller]
fn broken(counter: &Counter) -> Vec<String> {
    let ran = counter.run(&["check", "--format", "json"]);
    let rows = ran.json()["rows"].as_array().cloned().unwrap_or_default();
    assert_eq!(ran.exit, u8::from(!rows.is_empty()), "{ran:?}");
    rows.iter()
        .map(|row| row["rule"].as_str().unwrap().to_owned())
        .collect()
}

/// Insists that `check` names this rule, among others that may be broken with it.
#[track_caller]
fn names(counter: &Counter, rule: &str, what: &str) {
    let broken = broken(counter);
    assert!(
        broken.iter().any(|found| found == rule),
        "{what}: wants {rule}, found {broken:?}"
    );
}

#[test]
fn every_derived_column_is_worked_out_anew() {
    let counter = at_work();
    let raw = unguarded(&counter);
    assert_eq!(broken(&counter), [""; 0], "without its guards the store is sound");
    for (table, key, column, rule) in [
        (
            "balance",
            "lot * 100000000 + place",
            "qty",
            "I2 balance qty/value",
        ),
        (
            "balance",
            "lot * 100000000 + place",
            "value",
            "I2 balance qty/value",
        ),
        ("lot_position", "lot", "pickable", "I6 pickable"),
        ("lot_position", "lot", "reserved", "I7 reserved"),
        ("lot_position", "lot", "held", "I8 held lot"),
        ("layer", "id", "qty", "I11 layer"),
        ("layer", "id", "value", "I11 layer"),
        ("job_line", "id", "reserved", "I9 line"),
        ("job_line", "id", "pegged", "I9 line"),
        ("job_line", "id", "kitted", "I9 line"),
        ("job_line", "id", "fitted", "I9 line"),
        ("job_line", "id", "most", "I22 most"),
        ("order_line", "id", "arrived", "I10 supply"),
        ("order_line", "id", "accepted", "I10 supply"),
        ("order_line", "id", "pegged", "I10 supply"),
        ("place", "id", "held", "I8 held place"),
        ("job", "id", "list", "I23 list"),
        ("lot", "id", "child", "I25 child"),
    ] {
        for end in ["MIN", "MAX"] {
            let row = number(&raw, &format!("SELECT {end}({key}) FROM {table}"));
            let moved = |by| format!("UPDATE {table} SET {column} = {column} + {by} WHERE {key} = {row}");
            assert_eq!(raw.execute(&moved(1), []), Ok(1), "{}", moved(1));
            names(&counter, rule, &moved(1));
            raw.execute(&moved(-1), []).unwrap();
        }
    }
    assert_eq!(broken(&counter), [""; 0], "everything was put back");
}

#[test]
fn what_cancels_in_the_sum_shows_all_the_same() {
    let shelved = "qty > 1000000 AND place / 1000000 = 2";
    for (sql, rule) in [
        // One lot more, another less: the totals stand, the lots do not.
        (
            format!(
                "UPDATE balance SET qty = qty + CASE lot WHEN (SELECT MIN(lot) FROM balance WHERE {shelved}) THEN 1 ELSE -1 END \
                 WHERE {shelved} AND lot IN ((SELECT MIN(lot) FROM balance WHERE {shelved}), (SELECT MAX(lot) FROM balance WHERE {shelved}))"
            ),
            "I2 balance qty/value",
        ),
        (
            "UPDATE layer SET value = value + CASE id WHEN 2 THEN 1 ELSE -1 END WHERE id IN (2, 3)"
                .to_owned(),
            "I11 layer",
        ),
        (
            "UPDATE job_line SET reserved = reserved + 1, kitted = kitted - 1 WHERE id = 1".to_owned(),
            "I9 line",
        ),
    ] {
        let counter = at_work();
        assert!(unguarded(&counter).execute(&sql, []).unwrap() > 0, "{sql}");
        names(&counter, rule, &sql);
    }
}

/// A change that somebody makes to history, and the rule that tells on him.
const FORGED: &[(&str, &str)] = &[
    (
        "UPDATE document SET reason = 'on the telephone' WHERE id = 5",
        "I19 chain",
    ),
    ("UPDATE document SET by = 'DA' WHERE id = 1", "I19 chain"),
    (
        "UPDATE document SET at = '2026-11-25T08:00:00Z' WHERE id = 10",
        "I19 chain",
    ),
    (
        "UPDATE document SET hash = zeroblob(32) WHERE id = 4",
        "I19 chain",
    ),
    (
        "UPDATE document SET hash = zeroblob(32) WHERE id = 10",
        "I19 head",
    ),
    ("UPDATE entry SET value = value + 1 WHERE id = 7", "I19 chain"),
    ("UPDATE claim SET why = 'follow' WHERE id = 1", "I19 chain"),
    ("UPDATE change SET old = '2026-11-03' WHERE id = 1", "I19 chain"),
    // Records as they were when they were made.
    ("UPDATE part SET name = 'stud' WHERE id = 11", "I19 chain"),
    ("UPDATE lot SET expiry = '2099-12-31' WHERE id = 58", "I19 chain"),
    ("UPDATE job_line SET how = NULL WHERE id = 1", "I19 chain"),
    (
        "UPDATE order_line SET value = value - 1 WHERE id = 1",
        "I19 chain",
    ),
    (
        "UPDATE person SET roles = roles || ',manager' WHERE id = 1",
        "I19 chain",
    ),
    // The last line of the last bin card, and one from the middle.
    (
        "DELETE FROM entry WHERE id = (SELECT MAX(id) FROM entry)",
        "I16 dense",
    ),
    ("DELETE FROM entry WHERE id = 7", "I16 dense"),
    (
        "DELETE FROM claim WHERE id = (SELECT MAX(id) FROM claim)",
        "I19 chain",
    ),
    ("DELETE FROM document WHERE id = 10", "I19 head"),
    ("DELETE FROM document WHERE id = 5", "I16 dense"),
    (
        "DELETE FROM document WHERE id = 10; DELETE FROM setting WHERE name = 'head'",
        "I19 head",
    ),
    ("DELETE FROM setting WHERE name = 'head'", "I19 head"),
    // Two lines change places: every sum stands.
    (
        "UPDATE entry SET id = -1 WHERE id = 1; UPDATE entry SET id = 1 WHERE id = 2; UPDATE entry SET id = 2 WHERE id = -1",
        "I19 chain",
    ),
    (
        "UPDATE document SET id = -1 WHERE id = 9; UPDATE document SET id = 9 WHERE id = 10; UPDATE document SET id = 10 WHERE id = -1",
        "I19 chain",
    ),
    // A claim made and ended beside the others: every sum stands.
    (
        "INSERT INTO claim (document, line, lot, qty, why) VALUES (5, 1, 1, 1, 'reserve'), (5, 1, 1, -1, 'free')",
        "I19 no document",
    ),
    (
        "INSERT INTO entry SELECT (SELECT MAX(id) + 1 FROM entry), document, law, lot, from_place, to_place, from_line, to_line, \
         qty, value, layer FROM entry WHERE id = 1",
        "I19 no document",
    ),
    (
        "INSERT INTO document SELECT 11, kind, day, at, by, checked_by, reason, job, supplier_order, list, due, owner_word, \
         'another', request, NULL, first_entry, 0, hash FROM document WHERE id = 10",
        "I19 chain",
    ),
    // Records that say they are of a document that never was.
    (
        "INSERT INTO person (initials, name, roles, document) VALUES ('XX', 'A Stranger', 'manager', 99)",
        "I19 no document",
    ),
    (
        "INSERT INTO claim (document, line, lot, qty, why) VALUES (99, 1, 1, 1, 'reserve')",
        "I19 no document",
    ),
    // The law as rows, which some rules lean on.
    ("UPDATE law SET while_held = 1", "the law itself"),
    (
        "UPDATE law SET who = 'clerk' WHERE who = 'manager'",
        "the law itself",
    ),
    ("DELETE FROM law WHERE id = 13001", "the law itself"),
    (
        "INSERT INTO law VALUES (993402, 'wish', 'brought forward', 'shelf', 1, 0, 'clerk')",
        "the law itself",
    ),
];

#[test]
fn whoever_rewrites_history_is_told_on() {
    for (sql, rule) in FORGED {
        let counter = at_work();
        forge(&counter.store(), sql);
        names(&counter, rule, sql);
    }
}

/// The head that `check` tells people to note.
fn noted_head(counter: &Counter) -> String {
    let said = counter.run(&["check"]).good();
    said.answer().rsplit(' ').next().unwrap().to_owned()
}

#[test]
fn a_cut_off_end_shows_against_the_noted_head() {
    let counter = at_work();
    let noted = noted_head(&counter);
    assert_eq!(noted, noted_head(&counter), "reading does not move the head");
    let whole = std::fs::read(counter.store()).unwrap();
    counter.run(&["free", "green", "--by", "TW"]).good();
    let later = noted_head(&counter);
    assert_ne!(noted, later);
    // The file of before is the later one with its end cut off without a trace: sound in itself, with another head.
    std::fs::write(counter.store(), whole).unwrap();
    assert_eq!(broken(&counter), [""; 0]);
    assert_ne!(noted_head(&counter), later);
}

#[test]
fn a_damaged_page_is_told_of() {
    let counter = at_work();
    let raw = raw(&counter);
    let page_size = number(&raw, "PRAGMA page_size");
    let root = number(
        &raw,
        "SELECT rootpage FROM sqlite_master WHERE name = 'entry_lot'",
    );
    drop(raw);
    let mut bytes = std::fs::read(counter.store()).unwrap();
    let at = usize::try_from((root - 1) * page_size + page_size - 40).unwrap();
    bytes[at..at + 20].fill(0xFF);
    std::fs::write(counter.store(), bytes).unwrap();
    let ran = counter.run(&["check"]);
    assert!(matches!(ran.exit, 1 | 74), "{ran:?}");
}
