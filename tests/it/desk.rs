//! A desk for tests: commands run in this process, at a fixed instant, with nothing of the machine around them.

use bincard::cmd::desk::{Desk, Moment};
use bincard::cmd::progress::Drawing;
use bincard::domain::measure::Day;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use tempfile::TempDir;

/// The day on which the clock of a test desk stands; only a store without a training day sees it.
pub const CLOCK_DAY: &str = "2026-11-25";

/// What a command said.
#[derive(Debug)]
pub struct Ran {
    /// Its exit.
    pub exit: u8,
    /// The answer.
    pub out: String,
    /// Everything else.
    pub err: String,
}

impl Ran {
    /// The first line of the answer.
    pub fn answer(&self) -> &str {
        self.out.lines().next().unwrap_or_default()
    }

    /// The answer as JSON.
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out).unwrap_or_else(|error| panic!("{error}: {self:?}"))
    }

    /// Insists that the command did what was asked.
    #[track_caller]
    pub fn good(self) -> Ran {
        assert_eq!(self.exit, 0, "{}{}", self.out, self.err);
        self
    }
}

/// A folder of its own with a store in it, and a desk to type at.
pub struct Counter {
    folder: TempDir,
}

impl Counter {
    /// A folder without a store.
    pub fn bare() -> Counter {
        Counter {
            folder: tempfile::tempdir().unwrap(),
        }
    }

    /// The sample workshop on its training day, orders and jobs included; nothing reserved yet.
    pub fn sample() -> Counter {
        static MADE: OnceLock<Vec<u8>> = OnceLock::new();
        let bytes = MADE.get_or_init(|| {
            let counter = Counter::bare();
            let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-data");
            let path = |name: &str| sample.join(name).display().to_string();
            counter
                .run(&[
                    "init",
                    "--name",
                    "Tern Slip",
                    "--training-day",
                    "2026-11-02",
                    "--by",
                    "HP",
                ])
                .good();
            counter.run(&["import", &path("opening"), "--by", "HP"]).good();
            counter
                .run(&["settings", "--training-day", "2026-11-25", "--by", "HP"])
                .good();
            counter
                .run(&["import", &path("orders.csv"), &path("jobs.csv"), "--by", "DA"])
                .good();
            std::fs::read(counter.store()).unwrap()
        });
        let counter = Counter::bare();
        std::fs::write(counter.store(), bytes).unwrap();
        counter
    }

    /// The same where goods are accepted without a word about their papers: for tests of what moves where.
    pub fn unasked() -> Counter {
        let counter = Counter::sample();
        counter.types("settings --papers off --by OQ").good();
        counter
    }

    /// Where the store lies.
    pub fn store(&self) -> PathBuf {
        self.folder.path().join("store.db")
    }

    /// The folder.
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// What a statement over the books gives, a number.
    pub fn figure(&self, sql: &str) -> i64 {
        let raw = rusqlite::Connection::open(self.store()).unwrap();
        raw.query_row(sql, [], |row| row.get(0)).unwrap()
    }

    /// Types a command line whose words are parted by single blanks.
    pub fn types(&self, line: &str) -> Ran {
        self.run(&line.split(' ').collect::<Vec<_>>())
    }

    /// A command line is refused with this exit, says this and what to do next, and leaves the store to the byte.
    #[track_caller]
    pub fn refuses(&self, line: &str, exit: u8, says: &str) {
        let before = std::fs::read(self.store()).unwrap();
        let ran = self.types(line);
        assert_eq!(ran.exit, exit, "{line}: {ran:?}");
        let told = ran.err.contains(says) && ran.err.contains("next:");
        assert!(told, "{line} wants {says:?}: {}", ran.err);
        assert_eq!(std::fs::read(self.store()).unwrap(), before, "{line}");
    }

    /// Types a command with this store.
    pub fn run(&self, words: &[&str]) -> Ran {
        let store = self.store().display().to_string();
        let mut all = vec!["--store", &store];
        all.extend(words);
        run_with(&all, &|_| None)
    }
}

/// Types a command line in an environment, with nobody at the keyboard.
pub fn run_with(words: &[&str], env: &dyn Fn(&str) -> Option<String>) -> Ran {
    run_typing(words, env, None)
}

/// Types a command line in an environment; a person at the keyboard types what he is asked for.
pub fn run_typing(words: &[&str], env: &dyn Fn(&str) -> Option<String>, person: Option<&str>) -> Ran {
    run_at(words, env, person, None)
}

/// Types a command line; where there is a drawing, a person reads the other stream along.
pub fn run_at(
    words: &[&str],
    env: &dyn Fn(&str) -> Option<String>,
    person: Option<&str>,
    watched: Option<fn() -> Drawing>,
) -> Ran {
    let args: Vec<OsString> = std::iter::once("bincard")
        .chain(words.iter().copied())
        .map(OsString::from)
        .collect();
    let (mut out, mut err, mut input) = (Vec::new(), Vec::new(), person.unwrap_or_default().as_bytes());
    let mut ops = 0_u64;
    let folder = std::ptr::from_ref(&ops) as usize;
    let exit = {
        let mut desk = Desk {
            out: &mut out,
            err: &mut err,
            input: &mut input,
            input_is_person: person.is_some(),
            out_is_person: false,
            err_is_person: watched.is_some(),
            width: 80,
            clock: &|| {
                Some(Moment {
                    at: format!("{CLOCK_DAY}T09:30:00Z"),
                    day: Day::parse(CLOCK_DAY).ok()?,
                })
            },
            env,
            new_op: &mut || {
                ops += 1;
                format!("test-{folder}-{ops}-{:?}", std::time::SystemTime::now())
            },
            waiting: || {},
            drawing: watched.unwrap_or(|| panic!("nobody reads along")),
        };
        bincard::cmd::run(&mut desk, &args)
    };
    Ran {
        exit,
        out: String::from_utf8(out).unwrap(),
        err: String::from_utf8(err).unwrap(),
    }
}

/// Splits a line as a shell does, as far as quotes go.
pub fn split(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for mark in line.chars() {
        match mark {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            other => words.last_mut().unwrap().push(other),
        }
    }
    words
}
