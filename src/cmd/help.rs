//! The help pages: by who uses the commands, the common ones first; and what was probably meant.

use crate::cmd::args::Cli;
use crate::cmd::error::Failure;
use crate::db::schema::KNOWN;
use crate::db::sqlite::Sqlite;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Command, CommandFactory};
use std::ffi::OsString;
use std::sync::OnceLock;

/// The commands by who uses them.
const GROUPS: &[(&str, &[&str])] = &[
    (
        "getting started",
        &["init", "demo", "import", "export", "settings"],
    ),
    ("records", &["conversion", "people"]),
    (
        "the counter",
        &[
            "today",
            "find",
            "scan",
            "stock",
            "card",
            "expiry",
            "goods-in",
            "inspect",
            "certificate",
            "open",
            "match",
            "move",
            "scrap",
            "quarantine",
            "count",
            "label",
            "note",
            "hatch",
        ],
    ),
    (
        "used, made, sent out",
        &["use", "weigh", "make", "away", "send-back", "dispatch"],
    ),
    (
        "kits",
        &[
            "job", "reserve", "free", "shorts", "pick", "issue", "give", "return", "put-back",
        ],
    ),
    ("buying", &["order"]),
    ("estimating", &["sums", "compare", "cost"]),
    (
        "inspection",
        &["extend", "hold", "log", "check", "undo", "backup", "explain"],
    ),
];

/// The page that a bare `bincard` prints.
pub fn short() -> String {
    "bincard keeps the bin cards of a workshop that converts aircraft piston engines.\n\
     \n\
     today's job, for one box:\n\
     \x20 bincard reserve blue          reserve its kit, name what is short\n\
     \x20 bincard pick blue             print the numbered pick list\n\
     \x20 bincard issue blue --by TW    the kit goes to the engine\n\
     \n\
     to see it work: bincard demo\n\
     every command by who uses it: bincard --help\n\
     one command: bincard pick --help\n"
        .to_owned()
}

/// Whether a word is the name of a command.
pub fn is_command(word: &str) -> bool {
    GROUPS.iter().any(|(_, names)| names.contains(&word))
}

/// The command tree with a version that names the engine and the schema, and with the grouped page as its help where
/// these words ask for help: the page takes longer to lay out than most commands to answer.
pub fn dressed(command: Command, words: &[OsString]) -> Command {
    static VERSION: OnceLock<String> = OnceLock::new();
    let version = VERSION.get_or_init(|| {
        let (program, engine) = (env!("CARGO_PKG_VERSION"), Sqlite::version());
        format!("{program}, SQLite {engine}, schema {KNOWN}")
    });
    let command = command.version(version.as_str());
    if words.iter().any(|word| asks_for_help(&word.to_string_lossy())) {
        let mut command = command.override_help(page());
        // What each command is for stands with its options, which are laid out only now.
        command.build();
        command
    } else {
        command
    }
}

/// Whether a word may be the one that asks for help: `--help`, or `-h` alone or among other letters.
fn asks_for_help(word: &str) -> bool {
    let letters = word.strip_prefix('-').filter(|rest| !rest.starts_with('-'));
    word.starts_with("--h") || letters.is_some_and(|letters| letters.contains('h'))
}

/// The grouped page.
fn page() -> String {
    let mut tree = Cli::command();
    tree.build();
    let mut page = String::from(
        "bincard keeps the bin cards of a workshop that converts aircraft piston engines.\n\n\
         usage: bincard [--store PATH] COMMAND …\n",
    );
    for (group, names) in GROUPS {
        page.push_str(&format!("\n{group}\n"));
        for name in *names {
            let about = tree
                .find_subcommand(name)
                .and_then(|c| c.get_about())
                .map(ToString::to_string);
            page.push_str(&format!("  {name:<12} {}\n", about.unwrap_or_default()));
        }
    }
    page.push_str(
        "\nanywhere\n\
         \x20 --store PATH     the store's file (also BINCARD_STORE)\n\
         \x20 --by INITIALS    whose initials stand on the document\n\
         \x20 --on DATE        the day it happened, if not today\n\
         \x20 --format FORM    table, plain, csv or json\n\
         \x20 -n, --dry-run    do everything, show everything, post nothing\n\
         \x20 --no-input       never ask, refuse instead\n\
         \x20 --op-id ID       an id of your own: the same command twice posts once\n\
         \x20 --color WHEN     auto, always or never\n\
         \x20 -h, -V           help, version\n\
         \nexits: 0 done · 1 the answer is no · 2 not understood · 65 faults in a file · 66 no store ·\n\
         70 our fault · 73 cannot make · 74 read or write failed · 75 busy · 77 not permitted · 78 newer\n",
    );
    page
}

/// A command line that cannot be understood, with up to three commands that may have been meant; never acted on.
pub fn misunderstood(text: &str, error: &clap::Error) -> Failure {
    let what = text
        .lines()
        .next()
        .unwrap_or_default()
        .trim_start_matches("error: ")
        .to_owned();
    let rest: Vec<&str> = text
        .lines()
        .skip(1)
        .map(str::trim)
        .filter(|line| !line.is_empty())
        .collect();
    if error.kind() != ErrorKind::InvalidSubcommand {
        let told = rest
            .iter()
            .take_while(|line| !line.starts_with("Usage:"))
            .copied()
            .collect::<Vec<_>>()
            .join(" ");
        let usage = rest
            .iter()
            .find(|line| line.starts_with("Usage:"))
            .copied()
            .unwrap_or("bincard --help");
        return Failure::usage(
            if told.is_empty() {
                what
            } else {
                format!("{what} {told}")
            },
            usage,
        );
    }
    let typed = match error.get(ContextKind::InvalidSubcommand) {
        Some(ContextValue::String(typed)) => typed.clone(),
        _ => String::new(),
    };
    let near = near(&typed);
    let hint = if near.is_empty() {
        "`bincard --help` lists the commands".to_owned()
    } else {
        format!(
            "perhaps {}; `bincard --help` lists the commands",
            near.join(", or ")
        )
    };
    Failure::usage(what, hint)
}

/// The names of commands near to what was typed, nearest first.
fn near(typed: &str) -> Vec<String> {
    let mut names: Vec<(f64, &str)> = GROUPS
        .iter()
        .flat_map(|(_, names)| names.iter())
        .map(|name| (strsim::jaro_winkler(typed, name), *name))
        .filter(|(likeness, _)| *likeness > 0.75)
        .collect();
    names.sort_by(|a, b| b.0.total_cmp(&a.0));
    names
        .into_iter()
        .take(3)
        .map(|(_, name)| format!("`{name}`"))
        .collect()
}
