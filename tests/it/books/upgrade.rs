//! An older store is brought up on the way in: all of the missing steps or none, and its chain still holds.

use super::workshop::{Workshop, proved};
use bincard::db::books::Books;
use bincard::db::error::Error;
use bincard::db::schema::{KNOWN, STEPS};
use bincard::db::sqlite::Purpose;
use rusqlite::Connection;
use std::path::Path;

/// What the third step made, taken away again.
const WITHOUT_THE_THIRD: &str = "DROP TABLE certificate_lot; DROP TABLE certificate; DROP TABLE class_rule; \
     DROP TABLE life_rule; DROP TABLE stand_in; DROP TABLE caution; PRAGMA user_version = 2;";
/// What the second step made, taken away again.
const WITHOUT_THE_SECOND: &str = "DROP TABLE count_line; DROP TABLE note; PRAGMA user_version = 1;";

/// A store with a document in it, as a program made it that knew the first steps only: one of them, or two.
fn of_the_first(path: &Path, steps: i64) {
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
    raw.execute_batch(WITHOUT_THE_THIRD).unwrap();
    if steps == 1 {
        raw.execute_batch(WITHOUT_THE_SECOND).unwrap();
    }
    raw.execute_batch("PRAGMA wal_checkpoint(TRUNCATE)").unwrap();
}

fn version(path: &Path) -> i64 {
    let raw = Connection::open(path).unwrap();
    raw.query_row("PRAGMA user_version", [], |row| row.get(0))
        .unwrap()
}

#[test]
fn a_store_of_the_first_steps_is_brought_up_and_proved() {
    for (purpose, steps) in [
        (Purpose::Read, 1),
        (Purpose::Write, 1),
        (Purpose::Read, 2),
        (Purpose::Write, 2),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("store.db");
        of_the_first(&path, steps);
        assert_eq!(version(&path), steps);
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
    of_the_first(&path, 1);
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
