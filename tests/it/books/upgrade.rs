//! An older store is brought up on the way in: all of the missing steps or none, and its chain still holds.

use super::workshop::{Workshop, proved};
use crate::desk::Counter;
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

/// The name of the copy that is kept beside `store.db`, the nth of its name.
fn kept_name(nth: u32) -> String {
    match nth {
        1 => format!("store.before-{KNOWN:04}.db"),
        nth => format!("store.before-{KNOWN:04}-{nth}.db"),
    }
}

/// The names of what lies in a folder.
fn lying(folder: &Path) -> Vec<String> {
    let names = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = names
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// Every table that the first step made, row by row.
fn content(path: &Path) -> Vec<String> {
    let raw = Connection::open(path).unwrap();
    let mut found = Vec::new();
    for table in ["document", "setting", "part", "place", "lot", "entry", "law"] {
        let mut statement = raw.prepare(&format!("SELECT * FROM {table}")).unwrap();
        let columns = statement.column_count();
        let mut rows = statement.query([]).unwrap();
        while let Some(row) = rows.next().unwrap() {
            let cells = (0..columns).map(|at| row.get::<_, rusqlite::types::Value>(at).unwrap());
            found.push(format!("{table} {:?}", cells.collect::<Vec<_>>()));
        }
    }
    assert!(found.len() > 50);
    found
}

#[test]
fn the_store_as_it_was_is_kept_beside_it() {
    for steps in [1, 2] {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("store.db");
        of_the_first(&path, steps);
        let before = content(&path);
        // Three files are in the way: one of the name itself, one of the next, what the engine would take for the log of
        // the third.
        let log = format!("{}-wal", kept_name(3));
        for name in [kept_name(1), kept_name(2), log.clone()] {
            std::fs::write(folder.path().join(name), "the clerk's own").unwrap();
        }
        let books = Books::open(&path, Purpose::Read, || {}).unwrap();
        let kept = folder.path().join(kept_name(4));
        assert_eq!(books.kept(), Some(kept.as_path()));
        drop(books);
        for name in [kept_name(1), kept_name(2), log] {
            let text = std::fs::read_to_string(folder.path().join(name)).unwrap();
            assert_eq!(text, "the clerk's own");
        }
        assert_eq!((version(&kept), version(&path)), (steps, KNOWN));
        assert_eq!(content(&kept), before);
        // Opened again there is nothing to bring up; the copy itself still can be.
        let again = Books::open(&path, Purpose::Write, || {}).unwrap();
        assert_eq!(again.kept(), None);
        drop(Books::open(&kept, Purpose::Read, || {}).unwrap());
        assert_eq!(proved(&kept).unwrap(), []);
    }
}

#[test]
fn where_no_copy_can_be_kept_nothing_is_brought_up() {
    let folder = tempfile::tempdir().unwrap();
    // A file's name has 255 bytes at most: the store's log fits, the copy's does not.
    let path = folder.path().join(format!("{}.db", "s".repeat(240)));
    of_the_first(&path, 1);
    let before = (std::fs::read(&path).unwrap(), lying(folder.path()));
    let refused = Books::open(&path, Purpose::Write, || {}).err().unwrap();
    assert!(matches!(refused, Error::NotKept { .. }), "{refused:?}");
    let told = refused.to_string();
    assert!(
        told.contains("was not brought up") && told.contains(".before-"),
        "{told}"
    );
    assert_eq!((std::fs::read(&path).unwrap(), lying(folder.path())), before);
    assert_eq!(version(&path), 1);
}

#[test]
fn a_damaged_store_is_neither_kept_nor_brought_up() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.db");
    of_the_first(&path, 1);
    // An index that does not know its table's rows: the copy is faithful, and does not hold.
    let raw = Connection::open(&path).unwrap();
    raw.execute_batch(
        "CREATE INDEX stray ON law(from_kind); PRAGMA writable_schema = ON; \
         UPDATE sqlite_schema SET sql = 'CREATE INDEX stray ON law(to_kind)' WHERE name = 'stray'; \
         PRAGMA wal_checkpoint(TRUNCATE)",
    )
    .unwrap();
    drop(raw);
    let before = lying(folder.path());
    let refused = Books::open(&path, Purpose::Write, || {}).err().unwrap();
    assert!(matches!(refused, Error::NotKept { .. }), "{refused:?}");
    assert_eq!((version(&path), lying(folder.path())), (1, before));
}

#[test]
fn whatever_the_command_it_tells_once_where_the_copy_lies() {
    for words in [
        &["stock"][..],
        &["note", "x", "--by", "TW"],
        &["stock", "NO-SUCH-PART", "--format", "json"],
        &["scrap", "NO-SUCH-LOT", "1", "-w", "x", "--by", "TW"],
    ] {
        let counter = Counter::bare();
        of_the_first(&counter.store(), 1);
        let ran = counter.run(words);
        let kept = counter.folder().join(kept_name(1)).display().to_string();
        assert!(ran.err.contains(&kept), "{words:?}: {ran:?}");
        assert!(!ran.out.contains(&kept), "{words:?}: {ran:?}");
        assert!(!counter.run(words).err.contains(&kept), "{words:?}");
    }
}

#[test]
fn a_store_that_was_brought_up_is_proved_before_anything_is_done_with_it() {
    let counter = Counter::bare();
    of_the_first(&counter.store(), 2);
    // A record altered behind the books' back: sound for the engine, and so for the copy.
    let raw = Connection::open(counter.store()).unwrap();
    assert!(raw.execute("UPDATE place SET name = 'another'", []).unwrap() > 0);
    drop(raw);
    let ran = counter.run(&["note", "x", "--by", "TW"]);
    assert_eq!(ran.exit, 65, "{ran:?}");
    let kept = counter.folder().join(kept_name(1)).display().to_string();
    for said in ["refusal 282", "the check after it finds", &kept, "bincard check"] {
        assert!(ran.err.contains(said), "{said}: {}", ran.err);
    }
    let raw = Connection::open(counter.store()).unwrap();
    let documents = |raw: &Connection| -> i64 {
        raw.query_row("SELECT COUNT(*) FROM document", [], |row| row.get(0))
            .unwrap()
    };
    let before = Connection::open(counter.folder().join(kept_name(1))).unwrap();
    assert_eq!(documents(&raw), documents(&before), "nothing was posted");
}

#[test]
fn a_backup_that_is_restored_is_brought_up_and_leaves_no_copy_of_a_copy() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.db");
    of_the_first(&path, 1);
    let old = std::fs::read(&path).unwrap();
    let counter = Counter::bare();
    let copy = counter.folder().join("friday.db");
    std::fs::write(&copy, &old).unwrap();
    let ran = counter.run(&["backup", "restore", &copy.display().to_string()]);
    assert_eq!(ran.exit, 0, "{ran:?}");
    assert_eq!(version(&counter.store()), KNOWN);
    assert_eq!(std::fs::read(&copy).unwrap(), old);
    assert!(!lying(counter.folder()).iter().any(|name| name.contains("before")));
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
    // Nor does a copy pile up with every try.
    assert!(!lying(folder.path()).iter().any(|name| name.contains("before")));
    assert_eq!(std::fs::read(&path).unwrap(), before);
}
