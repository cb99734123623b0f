//! Progress: after a second, on the other stream, for a person who reads along; for nobody else a single byte.

use crate::desk::{Counter, Ran, run_at};
use bincard::cmd::progress::Drawing;
use std::io::{Result, Write};
use std::process::{Command, Stdio};
use std::sync::Mutex;
use std::time::Duration;

/// What a terminal was sent.
static SENT: Mutex<Vec<u8>> = Mutex::new(Vec::new());

struct Terminal;

impl Write for Terminal {
    fn write(&mut self, bytes: &[u8]) -> Result<usize> {
        SENT.lock().unwrap().write(bytes)
    }

    fn flush(&mut self) -> Result<()> {
        Ok(())
    }
}

fn after(time: Duration) -> Drawing {
    Drawing {
        onto: Box::new(Terminal),
        elapsed: Box::new(move || time),
    }
}

fn just_too_early() -> Drawing {
    after(Duration::from_millis(999))
}

fn late_enough() -> Drawing {
    after(Duration::from_secs(1))
}

/// A store with nobody in its register, and a list of 1,200 customers.
fn with_a_list() -> (Counter, String) {
    let counter = Counter::bare();
    counter.types("init --name Second --by DA").good();
    let rows = (1..=1200).map(|n| format!("C{n},Customer {n}\n"));
    let path = counter.folder().join("customers.csv");
    std::fs::write(&path, format!("code,name\n{}", rows.collect::<String>())).unwrap();
    (counter, path.display().to_string())
}

/// Imports the list with a terminal or without, and says what was drawn.
fn drawn(
    watched: Option<fn() -> Drawing>,
    env: &dyn Fn(&str) -> Option<String>,
    more: &[&str],
) -> (Ran, String) {
    let (counter, list) = with_a_list();
    let store = counter.store().display().to_string();
    let words = [&["--store", &store, "--by", "DA", "import", &list], more].concat();
    SENT.lock().unwrap().clear();
    let ran = run_at(&words, env, None, watched).good();
    let sent = std::mem::take(&mut *SENT.lock().unwrap());
    (ran, String::from_utf8(sent).unwrap())
}

#[test]
fn it_is_drawn_after_a_second_for_a_person_and_for_nobody_else() {
    let unset = |_: &str| None;
    let (ran, sent) = drawn(Some(late_enough), &unset, &[]);
    for told in [
        "reading the files",
        "judging: row 0 of 1200",
        "judging: row 500 of 1200",
        "judging: row 1000 of 1200",
        "posting",
    ] {
        assert!(sent.contains(told), "{told}: {sent:?}");
    }
    assert!(
        sent.ends_with("\r\u{1b}[2K"),
        "the line is taken away again: {sent:?}"
    );
    assert!(!sent.contains('\n'), "it stays on one line: {sent:?}");
    assert!(ran.answer().starts_with("1200 records taken on"), "{}", ran.out);
    let accessible = |name: &str| (name == "ACCESSIBLE").then(|| "1".to_owned());
    let dumb = |name: &str| (name == "TERM").then(|| "dumb".to_owned());
    type Case<'a> = (
        Option<fn() -> Drawing>,
        &'a dyn Fn(&str) -> Option<String>,
        &'a [&'a str],
    );
    let silent: [Case<'_>; 7] = [
        (Some(just_too_early), &unset, &[]),
        (None, &unset, &[]),
        (Some(late_enough), &accessible, &[]),
        (Some(late_enough), &dumb, &[]),
        (Some(late_enough), &unset, &["--format", "json"]),
        (Some(late_enough), &unset, &["--format", "plain"]),
        (Some(late_enough), &unset, &["--format", "csv"]),
    ];
    for (case, (watched, env, more)) in silent.into_iter().enumerate() {
        let (_, sent) = drawn(watched, env, more);
        assert_eq!(sent, "", "case {case}");
    }
}

#[test]
fn the_program_sends_a_pipe_nothing() {
    let (counter, list) = with_a_list();
    let mut command = Command::new(env!("CARGO_BIN_EXE_bincard"));
    let ran = command
        .env_clear()
        .args(["--by", "DA", "import", &list, "--store"])
        .arg(counter.store())
        .stdin(Stdio::null())
        .output()
        .unwrap();
    assert!(ran.status.success());
    assert_eq!(String::from_utf8(ran.stderr).unwrap(), "");
    assert!(!ran.stdout.contains(&b'\r') && !ran.stdout.contains(&0x1b));
}
