//! Eight clerks at once: processes of the real program that reserve, pick, take back and free the same jobs.
//!
//! Two seconds by default, ten with BINCARD_LONG set. Nothing may be claimed twice, nothing acknowledged may be
//! missing, and nobody may be told that the books are busy (trust.md T7, R9, R10).

use crate::desk::Counter;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

const CLERKS: usize = 8;
const JOBS: [&str; 4] = ["blue", "red", "green", "amber"];

/// What one clerk lived through.
#[derive(Default)]
struct Tally {
    /// How many commands ended with each exit, by verb.
    exits: BTreeMap<(String, i32), u32>,
    /// The number of every document that was acknowledged.
    posted: Vec<i64>,
    /// Commands that ended otherwise than with yes or no, with what they said.
    bad: Vec<String>,
    /// How often somebody was told that another process is waited for.
    waits: u32,
    /// The longest command.
    longest: Duration,
}

impl Tally {
    /// Types a command in a process of its own; the answer as JSON.
    fn typed(&mut self, store: &Path, words: &[&str]) -> Value {
        let since = Instant::now();
        let mut command = Command::new(env!("CARGO_BIN_EXE_bincard"));
        command
            .arg("--store")
            .arg(store)
            .args(["--format", "json"])
            .args(words);
        let ran = command.output().unwrap();
        self.longest = self.longest.max(since.elapsed());
        let said = String::from_utf8_lossy(&ran.stderr).into_owned();
        self.waits += u32::from(said.contains("waiting for another"));
        let exit = ran.status.code().unwrap_or(-1);
        *self.exits.entry((words[0].to_owned(), exit)).or_default() += 1;
        let unsound = words == ["check"] && exit != 0;
        if unsound || !matches!(exit, 0 | 1) || said.contains("busy") || said.contains("308") {
            self.bad.push(format!(
                "{words:?} exit {exit}: {said}{}",
                String::from_utf8_lossy(&ran.stdout)
            ));
        }
        serde_json::from_slice(&ran.stdout).unwrap_or(Value::Null)
    }

    /// Types a command that may post, and keeps the number of the document it acknowledged.
    fn posting(&mut self, store: &Path, words: &[&str]) -> Option<String> {
        let answer = self.typed(store, &[words, &["--by", "TW"]].concat());
        let document = answer["document"].as_str()?.to_owned();
        self.posted.push(document.rsplit('-').next()?.parse().ok()?);
        Some(document)
    }

    /// One round of a clerk with one job; its picks are taken back, so that the race never runs dry.
    fn round(&mut self, store: &Path, job: &str) {
        self.posting(store, &["reserve", job]);
        let list = self.typed(store, &["pick", job]);
        let number = list["answer"].as_str().and_then(list_number);
        if let Some(number) = number
            && let Some(picked) = self.posting(store, &["pick", job, "--list", number, "--as-listed"])
        {
            self.posting(store, &["undo", &picked]);
        }
        self.posting(store, &["free", job]);
    }
}

/// The number in `list 2 of J-0001 (blue): …`.
fn list_number(answer: &str) -> Option<&str> {
    answer.strip_prefix("list ")?.split(' ').next()
}

#[test]
fn eight_at_once_claim_nothing_twice() {
    let counter = Counter::sample();
    let store = counter.store();
    let documents = |counter: &Counter| super::number(&super::raw(counter), "SELECT MAX(id) FROM document");
    let before = documents(&counter);
    let seconds = if std::env::var_os("BINCARD_LONG").is_some() {
        10
    } else {
        2
    };
    let end = Instant::now() + Duration::from_secs(seconds);
    let tallies: Vec<Tally> = std::thread::scope(|scope| {
        let clerks: Vec<_> = (0..CLERKS)
            .map(|clerk| {
                let store = &store;
                scope.spawn(move || {
                    let mut tally = Tally::default();
                    // Neighbours start with the same job, two by two, and meet the others' later.
                    for round in clerk / 2.. {
                        if Instant::now() > end {
                            break;
                        }
                        tally.round(store, JOBS[round % JOBS.len()]);
                        if clerk == 0 {
                            // What is read while others write is of one moment: the law holds in it.
                            tally.typed(store, &["check"]);
                        }
                    }
                    tally
                })
            })
            .collect();
        clerks.into_iter().map(|clerk| clerk.join().unwrap()).collect()
    });
    let after = documents(&counter);
    report(&tallies, seconds);
    let bad: Vec<&String> = tallies.iter().flat_map(|tally| &tally.bad).collect();
    assert!(bad.is_empty(), "{bad:#?}");
    // Every acknowledged document is there, once, and there is no other.
    let posted: Vec<i64> = tallies.iter().flat_map(|tally| tally.posted.clone()).collect();
    assert!(
        posted.len() > 2 * CLERKS,
        "too little was posted to be a race: {}",
        posted.len()
    );
    let distinct: BTreeSet<i64> = posted.iter().copied().collect();
    assert_eq!(distinct.len(), posted.len(), "a number was given twice");
    assert!(distinct.into_iter().eq(before + 1..=after), "{before}..{after}");
    counter.run(&["check"]).good();
}

/// Says what was measured; seen with `--nocapture`.
// A measurement is for the eyes of whoever runs it.
#[allow(clippy::disallowed_macros, clippy::print_stdout)]
fn report(tallies: &[Tally], seconds: u64) {
    let mut exits: BTreeMap<&(String, i32), u32> = BTreeMap::new();
    for (key, count) in tallies.iter().flat_map(|tally| &tally.exits) {
        *exits.entry(key).or_default() += count;
    }
    let posted: usize = tallies.iter().map(|tally| tally.posted.len()).sum();
    let waits: u32 = tallies.iter().map(|tally| tally.waits).sum();
    let longest = tallies
        .iter()
        .map(|tally| tally.longest)
        .max()
        .unwrap_or_default();
    println!("{seconds} s: {posted} posted, {waits} told to wait, longest {longest:?}, exits {exits:?}");
}
