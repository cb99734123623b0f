//! The rows of the law, against the table of movements written out in the words of the trade.

use super::world::World;
use bincard::domain::stores::law::{KINDS, Kind, MOVEMENTS, Movement, find, rows};
use bincard::domain::stores::stock::Method;
use std::collections::BTreeSet;

const HOUSE: &str = "receiving, shelf, bench, quarantine, reject, kit, crate, away";

/// Movement, from, to, whether the lot must be usable, whether it may go while held, whose decision.
/// Source: part 2 of the law of stock, line by line, in its order.
type Line = (
    &'static str,
    &'static str,
    &'static str,
    &'static str,
    &'static str,
    &'static str,
);

const LAW: &[Line] = &[
    (
        "book in",
        "supplier, customer",
        "receiving",
        "any day",
        "held too",
        "clerk",
    ),
    (
        "fitted early",
        "supplier",
        "engine",
        "any day",
        "not held",
        "manager",
    ),
    (
        "accept",
        "receiving, quarantine",
        "shelf, bench",
        "usable",
        "not held",
        "inspector",
    ),
    (
        "quarantine",
        "receiving, shelf, bench, kit",
        "quarantine",
        "any day",
        "held too",
        "clerk",
    ),
    (
        "reject",
        "receiving, quarantine",
        "reject",
        "any day",
        "held too",
        "inspector",
    ),
    (
        "send back",
        "receiving, shelf, quarantine, reject, kit, crate",
        "supplier, customer",
        "any day",
        "held too",
        "clerk",
    ),
    (
        "move",
        "shelf, bench",
        "shelf, bench",
        "any day",
        "not held",
        "clerk",
    ),
    ("move", "receiving", "receiving", "any day", "held too", "clerk"),
    ("move", "quarantine", "quarantine", "any day", "held too", "clerk"),
    ("move", "reject", "reject", "any day", "held too", "clerk"),
    (
        "open",
        "receiving, shelf, bench, kit",
        "making",
        "any day",
        "not held",
        "clerk",
    ),
    (
        "open",
        "making",
        "receiving, shelf, bench, kit",
        "any day",
        "not held",
        "clerk",
    ),
    ("open", "quarantine", "making", "any day", "held too", "clerk"),
    ("open", "making", "quarantine", "any day", "held too", "clerk"),
    (
        "make up",
        "shelf, bench, kit",
        "making",
        "usable",
        "not held",
        "clerk",
    ),
    ("make up", "making", "receiving", "usable", "not held", "clerk"),
    ("pick", "shelf, bench", "kit", "usable", "not held", "clerk"),
    ("put back", "kit", "shelf, bench", "usable", "not held", "clerk"),
    ("rob", "kit", "kit", "usable", "not held", "manager"),
    ("issue", "kit", "engine", "usable", "not held", "clerk"),
    (
        "use",
        "shelf, bench",
        "engine, shop",
        "usable",
        "not held",
        "clerk",
    ),
    (
        "return",
        "engine, kit",
        "receiving",
        "any day",
        "held too",
        "clerk",
    ),
    ("take off", "customer", "crate", "any day", "held too", "clerk"),
    (
        "take off",
        "engine",
        "crate, receiving",
        "any day",
        "held too",
        "clerk",
    ),
    ("swap", "engine", "engine", "any day", "held too", "inspector"),
    (
        "dispatch",
        "shelf, kit",
        "customer",
        "usable",
        "not held",
        "clerk",
    ),
    ("scrap", HOUSE, "scrap", "any day", "held too", "clerk"),
    ("scrap", "engine", "scrap", "any day", "held too", "clerk"),
    ("loss", HOUSE, "counted", "any day", "held too", "clerk"),
    ("loss", "engine", "counted", "any day", "held too", "clerk"),
    (
        "gain",
        "counted",
        "receiving, shelf, bench, kit",
        "any day",
        "not held",
        "clerk",
    ),
    (
        "gain",
        "counted",
        "quarantine, reject, crate, away",
        "any day",
        "held too",
        "clerk",
    ),
    ("late cost", "supplier", HOUSE, "any day", "held too", "manager"),
    (
        "late cost",
        "supplier",
        "engine, counted",
        "any day",
        "held too",
        "manager",
    ),
    ("late cost", HOUSE, "supplier", "any day", "held too", "manager"),
    (
        "late cost",
        "engine, counted",
        "supplier",
        "any day",
        "held too",
        "manager",
    ),
    ("restate", "shelf", "making", "any day", "held too", "manager"),
    ("restate", "making", "shelf", "any day", "held too", "manager"),
    ("sold", "engine", "customer", "any day", "held too", "manager"),
    (
        "bring forward",
        "brought forward",
        "shelf, bench",
        "usable",
        "not held",
        "clerk",
    ),
    (
        "bring forward",
        "brought forward",
        "receiving, quarantine",
        "any day",
        "held too",
        "clerk",
    ),
    (
        "found fitted",
        "customer",
        "engine",
        "any day",
        "held too",
        "inspector",
    ),
    (
        "send out",
        "receiving, shelf, kit",
        "away",
        "any day",
        "not held",
        "clerk",
    ),
    (
        "send out",
        "quarantine",
        "away",
        "any day",
        "not held",
        "inspector",
    ),
    ("back in", "away", "receiving", "any day", "held too", "clerk"),
    (
        "take in",
        "crate",
        "receiving",
        "any day",
        "held too",
        "inspector",
    ),
];

