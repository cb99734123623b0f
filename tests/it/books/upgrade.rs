//! An older store is brought up on the way in: all of the missing steps or none, and its chain still holds.

use super::workshop::{Workshop, proved};
use bincard::db::books::Books;
use bincard::db::error::Error;
use bincard::db::schema::{KNOWN, STEPS};
use bincard::db::sqlite::Purpose;
use rusqlite::Connection;
use std::path::Path;

/// A store with a document in it, as a program made it that knew the first step only.
fn of_the_first_step(path: &Path) {
    let founded: Result<(), Error> = Books::create(
        path,
        || {},
        |open| {
            Workshop::found(open, "actual");
            open.set_setting("name", "Tern Slip")
        },
    );
    founded.unwrap();
    let raw = Connection::open(path).unwrap();
    raw.execute_batch(
        "DROP TABLE count_line; DROP TABLE note; PRAGMA user_version = 1; PRAGMA wal_checkpoint(TRUNCATE)",
    )
    .unwrap();
}

fn version(path: &Path) -> i64 {
    let raw = Connection::open(path).unwrap();
    raw.query_row("PRAGMA user_version", [], |row| row.get(0))
        .unwrap()
}

#[test]
fn a_store_of_the_first_step_is_brought_up_and_proved() {
    for purpose in [Purpose::Read, Purpose::Write] {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("store.db");
        of_the_first_step(&path);
        assert_eq!(version(&path), 1);
        drop(Books::open(&path, purpose, || {}).unwrap());
        assert_eq!(proved(&path).unwrap(), []);
        assert_eq!(version(&path), KNOWN);
        assert_eq!(KNOWN, STEPS.len() as i64);
    }
}

#[test]
fn a_step_that_fails_leaves_the_store_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.db");
    of_the_first_step(&path);
    // The last thing that step 0002 makes is in the way already.
    let raw = Connection::open(&path).unwrap();
    raw.execute_batch("CREATE INDEX note_answers ON lot(number); PRAGMA wal_checkpoint(TRUNCATE)")
        .unwrap();
    drop(raw);
    let before = std::fs::read(&path).unwrap();
    assert!(Books::open(&path, Purpose::Write, || {}).is_err());
    assert_eq!(version(&path), 1);
    assert_eq!(std::fs::read(&path).unwrap(), before);
}
