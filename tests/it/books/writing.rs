//! Writing: all of it or nothing, one writer after the other, and nothing that the engine would read otherwise.

use super::workshop::{Workshop, proved};
use bincard::db::books::Books;
use bincard::db::error::Error;
use bincard::db::post::Stamp;
use bincard::db::sqlite::Purpose;
use bincard::db::value::Value;
use bincard::domain::measure::Day;
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::ids::PartId;
use bincard::domain::stores::posting::Posting;
use bincard::domain::stores::record::{Record, Table};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::channel;
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// A store with a workshop in it and nothing in stock.
fn made() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.db");
    let founded: Result<(), Error> = Books::create(
        &path,
        || {},
        |open| {
            Workshop::found(open, "actual");
            open.set_setting("name", "Tern Slip")
        },
    );
    founded.unwrap();
    (folder, path)
}

fn writing(path: &Path) -> Books {
    Books::open(path, Purpose::Write, || {}).unwrap()
}

fn name(path: &Path) -> Option<String> {
    let books = Books::open(path, Purpose::Read, || {}).unwrap();
    books.read::<_, Error>(|open| open.setting("name")).unwrap()
}

fn names(folder: &Path) -> Vec<String> {
    let found = std::fs::read_dir(folder).unwrap();
    found
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect()
}

#[test]
fn a_founding_that_fails_leaves_no_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.db");
    let failed: Result<(), Error> = Books::create(
        &path,
        || {},
        |open| {
            Workshop::found(open, "actual");
            Err(Error::Refused("no".to_owned()))
        },
    );
    assert_eq!(failed, Err(Error::Refused("no".to_owned())));
    assert_eq!(names(folder.path()), [""; 0]);
    // The same path can be founded on then.
    let founded: Result<(), Error> = Books::create(
        &path,
        || {},
        |open| {
            Workshop::found(open, "actual");
            Ok(())
        },
    );
    assert_eq!(founded, Ok(()));
    assert_eq!(proved(&path), Ok(Vec::new()));
    let again: Result<(), Error> = Books::create(&path, || {}, |_| Ok(()));
    assert_eq!(again, Err(Error::Exists(path)));
}

#[test]
fn work_that_fails_leaves_the_books_as_they_were() {
    let (_folder, path) = made();
    let books = writing(&path);
    let failed = books.write::<(), Error>(|open| {
        open.set_setting("name", "Elsewhere")?;
        open.run("DELETE FROM setting WHERE name = 'method'", &[])?;
        Err(Error::Refused("no".to_owned()))
    });
    assert_eq!(failed, Err(Error::Refused("no".to_owned())));
    // A statement that a guard refuses, halfway through.
    let failed = books.write::<(), Error>(|open| {
        open.set_setting("name", "Elsewhere")?;
        open.run("DELETE FROM document", &[]).map(drop)
    });
    assert!(matches!(&failed, Err(Error::Refused(said)) if said.contains("documents are never removed")));
    assert_eq!(name(&path).as_deref(), Some("Tern Slip"));
    // The same connection works on.
    books
        .write::<_, Error>(|open| open.set_setting("name", "Elsewhere"))
        .unwrap();
    assert_eq!(name(&path).as_deref(), Some("Elsewhere"));
    assert_eq!(proved(&path), Ok(Vec::new()));
}

/// How often somebody was told that another process is waited for, by the two tests below in turn.
static TOLD: AtomicUsize = AtomicUsize::new(0);

/// One writer keeps the books this long; how long a second one waited, who must get through.
fn second_waits(kept: Duration) -> Duration {
    let (_folder, path) = made();
    let (has, ready) = channel();
    std::thread::scope(|scope| {
        let path = &path;
        let first = scope.spawn(move || {
            writing(path).write::<_, Error>(|open| {
                has.send(()).unwrap();
                std::thread::sleep(kept);
                open.set_setting("name", "the first")
            })
        });
        ready.recv().unwrap();
        let since = Instant::now();
        let second = Books::open(path, Purpose::Write, || {
            TOLD.fetch_add(1, Ordering::SeqCst);
        });
        let second = second.unwrap();
        // Reading waits for nobody.
        assert_eq!(name(path).as_deref(), Some("Tern Slip"));
        assert!(since.elapsed() < kept, "reading waited {:?}", since.elapsed());
        let found = second.write::<_, Error>(|open| {
            let found = open.setting("name")?;
            open.set_setting("name", "the second")?;
            Ok(found)
        });
        assert_eq!(
            found,
            Ok(Some("the first".to_owned())),
            "the second reads what the first wrote"
        );
        let waited = since.elapsed();
        assert_eq!(first.join().unwrap(), Ok(()));
        assert_eq!(name(path).as_deref(), Some("the second"));
        waited
    })
}

