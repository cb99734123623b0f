//! `backup`: a copy holds what the store held, is refused where it does not, and never goes over anything.

use super::at_work;
use crate::desk::Counter;
use rusqlite::Connection;
use std::os::unix::fs::PermissionsExt;
use std::path::Path;

/// The head that an answer bears.
fn head(answer: &str) -> String {
    answer.rsplit(' ').next().unwrap().to_owned()
}

/// The names in a folder that are not the store's own.
fn others(folder: &Path) -> Vec<String> {
    let names = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = names
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| !name.starts_with("store.db"))
        .collect();
    names.sort();
    names
}

#[test]
fn taken_proved_and_restored_it_is_the_same_store() {
    let counter = at_work();
    let file = counter.folder().join("friday.db").display().to_string();
    let taken = counter.run(&["backup", "take", &file]).good();
    let checked = counter.run(&["check"]).good();
    assert_eq!(head(taken.answer()), head(checked.answer()));
    assert!(
        taken.answer().starts_with("backup taken and proved: "),
        "{taken:?}"
    );
    assert!(taken.answer().len() <= 80);
    assert_eq!(others(counter.folder()), ["friday.db"]);
    let mode = |path: &str| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
    // A store's own mode in a folder that only its owner may write in.
    assert_eq!(mode(&file), 0o600);
    let before = std::fs::read(&file).unwrap();
    let proved = counter.run(&["backup", "prove", &file]).good();
    assert_eq!(head(proved.answer()), head(checked.answer()));
    assert_eq!(std::fs::read(&file).unwrap(), before, "proving writes nothing");
    assert_eq!(others(counter.folder()), ["friday.db"], "nor beside it");
    // What is posted afterwards is not in the copy, and the copy's head stands in the store's chain.
    counter.run(&["note", "later", "--by", "TW"]).good();
    let old = head(checked.answer());
    let ran = counter.run(&["check", "--head", &old]).good();
    assert!(ran.out.contains("1 document came after it"), "{}", ran.out);
    let new = counter.folder().join("back.db").display().to_string();
    let words = ["--store", &new, "backup", "restore", &file];
    let restored = crate::desk::run_with(&words, &|_| None).good();
    assert_eq!(head(restored.answer()), old);
    let ran = crate::desk::run_with(&["--store", &new, "note"], &|_| None).good();
    assert_eq!(ran.answer(), "no open notes");
    // The later store's head is nowhere in the restored one: its end is cut off as seen from there.
    let newest = head(counter.run(&["check"]).good().answer());
    let ran = crate::desk::run_with(&["--store", &new, "check", "--head", &newest], &|_| None);
    assert_eq!(ran.exit, 1, "{ran:?}");
    assert!(
        ran.answer()
            .starts_with("NO document of these books bears the head"),
        "{ran:?}"
    );
}

#[test]
fn a_folder_gives_it_a_name_of_its_own() {
    let counter = Counter::sample();
    let folder = counter.folder().join("stick");
    std::fs::create_dir(&folder).unwrap();
    let into = folder.display().to_string();
    let taken = counter.run(&["backup", "take", &into]).good();
    assert_eq!(
        others(&folder),
        [format!("bincard-2026-11-25-{}.db", head(taken.answer()))]
    );
    // The same again would bear the same name, and nothing is written over.
    assert_eq!(counter.run(&["backup", "take", &into]).exit, 73);
    assert_eq!(others(&folder).len(), 1);
}

#[test]
fn what_lies_in_a_log_is_in_the_copy() {
    let counter = Counter::sample();
    // A reader that stays keeps the log from being folded in, as when others are at work.
    let reader = Connection::open(counter.store()).unwrap();
    reader.execute_batch("BEGIN").unwrap();
    let _: i64 = reader
        .query_row("SELECT COUNT(*) FROM document", [], |row| row.get(0))
        .unwrap();
    counter.run(&["note", "in the log", "--by", "TW"]).good();
    let file = counter.folder().join("copy.db").display().to_string();
    counter.run(&["backup", "take", &file]).good();
    let ran = crate::desk::run_with(&["--store", &file, "note"], &|_| None).good();
    assert!(ran.out.contains("in the log"), "{}", ran.out);
}

