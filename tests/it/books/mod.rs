//! The books: opened safely, guarded by the engine itself, proved by `check`, shared by many at once.

mod backup;
mod cards;
mod check_bites;
mod check_rules;
mod copies;
mod flips;
mod guards;
mod opening;
mod race;
mod schema;
mod upgrade;
mod workshop;
mod writing;

use crate::desk::Counter;
use rusqlite::Connection;
use std::path::Path;
use std::sync::OnceLock;

/// The sample workshop at work: all jobs reserved, amber picked, blue issued, red freed and that undone.
fn at_work() -> Counter {
    static MADE: OnceLock<Vec<u8>> = OnceLock::new();
    let bytes = MADE.get_or_init(|| {
        let counter = Counter::sample();
        // Some parts of the sample are short, so that reserving all of it answers no.
        assert_eq!(counter.run(&["reserve", "--by", "TW"]).exit, 1);
        for words in [
            &["pick", "amber", "--list", "2", "--as-listed"][..],
            &["pick", "blue", "--list", "2", "--as-listed"],
            &["issue", "blue"],
            &["free", "red"],
            &["undo", "FRE-000009"],
        ] {
            counter.run(&[words, &["--by", "TW"]].concat()).good();
        }
        counter.run(&["check"]).good();
        std::fs::read(counter.store()).unwrap()
    });
    let counter = Counter::bare();
    std::fs::write(counter.store(), bytes).unwrap();
    counter
}

/// The store met from outside, by nobody's rules but the engine's.
fn raw(counter: &Counter) -> Connection {
    let raw = Connection::open(counter.store()).unwrap();
    raw.execute_batch("PRAGMA foreign_keys = ON; PRAGMA recursive_triggers = ON")
        .unwrap();
    raw
}

/// The store met with every guard off; the guards stand again when the statement has run.
fn forge(path: &Path, sql: &str) {
    let raw = Connection::open(path).unwrap();
    raw.execute_batch("PRAGMA ignore_check_constraints = ON; PRAGMA foreign_keys = OFF")
        .unwrap();
    let mut statement = raw
        .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
        .unwrap();
    let guards: Vec<(String, String)> = statement
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    drop(statement);
    for (name, _) in &guards {
        raw.execute_batch(&format!("DROP TRIGGER {name}")).unwrap();
    }
    let before = raw.total_changes();
    raw.execute_batch(sql)
        .unwrap_or_else(|error| panic!("{sql}: {error}"));
    assert!(raw.total_changes() > before, "{sql} found no row to forge");
    for (_, guard) in &guards {
        raw.execute_batch(guard).unwrap();
    }
}

/// The one number that a statement gives.
#[track_caller]
fn number(raw: &Connection, sql: &str) -> i64 {
    raw.query_row(sql, [], |row| row.get(0))
        .unwrap_or_else(|error| panic!("{sql}: {error}"))
}