// trust.md R10: a short wait is not worth a word, a second's wait is, once.
#[test]
fn a_second_writer_waits_and_gets_through() {
    let waited = second_waits(Duration::from_millis(600));
    assert!(waited >= Duration::from_millis(300), "{waited:?}");
    assert_eq!(TOLD.load(Ordering::SeqCst), 0);
    second_waits(Duration::from_millis(2_500));
    assert_eq!(TOLD.load(Ordering::SeqCst), 1);
}

#[test]
fn a_text_with_a_nul_is_refused() {
    let (_folder, path) = made();
    let books = writing(&path);
    // In a statement, in a setting, in a record.
    let wrote =
        books.write::<_, Error>(|open| open.run("UPDATE setting SET value = $1", &[Value::from("A\0B")]));
    assert_eq!(wrote, Err(Error::Refused("a text contains a NUL".to_owned())));
    for text in ["\0", "Tern\0", "\0Slip"] {
        let wrote = books.write::<_, Error>(|open| open.set_setting("name", text));
        assert!(matches!(wrote, Err(Error::Refused(_))), "{text:?}");
    }
    let person = |roles: &str| Record {
        table: Table::Person,
        data: vec![
            1.into(),
            "TW".into(),
            "T. W.".into(),
            roles.into(),
            None::<i64>.into(),
            None::<i64>.into(),
        ],
    };
    for (roles, good) in [("clerk\0", false), ("clerk", true)] {
        let mut posting = Posting::new(Head::new(DocKind::Change, Day::new(2026, 11, 25).unwrap(), "HP"));
        posting.records.push(person(roles));
        let stamp = Stamp {
            at: "2026-11-25T12:00:00Z".to_owned(),
            op: roles.to_owned(),
            request: [0; 32],
        };
        let posted = books.write::<_, Error>(|open| bincard::db::post::post(open, &posting, &stamp));
        assert_eq!(posted.is_ok(), good, "{roles:?}: {posted:?}");
    }
    assert_eq!(name(&path).as_deref(), Some("Tern Slip"));
    assert_eq!(proved(&path), Ok(Vec::new()));
}

// trust.md R44: what is typed is never part of a statement.
#[test]
fn what_is_typed_is_never_a_statement() {
    let (_folder, path) = made();
    let typed = "'; DROP TABLE entry; --";
    writing(&path)
        .write::<_, Error>(|open| open.set_setting("name", typed))
        .unwrap();
    assert_eq!(name(&path).as_deref(), Some(typed));
    assert_eq!(proved(&path), Ok(Vec::new()));
}

// trust.md R1: a word in double quotes that is no column is a mistake, not a text.
#[test]
fn a_mistaken_name_is_no_text() {
    let (_folder, path) = made();
    let books = Books::open(&path, Purpose::Read, || {}).unwrap();
    let row = |sql: &str| books.read::<_, Error>(|open| open.row(sql, &[]));
    assert!(matches!(
        row("SELECT \"nosuch\" FROM setting"),
        Err(Error::Fault(_))
    ));
    assert!(row("SELECT \"name\" FROM setting").is_ok());
    // A value forgotten and one too many are faults of ours, not nothing.
    let rows = |sql: &str, values: &[Value]| books.read::<_, Error>(|open| open.rows(sql, values));
    assert!(matches!(
        rows("SELECT number FROM part WHERE id = $1", &[]),
        Err(Error::Fault(_))
    ));
    let two = [Value::Int(PartId(1).0), Value::Int(2)];
    assert!(matches!(
        rows("SELECT number FROM part WHERE id = $1", &two),
        Err(Error::Fault(_))
    ));
    assert_eq!(
        rows("SELECT number FROM part WHERE id = $1", &two[..1])
            .unwrap()
            .len(),
        1
    );
}
