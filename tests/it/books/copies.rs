//! `backup` under hardship: damaged and cut copies never become stores, the log is in the copy, others may write meanwhile.

use crate::desk::{Counter, Ran, run_with};
use rusqlite::Connection;
use std::path::Path;
use std::process::Command;

/// The head that an answer ends with, twelve digits.
fn head(ran: &Ran) -> String {
    ran.answer().rsplit(' ').next().unwrap().to_owned()
}

/// Every file of the counter's folder with its bytes.
fn lying(counter: &Counter) -> Vec<(String, Vec<u8>)> {
    let mut found: Vec<(String, Vec<u8>)> = std::fs::read_dir(counter.folder())
        .unwrap()
        .map(|entry| {
            let entry = entry.unwrap();
            let name = entry.file_name().into_string().unwrap();
            (name, std::fs::read(entry.path()).unwrap_or_default())
        })
        .collect();
    found.sort();
    found
}

/// A path in the counter's folder, as it is typed.
fn within(counter: &Counter, name: &str) -> String {
    counter.folder().join(name).display().to_string()
}

#[test]
fn what_still_lies_in_the_log_is_in_the_copy() {
    let counter = Counter::sample();
    // Somebody who has the store open keeps the log from being folded in.
    let other = Connection::open(counter.store()).unwrap();
    let count =
        |raw: &Connection| raw.query_row("SELECT COUNT(*) FROM document", [], |row| row.get::<_, i64>(0));
    count(&other).unwrap();
    counter.run(&["note", "in the log", "--by", "TW"]).good();
    let log = std::fs::metadata(within(&counter, "store.db-wal")).unwrap();
    assert!(log.len() > 0);
    let printed = head(&counter.run(&["check"]).good());
    let backup = within(&counter, "friday.db");
    assert_eq!(head(&counter.run(&["backup", "take", &backup]).good()), printed);
    assert_eq!(head(&counter.run(&["backup", "prove", &backup]).good()), printed);
}

/// Proving says no or cannot be done, and no store is made of it.
#[track_caller]
fn never_a_store(counter: &Counter, file: &str, case: &str) {
    let before = lying(counter);
    let ran = counter.run(&["backup", "prove", file]);
    assert!(matches!(ran.exit, 1 | 65 | 74), "{case}: {ran:?}");
    let again = within(counter, "again.db");
    let ran = run_with(&["--store", &again, "backup", "restore", file], &|_| None);
    assert!(matches!(ran.exit, 1 | 65 | 74), "{case}: {ran:?}");
    assert_eq!(lying(counter), before, "{case}");
}

#[test]
fn a_damaged_backup_never_becomes_a_store() {
    let counter = Counter::sample();
    let backup = within(&counter, "friday.db");
    counter.run(&["backup", "take", &backup]).good();
    let whole = std::fs::read(&backup).unwrap();
    // One bit of a name in the records, in the first and in the last place where the file bears it.
    let bytes = b"Hester Pallow";
    let found: Vec<usize> = (0..whole.len() - bytes.len())
        .filter(|at| whole[*at..].starts_with(bytes))
        .collect();
    let (first, last) = (found[0], found[found.len() - 1]);
    // The head of the file's second page says what kind of page it is.
    for at in [first, last + 3, 4096] {
        let mut flipped = whole.clone();
        flipped[at] ^= 1;
        std::fs::write(&backup, flipped).unwrap();
        never_a_store(&counter, &backup, &format!("byte {at} flipped"));
    }
    for length in [1, 100, 4096, whole.len() / 2, whole.len() - 1] {
        std::fs::write(&backup, &whole[..length]).unwrap();
        never_a_store(&counter, &backup, &format!("cut to {length} bytes"));
    }
    std::fs::write(&backup, &whole).unwrap();
    counter.run(&["backup", "prove", &backup]).good();
}

/// Backups while four others write: each is whole, and its head is one that the store passed through.
#[test]
fn a_backup_taken_while_others_write_is_whole() {
    let counter = Counter::sample();
    let rounds = if std::env::var_os("BINCARD_LONG").is_some() {
        200
    } else {
        12
    };
    let stop = within(&counter, "stop");
    let type_alone = |words: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_bincard"));
        command
            .arg("--store")
            .arg(counter.store())
            .args(words)
            .output()
            .unwrap()
    };
    let (mut heads, mut sizes) = (Vec::new(), Vec::new());
    let written: i64 = std::thread::scope(|scope| {
        let writers: Vec<_> = (0..4)
            .map(|_| {
                scope.spawn(|| {
                    let mut written = 0;
                    while !Path::new(&stop).exists() {
                        let ran = type_alone(&["note", "still", "here", "--by", "TW"]);
                        assert!(ran.status.success(), "{ran:?}");
                        written += 1;
                    }
                    written
                })
            })
            .collect();
        for round in 0..rounds {
            let backup = within(&counter, &format!("backup-{round}.db"));
            let taken = counter.run(&["--format", "json", "backup", "take", &backup]);
            let proved = counter.run(&["backup", "prove", &backup]);
            heads.push((taken, proved));
            let raw = Connection::open(&backup).unwrap();
            sizes.push(raw.query_row("SELECT COUNT(*) FROM document", [], |row| row.get::<_, i64>(0)));
        }
        std::fs::write(&stop, "").unwrap();
        writers.into_iter().map(|writer| writer.join().unwrap()).sum()
    });
    let sizes: Vec<i64> = sizes.into_iter().map(Result::unwrap).collect();
    assert!(sizes.is_sorted(), "{sizes:?}");
    assert!(
        sizes.first() < sizes.last(),
        "nobody wrote meanwhile: {sizes:?} {written}"
    );
    for (taken, proved) in heads {
        let (taken, proved) = (taken.good(), proved.good());
        let taken = taken.json()["answer"].as_str().unwrap().to_owned();
        let head = head(&proved);
        assert!(taken.ends_with(&head), "{taken} and {head}");
        counter.run(&["check", "--head", &head]).good();
    }
}