#[test]
fn refused_without_a_trace() {
    let counter = at_work();
    let at = |name: &str| counter.folder().join(name).display().to_string();
    counter.run(&["backup", "take", &at("good.db")]).good();
    std::fs::write(at("taken.db"), "here already").unwrap();
    std::fs::write(at("text.db"), "a text of some length, and no store").unwrap();
    std::fs::write(at("empty.db"), "").unwrap();
    std::fs::write(at("logged.db-wal"), "left behind").unwrap();
    let sound = std::fs::read(at("good.db")).unwrap();
    let changed = |name: &str, sql: &str| {
        std::fs::write(at(name), &sound).unwrap();
        let raw = Connection::open(at(name)).unwrap();
        raw.execute_batch(sql).unwrap();
        raw.execute_batch("PRAGMA journal_mode=DELETE").unwrap();
    };
    changed("newer.db", "PRAGMA user_version=9999");
    changed("forged.db", "UPDATE lot SET batch = 'forged' WHERE id = 7");
    std::fs::write(at("cut.db"), &sound[..sound.len() / 2]).unwrap();
    let before = others(counter.folder());
    for (words, exit) in [
        (vec!["backup".to_owned(), "take".into(), at("taken.db")], 73),
        (vec!["backup".into(), "take".into(), at("logged.db")], 73),
        (vec!["backup".into(), "take".into(), at("nowhere/x.db")], 73),
        (vec!["backup".into(), "take".into(), ":memory:".into()], 2),
        (
            vec!["--dry-run".into(), "backup".into(), "take".into(), at("x.db")],
            2,
        ),
        (vec!["backup".into(), "prove".into(), at("missing.db")], 66),
        (vec!["backup".into(), "prove".into(), at("empty.db")], 65),
        (vec!["backup".into(), "prove".into(), at("text.db")], 65),
        (vec!["backup".into(), "prove".into(), at("newer.db")], 78),
        (vec!["backup".into(), "prove".into(), at("forged.db")], 1),
        (vec!["backup".into(), "prove".into(), at("cut.db")], 74),
    ] {
        let typed: Vec<&str> = words.iter().map(String::as_str).collect();
        let ran = counter.run(&typed);
        assert_eq!(ran.exit, exit, "{words:?}: {ran:?}");
        assert!(ran.err.contains("next:"), "{words:?}: {ran:?}");
    }
    for (copy, exit) in [
        ("forged.db", 1),
        ("newer.db", 78),
        ("text.db", 65),
        ("cut.db", 74),
    ] {
        let (copy, new) = (at(copy), at("new.db"));
        let ran = crate::desk::run_with(&["--store", &new, "backup", "restore", &copy], &|_| None);
        assert_eq!(ran.exit, exit, "{copy}: {ran:?}");
    }
    let (copy, there) = (at("good.db"), counter.store().display().to_string());
    let ran = crate::desk::run_with(&["--store", &there, "backup", "restore", &copy], &|_| None);
    assert_eq!(ran.exit, 73, "{ran:?}");
    assert_eq!(others(counter.folder()), before, "nothing is left behind");
    assert_eq!(std::fs::read_to_string(at("taken.db")).unwrap(), "here already");
    counter.run(&["check"]).good();
}

#[test]
fn a_head_is_looked_for_in_the_chain() {
    let counter = Counter::sample();
    for odd in ["", "1234567", "xyzxyzxyz", "0a1b2c3g"] {
        assert_eq!(counter.run(&["check", "--head", odd]).exit, 2, "{odd}");
    }
    assert_eq!(counter.run(&["check", "--head", "0000000000000000"]).exit, 1);
    let now = head(counter.run(&["check"]).good().answer());
    let ran = counter.run(&["check", "--head", &now.to_uppercase()]).good();
    assert!(ran.out.contains("0 documents came after it"), "{}", ran.out);
}