fn kind(word: &str) -> Kind {
    let found = KINDS.into_iter().find(|kind| kind.word() == word);
    found.unwrap_or_else(|| panic!("no place is called {word}"))
}

/// One pair of the written table: movement, from, to, usable only, held too, whose.
type Pair = (&'static str, Kind, Kind, bool, bool, &'static str);

fn written() -> Vec<Pair> {
    let mut pairs = Vec::new();
    for (movement, from, to, fresh, held, who) in LAW {
        for from in from.split(", ").map(kind) {
            for to in to.split(", ").map(kind) {
                pairs.push((*movement, from, to, *fresh == "usable", *held == "held too", *who));
            }
        }
    }
    pairs
}

#[test]
fn every_movement_goes_where_the_law_says_and_nowhere_else() {
    let written = written();
    assert_eq!(written.len(), 124, "the table here has as many pairs as the law");
    for movement in MOVEMENTS.into_iter().filter(|m| *m != Movement::Undo) {
        for from in KINDS {
            for to in KINDS {
                let lawful = written
                    .iter()
                    .find(|w| w.0 == movement.word() && w.1 == from && w.2 == to);
                let expected = lawful.map(|w| (w.3, w.4));
                let row = find(movement, from, to).map(|row| (row.fresh, row.while_held));
                assert_eq!(row, expected, "{movement}: {from} → {to}");
            }
        }
    }
}

#[test]
fn what_may_be_done_may_be_undone_the_other_way_round() {
    let back: BTreeSet<(Kind, Kind)> = written().iter().map(|pair| (pair.2, pair.1)).collect();
    assert_eq!(back.len(), 107);
    for from in KINDS {
        for to in KINDS {
            let lawful = find(Movement::Undo, from, to).is_some();
            assert_eq!(lawful, back.contains(&(from, to)), "undo: {from} → {to}");
        }
    }
    assert_eq!(rows().len(), 124 + 107);
}

#[test]
fn the_table_of_the_store_is_the_same_law() {
    let world = World::new(Method::Actual);
    let sql = "SELECT id, movement, from_kind, to_kind, fresh, while_held FROM law ORDER BY id";
    let ours: Vec<String> = rows()
        .iter()
        .map(|row| {
            let (fresh, held) = (i64::from(row.fresh), i64::from(row.while_held));
            let id = row.movement.code() * 10_000 + row.from.code() * 100 + row.to.code();
            format!("{id} {} {} {} {fresh} {held}", row.movement, row.from, row.to)
        })
        .collect();
    assert_eq!(world.rows(sql), ours);
    world.check();
}

#[test]
fn the_store_names_who_decides() {
    let world = World::new(Method::Actual);
    for (movement, from, to, _, _, who) in written() {
        let sql = format!(
            "SELECT who FROM law WHERE movement = '{movement}' AND from_kind = '{from}' AND to_kind = '{to}'"
        );
        assert_eq!(world.rows(&sql), [who], "{movement}: {from} → {to}");
    }
}
