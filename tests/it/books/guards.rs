//! The guards of the engine bite with the domain out of the way: statements typed at a copy of a store at work.
//!
//! Each case is a statement that must be refused, by which guard, and where there is one its neighbour that is just
//! within the law and must pass, so that the refusal is the guard's and nobody else's. The laws: law.md, schema.md.

use super::{at_work, number, raw};
use rusqlite::Connection;

/// A statement that must be refused, a piece of the guard's answer, a neighbour that must pass.
type Case = (&'static str, &'static str, &'static str);

/// Runs a statement and takes it back again; what it changed, or what the engine said.
fn attempt(raw: &Connection, sql: &str) -> Result<usize, String> {
    raw.execute_batch("SAVEPOINT attempt").unwrap();
    let done = raw.execute(sql, []).map_err(|error| error.to_string());
    raw.execute_batch("ROLLBACK TO attempt; RELEASE attempt").unwrap();
    done
}

#[track_caller]
fn bite(cases: &[Case]) {
    let counter = at_work();
    let raw = raw(&counter);
    for (wrong, guard, right) in cases {
        let said = attempt(&raw, wrong).expect_err(wrong);
        assert!(said.contains(guard), "{wrong}\nwants {guard}\ngot   {said}");
        if !right.is_empty() {
            let changed = attempt(&raw, right).unwrap_or_else(|said| panic!("{right}: {said}"));
            assert!(changed > 0, "{right} found no row to try on");
        }
    }
}

#[test]
fn no_house_place_holds_less_than_nothing() {
    let below = "CHECK constraint failed: place >= 30000000";
    bite(&[
        (
            "UPDATE balance SET qty = -1, value = 0 WHERE place / 1000000 = 2",
            below,
            "UPDATE balance SET qty = 0, value = 0 WHERE place / 1000000 = 2",
        ),
        (
            "UPDATE balance SET qty = -1, value = 0 WHERE place / 1000000 = 6",
            below,
            "",
        ),
        (
            "UPDATE balance SET qty = -1, value = 0 WHERE place / 1000000 = 20",
            below,
            "",
        ),
        // Where lots are born they may be owed.
        (
            "UPDATE balance SET place = 20000001, qty = -1, value = -1 WHERE place / 1000000 = 34 AND lot = 1",
            below,
            "UPDATE balance SET qty = -1, value = -1 WHERE place / 1000000 = 34 AND lot = 1",
        ),
        (
            "UPDATE balance SET qty = 0, value = 1 WHERE place / 1000000 = 20",
            below,
            "UPDATE balance SET qty = 1, value = 1 WHERE place / 1000000 = 20",
        ),
        (
            "UPDATE balance SET qty = 1, value = -1 WHERE place / 1000000 = 20",
            below,
            "",
        ),
        (
            "UPDATE balance SET value = 1 WHERE place / 1000000 = 2 AND qty > 0",
            "CHECK constraint failed: place / 1000000 <> 2 OR value = 0",
            "UPDATE balance SET value = 1 WHERE place / 1000000 = 20 AND qty > 0",
        ),
    ]);
}

#[test]
fn nothing_is_promised_twice() {
    bite(&[
        (
            "UPDATE lot_position SET reserved = pickable + 1",
            "CHECK constraint failed: reserved >= 0 AND reserved <= pickable",
            "UPDATE lot_position SET reserved = pickable",
        ),
        (
            "UPDATE lot_position SET pickable = reserved - 1 WHERE reserved > 0",
            "CHECK constraint failed: reserved >= 0 AND reserved <= pickable",
            "UPDATE lot_position SET pickable = reserved WHERE reserved > 0",
        ),
        (
            "UPDATE lot_position SET reserved = -1",
            "CHECK constraint failed: reserved >= 0",
            "",
        ),
        (
            "UPDATE lot_position SET held = -1",
            "CHECK constraint failed: held >= 0",
            "UPDATE lot_position SET held = 0",
        ),
        (
            "UPDATE job_line SET reserved = most - pegged - kitted - fitted + 1",
            "CHECK constraint failed: reserved + pegged = 0",
            "UPDATE job_line SET reserved = most - pegged - kitted - fitted",
        ),
        (
            "UPDATE job_line SET pegged = most - reserved - kitted - fitted + 1",
            "CHECK constraint failed: reserved + pegged = 0",
            "UPDATE job_line SET pegged = most - reserved - kitted - fitted",
        ),
        (
            "UPDATE order_line SET pegged = ordered - closed - accepted + 1",
            "CHECK constraint failed: pegged = 0",
            "UPDATE order_line SET pegged = ordered - closed - accepted",
        ),
        (
            "UPDATE order_line SET pegged = 1, accepted = ordered",
            "CHECK constraint failed: pegged = 0",
            "UPDATE order_line SET pegged = 0, accepted = ordered + 1",
        ),
        (
            "INSERT INTO claim (document, line, lot, order_line, qty, why) VALUES (5, 1, 1, 1, 1, 'reserve')",
            "CHECK constraint failed: (lot IS NULL) <> (order_line IS NULL)",
            "INSERT INTO claim (document, line, lot, order_line, qty, why) VALUES (5, 1, 1, NULL, 1, 'reserve')",
        ),
        (
            "INSERT INTO claim (document, line, lot, order_line, qty, why) VALUES (5, 1, 1, NULL, 0, 'reserve')",
            "CHECK constraint failed: qty <> 0",
            "",
        ),
    ]);
}

/// An entry that brings a lot forward onto a shelf, with some of its columns given.
fn entry(law: &str, to_place: i64, qty: i64, value: i64) -> String {
    format!(
        "INSERT INTO entry (document, law, lot, from_place, to_place, qty, value, layer) \
         SELECT document, {law}, lot, from_place, {to_place}, {qty}, {value}, layer FROM entry WHERE id = 1"
    )
}

#[test]
fn no_bin_card_bears_an_unlawful_line() {
    let counter = at_work();
    let raw = raw(&counter);
    let (from, to) = (
        number(&raw, "SELECT from_place FROM entry WHERE id = 1"),
        number(&raw, "SELECT to_place FROM entry WHERE id = 1"),
    );
    assert_eq!((from / 1_000_000, to / 1_000_000), (34, 2));
    for (sql, guard) in [
        (entry("law", to, 1, 0), ""),
        (entry("law", to, 0, 1), ""),
        (
            entry("law", to, 0, 0),
            "CHECK constraint failed: qty > 0 OR value > 0",
        ),
        (entry("law", to, -1, 0), "CHECK constraint failed: qty >= 0"),
        (entry("law", to, 1, -1), "CHECK constraint failed: value >= 0"),
        // No movement bears the number 99.
        (entry("993402", to, 1, 0), "FOREIGN KEY constraint failed"),
        // 1 30 01: book in, of a supplier; the places are brought forward and shelf.
        (entry("13001", to, 1, 0), "CHECK constraint failed: law % 10000"),
        (
            entry("law", 6_000_001, 1, 0),
            "CHECK constraint failed: law % 10000",
        ),
        (entry("law", from, 1, 0), "CHECK constraint failed: "),
        (entry("law", 2_000_999, 1, 0), "FOREIGN KEY constraint failed"),
    ] {
        match attempt(&raw, &sql) {
            Ok(added) => assert_eq!((added, guard), (1, ""), "{sql}"),
            Err(said) => assert!(
                !guard.is_empty() && said.contains(guard),
                "{sql}\nwants {guard}\ngot   {said}"
            ),
        }
    }
}

#[test]
fn what_is_one_stays_one() {
    let counter = at_work();
    let raw = raw(&counter);
    // A serial that stands on a shelf, and a shelf on which it does not stand.
    let lot = number(
        &raw,
        "SELECT MIN(lot) FROM balance WHERE whole = 1 AND qty > 0 AND place / 1000000 = 2",
    );
    let shelf = number(
        &raw,
        &format!(
            "SELECT MIN(id) FROM place WHERE id / 1000000 = 2 AND id NOT IN (SELECT place FROM balance WHERE lot = {lot})"
        ),
    );
    let also = |qty| format!("INSERT INTO balance VALUES ({lot}, {shelf}, {qty}, 0, 1)");
    let own = "INSERT INTO layer (part, lot, shared, qty, value) SELECT part, lot, shared, 0, 0 FROM layer WHERE id = 1";
    let pool = "INSERT INTO layer (part, lot, shared, qty, value) VALUES (1, NULL, 1, 0, 0)";
    let document = |op: &str, contra: &str| {
        format!(
            "INSERT INTO document (kind, day, at, by, op, request, contra, first_entry, entries, hash) \
             SELECT 'undo', day, at, by, {op}, request, {contra}, first_entry, 0, hash FROM document WHERE contra = 9"
        )
    };
    let cases = [
        (also(1_000_000), "balance_whole", also(0)),
        (
            own.to_owned(),
            "UNIQUE constraint failed: layer.lot",
            pool.to_owned(),
        ),
        // FRE-000009 is undone already, RSV-000005 is not.
        (
            document("'n'", "9"),
            "UNIQUE constraint failed: document.contra",
            document("'n'", "5"),
        ),
        (
            document("op", "5"),
            "UNIQUE constraint failed: document.op",
            document("op || 'n'", "5"),
        ),
    ];
    for (wrong, guard, right) in cases {
        assert_eq!(attempt(&raw, &right), Ok(1), "{right}");
        let said = attempt(&raw, &wrong).expect_err(&wrong);
        assert!(
            said.contains(guard)
                || guard == "balance_whole" && said.contains("UNIQUE constraint failed: balance.lot"),
            "{wrong}: {said}"
        );
    }
    // A pool keeps its one layer, even an empty one.
    raw.execute(pool, []).unwrap();
    let said = attempt(&raw, pool).expect_err(pool);
    assert!(said.contains("UNIQUE constraint failed: layer.part"), "{said}");
}

#[test]
fn history_is_written_once() {
    let counter = at_work();
    let raw = raw(&counter);
    // The sample has no hold and no lot made of another, so one of each is put in.
    raw.execute_batch(
        "INSERT INTO hold (document, lot, cause) VALUES (5, 1, 'dropped'); INSERT INTO lot_parent VALUES (2, 1)",
    )
    .unwrap();
    for (table, column, what) in [
        ("document", "reason", "documents"),
        ("entry", "qty", "bin cards"),
        ("claim", "qty", "claims"),
        ("hold", "cause", "holds"),
        ("change", "new", "changes"),
        ("lot_parent", "parent", "parents"),
    ] {
        assert!(
            number(&raw, &format!("SELECT COUNT(*) FROM {table}")) > 0,
            "{table}"
        );
        for (sql, word) in [
            (format!("UPDATE {table} SET {column} = {column}"), "changed"),
            (format!("DELETE FROM {table}"), "removed"),
            (
                format!("INSERT OR REPLACE INTO {table} SELECT * FROM {table}"),
                "removed",
            ),
            (
                format!("UPDATE OR REPLACE {table} SET {column} = {column}"),
                "changed",
            ),
        ] {
            let said = attempt(&raw, &sql).expect_err(&sql);
            assert_eq!(said, format!("{what} are never {word}"), "{sql}");
        }
        // Why the setting is read back on opening: without it a replacement slips past (trust.md R1).
        raw.execute_batch("PRAGMA recursive_triggers = OFF; PRAGMA foreign_keys = OFF")
            .unwrap();
        let slips = attempt(
            &raw,
            &format!("INSERT OR REPLACE INTO {table} SELECT * FROM {table}"),
        );
        assert!(slips.is_ok(), "{table}: {slips:?}");
        raw.execute_batch("PRAGMA recursive_triggers = ON; PRAGMA foreign_keys = ON")
            .unwrap();
    }
}

#[test]
fn every_table_is_strict() {
    let counter = at_work();
    let raw = raw(&counter);
    let loose = "SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND strict = 0 \
                 AND name NOT LIKE 'sqlite_%'";
    let mut statement = raw.prepare(loose).unwrap();
    let loose: Vec<String> = statement
        .query_map([], |row| row.get(0))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    assert_eq!(loose, [""; 0]);
    drop(statement);
    for (sql, said) in [
        (
            "UPDATE balance SET qty = '12 off'",
            "cannot store TEXT value in INTEGER column balance.qty",
        ),
        (
            "UPDATE balance SET qty = 1.5",
            "cannot store REAL value in INTEGER column balance.qty",
        ),
        (
            "UPDATE layer SET value = x'00'",
            "cannot store BLOB value in INTEGER column layer.value",
        ),
        (
            "UPDATE lot SET number = x'00'",
            "cannot store BLOB value in TEXT column lot.number",
        ),
    ] {
        assert_eq!(attempt(&raw, sql), Err(said.to_owned()), "{sql}");
    }
}
