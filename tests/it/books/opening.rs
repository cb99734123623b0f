//! Opening: settings as they must be, and files that are no store of ours refused without being touched.

use crate::desk::{Counter, Ran, run_with};
use bincard::db::books::Books;
use bincard::db::error::Error;
use bincard::db::sqlite::Purpose;
use rusqlite::Connection;
use std::collections::BTreeMap;
use std::fs::Permissions;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::time::SystemTime;
use tempfile::TempDir;

/// Everything that lies in a folder, byte for byte and with the time it was last written; a folder in it counts as
/// nothing.
fn contents(folder: &Path) -> BTreeMap<PathBuf, (Vec<u8>, SystemTime)> {
    let entries = std::fs::read_dir(folder).unwrap();
    entries
        .map(|entry| entry.unwrap().path())
        .map(|path| {
            let written = std::fs::symlink_metadata(&path).unwrap().modified().unwrap();
            (path.clone(), (std::fs::read(path).unwrap_or_default(), written))
        })
        .collect()
}

fn run(store: &str, words: &[&str]) -> Ran {
    let mut all = vec!["--store", store];
    all.extend(words);
    run_with(&all, &|_| None)
}

/// A reading and a writing command.
const COMMANDS: [&[&str]; 2] = [&["stock", "ST-160"], &["free", "blue", "--by", "TW"]];

/// Types both commands and insists that they are refused so, with the folder as it was. Returns what was said.
#[track_caller]
fn refused(folder: &Path, store: &Path, exit: u8, message: &str) -> String {
    let before = contents(folder);
    let mut said = String::new();
    for words in COMMANDS {
        let ran = run(&store.display().to_string(), words);
        assert_eq!((ran.exit, ran.out.as_str()), (exit, ""), "{words:?}: {ran:?}");
        assert!(
            ran.err.contains(message),
            "{words:?} wants {message:?}: {}",
            ran.err
        );
        assert_eq!(
            contents(folder),
            before,
            "{words:?} left something beside {store:?}"
        );
        said = ran.err;
    }
    said
}

/// The sample store with a statement run on it from outside.
fn altered(sql: &str) -> Counter {
    let counter = Counter::sample();
    let raw = Connection::open(counter.store()).unwrap();
    raw.execute_batch(sql).unwrap();
    drop(raw);
    counter
}

// What a store's connection must be set to: trust.md R1; the mark is the letters bnCd (schema.rs).
fn wanted(query_only: &str) -> BTreeMap<&'static str, String> {
    BTreeMap::from([
        ("journal_mode", "wal".to_owned()),
        ("synchronous", "2".to_owned()),
        ("foreign_keys", "1".to_owned()),
        ("recursive_triggers", "1".to_owned()),
        ("trusted_schema", "0".to_owned()),
        ("trusted_schema_switch", "0".to_owned()),
        ("cell_size_check", "1".to_owned()),
        ("mmap_size", "0".to_owned()),
        ("busy_timeout", "0".to_owned()),
        ("query_only", query_only.to_owned()),
        ("application_id", u32::from_be_bytes(*b"bnCd").to_string()),
        ("user_version", bincard::db::schema::KNOWN.to_string()),
        ("defensive", "1".to_owned()),
        ("dqs_dml", "0".to_owned()),
        ("dqs_ddl", "0".to_owned()),
        // Plans do not depend on the values bound: sqlite.org/c3ref/c_dbconfig_defensive.html, ENABLE_QPSG.
        ("stable_plans", "1".to_owned()),
    ])
}

#[test]
fn every_setting_of_a_connection_is_as_it_must_be() {
    let counter = Counter::sample();
    for (purpose, query_only) in [(Purpose::Read, "1"), (Purpose::Write, "0")] {
        let books = Books::open(&counter.store(), purpose, || {}).unwrap();
        let found: BTreeMap<_, _> = books.settings().unwrap().into_iter().collect();
        assert_eq!(found, wanted(query_only), "{purpose:?}");
    }
}

