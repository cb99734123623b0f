//! Streams: the answer on one, the rest on the other; readers who go, disks that are full, nobody at the keyboard.

use crate::desk::{Counter, run_typing};
use std::process::{Command, Stdio};

/// The real program on a store.
fn program(counter: &Counter, words: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_bincard"));
    command
        .env_clear()
        .arg("--store")
        .arg(counter.store())
        .args(words)
        .stdin(Stdio::null());
    command
}

/// Commands that only read, on the sample.
const READING: &[&[&str]] = &[
    &["stock"],
    &["stock", "SE-50"],
    &["settings"],
    &["explain"],
    &["--help"],
    &[],
];

#[test]
fn the_answer_stands_alone_on_its_stream() {
    let counter = Counter::sample();
    for words in READING {
        let ran = counter.run(words).good();
        assert!(
            !ran.out.is_empty() && ran.err.is_empty(),
            "{words:?}: {}",
            ran.err
        );
    }
    let refused = counter.run(&["stock", "NOSUCH"]);
    assert!(refused.out.is_empty() && !refused.err.is_empty(), "{refused:?}");
}

#[test]
fn errors_are_json_where_json_is_wanted() {
    let counter = Counter::sample();
    for (words, exit) in [
        (vec!["stock", "NOSUCH", "--format", "json"], 1),
        (vec!["nosuch", "--format", "json"], 2),
        (vec!["undo", "--format=json", "--by", "HP", "PCK-9"], 1),
    ] {
        let ran = counter.run(&words);
        assert_eq!(ran.exit, exit, "{ran:?}");
        let told: serde_json::Value =
            serde_json::from_str(&ran.err).unwrap_or_else(|e| panic!("{e}: {}", ran.err));
        assert_eq!(told["kind"], "error");
        for key in ["number", "message", "hint", "context"] {
            assert!(!told[key].is_null(), "{key}: {told}");
        }
    }
}

#[test]
fn a_reader_who_goes_is_no_fault() {
    let counter = Counter::sample();
    for words in READING {
        let mut child = program(&counter, words)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let ended = child.wait_with_output().unwrap();
        assert_eq!(ended.status.code(), Some(0), "{words:?}");
        assert!(
            ended.stderr.is_empty(),
            "{words:?}: {}",
            String::from_utf8_lossy(&ended.stderr)
        );
    }
}

#[test]
fn a_full_disk_is_told() {
    let counter = Counter::sample();
    for words in READING {
        let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let ended = program(&counter, words).stdout(full).output().unwrap();
        assert_eq!(ended.status.code(), Some(74), "{words:?}");
    }
}

#[test]
fn nobody_at_the_keyboard_is_never_asked() {
    let counter = Counter::sample();
    let before = std::fs::read(counter.store()).unwrap();
    for words in [
        vec!["undo"],
        vec!["undo", "IMP-2"],
        vec!["import", "Cargo.toml"],
        vec!["settings", "--training-day", "2026-12-01"],
    ] {
        let ran = counter.run(&words);
        assert_ne!(ran.exit, 0, "{words:?}");
        assert_eq!(std::fs::read(counter.store()).unwrap(), before, "{words:?}");
    }
    assert!(
        counter
            .run(&["settings", "--training-day", "2026-12-01"])
            .err
            .contains("--by")
    );
}

#[test]
fn a_person_is_asked_for_the_initials() {
    let counter = Counter::sample();
    let store = counter.store().display().to_string();
    let words = ["--store", &store, "settings", "--training-day", "2026-12-01"];
    let asked = run_typing(&words, &|_| None, Some("HP\r\n")).good();
    assert_eq!(asked.err, "initials: ");
    assert_eq!(asked.answer(), "the training store stands at 2026-12-01");
    let nothing = run_typing(&words, &|_| None, Some("\n"));
    assert_eq!(nothing.exit, 2, "{nothing:?}");
    let mut quiet = words.to_vec();
    quiet.push("--no-input");
    let never = run_typing(&quiet, &|_| None, Some("HP\n"));
    assert_eq!(
        (never.exit, never.err.contains("initials: ")),
        (2, false),
        "{never:?}"
    );
}