#[test]
fn a_store_that_was_put_into_another_journal_is_put_back() {
    let counter = altered("PRAGMA journal_mode = DELETE");
    let books = Books::open(&counter.store(), Purpose::Write, || {}).unwrap();
    let found: BTreeMap<_, _> = books.settings().unwrap().into_iter().collect();
    assert_eq!(found, wanted("0"));
}

#[test]
fn reading_may_not_write() {
    let counter = Counter::sample();
    let books = Books::open(&counter.store(), Purpose::Read, || {}).unwrap();
    let wrote = books.write::<_, Error>(|open| open.set_setting("name", "Elsewhere"));
    assert!(matches!(wrote, Err(Error::ReadOnly(_))), "{wrote:?}");
    // The same words through a connection that may write.
    let books = Books::open(&counter.store(), Purpose::Write, || {}).unwrap();
    books
        .write::<_, Error>(|open| open.set_setting("name", "Elsewhere"))
        .unwrap();
}

#[test]
fn reading_leaves_nothing_behind() {
    let counter = Counter::sample();
    let before = contents(counter.folder());
    counter.run(&["stock", "ST-160"]).good();
    assert_eq!(contents(counter.folder()), before);
}

#[test]
fn a_path_is_only_a_path() {
    for store in ["", ":memory:"] {
        for words in COMMANDS {
            let ran = run(store, words);
            assert_eq!(ran.exit, 2, "{store:?} {words:?}: {ran:?}");
        }
        let ran = run(store, &["init", "--name", "Tern Slip", "--by", "HP"]);
        assert_eq!(ran.exit, 2, "{store:?}: {ran:?}");
    }
    let from_environment = |name: &str| (name == "BINCARD_STORE").then(|| ":memory:".to_owned());
    assert_eq!(run_with(&["stock", "ST-160"], &from_environment).exit, 2);
}

#[test]
fn what_looks_like_an_address_names_a_file() {
    let folder = TempDir::new().unwrap();
    let name = "file:x.db?mode=memory";
    let real = |words: &[&str]| {
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_bincard"));
        command
            .current_dir(folder.path())
            .args(["--store", name])
            .args(words);
        command.output().unwrap().status.code()
    };
    assert_eq!(real(&["stock", "ST-160"]), Some(66));
    assert!(contents(folder.path()).is_empty());
    assert_eq!(real(&["init", "--name", "Tern Slip", "--by", "HP"]), Some(0));
    let made: Vec<PathBuf> = contents(folder.path()).into_keys().collect();
    assert_eq!(made, [folder.path().join(name)]);
    assert_eq!(real(&["check"]), Some(0));
}

#[test]
fn what_is_no_store_of_ours_is_refused_and_not_touched() {
    let folder = TempDir::new().unwrap();
    let place = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        path
    };
    let mut said = vec![
        refused(
            folder.path(),
            &folder.path().join("typo.db"),
            66,
            "there is no store at",
        ),
        refused(
            folder.path(),
            &place("empty.db", b""),
            65,
            "is an empty file, not a store",
        ),
        refused(
            folder.path(),
            &place("parts.csv", b"number,name\nNUT,\"nut, M8\"\n"),
            65,
            "is not a store of ours: file is not a database",
        ),
        refused(
            folder.path(),
            folder.path(),
            2,
            "cannot be a store: it is a folder",
        ),
    ];
    let foreign = folder.path().join("foreign.db");
    let raw = Connection::open(&foreign).unwrap();
    raw.execute_batch("CREATE TABLE setting (name TEXT, value TEXT)")
        .unwrap();
    drop(raw);
    said.push(refused(
        folder.path(),
        &foreign,
        65,
        "is not a store of ours: it bears another",
    ));
    let cut = Counter::sample();
    let bytes = std::fs::read(cut.store()).unwrap();
    std::fs::write(cut.store(), &bytes[..bytes.len() / 2]).unwrap();
    said.push(refused(
        cut.folder(),
        &cut.store(),
        74,
        "the books could not be read",
    ));
    let newer = altered("PRAGMA user_version = 78");
    let message = "is written in version 78 of the books, this program knows up to 3";
    said.push(refused(newer.folder(), &newer.store(), 78, message));
    said.sort();
    said.dedup();
    assert_eq!(said.len(), 7, "each says something else: {said:#?}");
}

#[test]
fn a_mark_or_a_version_of_another_is_refused() {
    let marked = altered("PRAGMA application_id = 7");
    refused(
        marked.folder(),
        &marked.store(),
        65,
        "it bears another program's mark",
    );
    let unfinished = altered("PRAGMA user_version = 0");
    refused(
        unfinished.folder(),
        &unfinished.store(),
        65,
        "its making was never finished",
    );
}

/// A file with its log not yet folded in, as a process leaves it that was stopped: copied while it is open.
fn copy_with_log(from: &Path, folder: &Path) -> PathBuf {
    let copy = folder.join("copy.db");
    std::fs::copy(from, &copy).unwrap();
    std::fs::copy(from.with_extension("db-wal"), folder.join("copy.db-wal")).unwrap();
    copy
}

#[test]
fn anothers_log_is_not_folded_in() {
    let (folder, copies) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let path = folder.path().join("foreign.db");
    let raw = Connection::open(&path).unwrap();
    raw.execute_batch(
        "PRAGMA journal_mode = WAL; CREATE TABLE bird (name TEXT); INSERT INTO bird VALUES ('tern')",
    )
    .unwrap();
    let copy = copy_with_log(&path, copies.path());
    assert_eq!(
        contents(copies.path()).len(),
        2,
        "the log must lie there for the test to bite"
    );
    refused(
        copies.path(),
        &copy,
        65,
        "is not a store of ours: it bears another",
    );
}

#[test]
fn a_store_just_made_opens_though_its_log_was_never_folded_in() {
    let (counter, copies) = (Counter::bare(), TempDir::new().unwrap());
    // A second connection keeps the first one's end from folding the log in, as a power cut would.
    let other = std::cell::RefCell::new(None);
    Books::create::<_, Error>(
        &counter.store(),
        || {},
        |open| {
            let raw = Connection::open(counter.store()).unwrap();
            raw.query_row("SELECT COUNT(*) FROM sqlite_master", [], |_| Ok(()))
                .unwrap();
            *other.borrow_mut() = Some(raw);
            open.set_setting("name", "Tern Slip")
        },
    )
    .unwrap();
    std::fs::copy(counter.store(), copies.path().join("store.db")).unwrap();
    let log = counter.folder().join("store.db-wal");
    if log.exists() {
        std::fs::copy(log, copies.path().join("store.db-wal")).unwrap();
    }
    let books = Books::open(&copies.path().join("store.db"), Purpose::Read, || {}).unwrap();
    let name = books.read::<_, Error>(|open| open.setting("name")).unwrap();
    assert_eq!(name.as_deref(), Some("Tern Slip"));
}

#[test]
fn nothing_is_made_over_what_is_there() {
    let folder = TempDir::new().unwrap();
    let init = |path: &Path| {
        run(
            &path.display().to_string(),
            &["init", "--name", "Tern Slip", "--by", "HP"],
        )
    };
    let (empty, link) = (folder.path().join("empty.db"), folder.path().join("link.db"));
    std::fs::write(&empty, b"").unwrap();
    std::os::unix::fs::symlink(folder.path().join("elsewhere.db"), &link).unwrap();
    let before = contents(folder.path());
    for path in [&empty, &link, &folder.path().to_path_buf()] {
        let ran = init(path);
        assert_eq!(ran.exit, 73, "{path:?}: {ran:?}");
        assert_eq!(contents(folder.path()), before);
    }
}

// trust.md R42: who may write a store follows from its folder, whatever the umask.
#[test]
fn the_folder_decides_who_shares_a_store() {
    for (folder_mode, store_mode) in [(0o700, 0o600), (0o755, 0o600), (0o770, 0o660), (0o775, 0o660)] {
        let counter = Counter::bare();
        std::fs::set_permissions(counter.folder(), Permissions::from_mode(folder_mode)).unwrap();
        counter.run(&["init", "--name", "Tern Slip", "--by", "HP"]).good();
        let mode = std::fs::metadata(counter.store()).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, store_mode, "in a folder of {folder_mode:o}");
    }
}
