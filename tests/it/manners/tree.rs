//! The command line itself: one name one meaning, no abbreviations, help for everybody.

use crate::desk::{Counter, run_with, split};
use bincard::cmd::args::Cli;
use bincard::cmd::help::dressed;
use clap::{Command, CommandFactory};
use std::collections::BTreeMap;

/// Every command of the tree with the words that lead to it.
fn commands() -> Vec<(Vec<String>, Command)> {
    let mut tree = dressed(Cli::command(), &["--help".into()]);
    tree.build();
    let mut found = Vec::new();
    walk(&tree, &[], &mut found);
    found
}

fn walk(command: &Command, path: &[String], found: &mut Vec<(Vec<String>, Command)>) {
    for inner in command
        .get_subcommands()
        .filter(|inner| inner.get_name() != "help")
    {
        let mut words = path.to_vec();
        words.push(inner.get_name().to_owned());
        walk(inner, &words, found);
        found.push((words, inner.clone()));
    }
}

fn run(words: &[&str]) -> crate::desk::Ran {
    run_with(words, &|_| None)
}

#[test]
fn one_flag_means_one_thing() {
    let mut meanings: BTreeMap<String, String> = BTreeMap::new();
    for (words, command) in commands() {
        for arg in command.get_arguments() {
            let Some(long) = arg.get_long() else {
                assert!(
                    arg.get_short().is_none(),
                    "{words:?}: a short flag without a long one"
                );
                continue;
            };
            let told = format!(
                "{} {:?}",
                arg.get_help().map(ToString::to_string).unwrap_or_default(),
                arg.get_short()
            );
            let first = meanings.entry(long.to_owned()).or_insert_with(|| told.clone());
            assert_eq!(*first, told, "--{long} of {words:?}");
        }
    }
    assert!(meanings.len() > 8, "{meanings:?}");
}

#[test]
fn usual_flags_mean_the_usual() {
    for (words, command) in commands() {
        for arg in command.get_arguments() {
            let usual = match arg.get_short() {
                Some('n') => "dry-run",
                Some('h') => "help",
                Some('y') => "yes",
                Some('V') => "version",
                _ => continue,
            };
            assert_eq!(arg.get_long(), Some(usual), "{words:?}");
        }
    }
}

#[test]
fn no_command_is_abbreviated() {
    for (words, _) in commands() {
        let last = words.last().unwrap();
        for cut in 1..last.len() {
            let mut typed: Vec<&str> = words.iter().map(String::as_str).collect();
            let short = &last[..cut];
            if commands()
                .iter()
                .any(|(other, _)| other.last().is_some_and(|name| name == short))
            {
                continue;
            }
            *typed.last_mut().unwrap() = short;
            assert_eq!(run(&typed).exit, 2, "{typed:?}");
        }
    }
}

#[test]
fn two_writing_verbs_never_look_alike() {
    let writing = ["init", "import", "reserve", "free", "pick", "issue", "undo"];
    for (at, one) in writing.iter().enumerate() {
        for other in &writing[at + 1..] {
            assert!(strsim::jaro(one, other) < 0.80, "{one} {other}");
        }
    }
}

#[test]
fn a_typo_is_answered_and_not_acted_on() {
    let counter = Counter::sample();
    let before = std::fs::read(counter.store()).unwrap();
    for (typed, meant) in [
        ("stok", "`stock`"),
        ("undoo", "`undo`"),
        ("explian", "`explain`"),
        ("imprt", "`import`"),
    ] {
        let ran = counter.run(&[typed, "--by", "HP"]);
        assert_eq!(ran.exit, 2);
        assert!(ran.err.contains(meant), "{}", ran.err);
    }
    assert_eq!(std::fs::read(counter.store()).unwrap(), before);
}

#[test]
fn every_command_has_a_purpose_and_examples_that_are_understood() {
    for (words, command) in commands() {
        if command.has_subcommands() {
            continue;
        }
        let about = command.get_about().map(ToString::to_string).unwrap_or_default();
        assert!(
            about.len() > 10 && !about.starts_with("What `") && !about.ends_with('.'),
            "{words:?}: {about}"
        );
        let examples = command
            .get_after_help()
            .map(ToString::to_string)
            .unwrap_or_default();
        let lines: Vec<&str> = examples
            .lines()
            .filter(|line| line.trim().starts_with("bincard"))
            .collect();
        assert!(lines.len() >= 2, "{words:?} has {} examples", lines.len());
        for line in lines {
            let typed = split(line.trim());
            let parsed = Cli::command().try_get_matches_from(&typed);
            assert!(parsed.is_ok(), "{line}: {}", parsed.unwrap_err());
        }
    }
}

#[test]
fn a_bare_call_prints_a_short_page() {
    let ran = run(&[]).good();
    assert!(ran.out.lines().count() <= 25, "{}", ran.out);
    assert!(
        ran.out.lines().all(|line| line.chars().count() <= 80),
        "{}",
        ran.out
    );
}

#[test]
fn the_page_names_every_command_in_its_group() {
    let page = run(&["--help"]).good().out;
    for asked in ["-h", "-nh"] {
        assert_eq!(page, run(&[asked]).good().out, "{asked}");
    }
    for (words, _) in commands() {
        let named = page
            .lines()
            .any(|line| line.trim_start().starts_with(&format!("{} ", words[0])));
        assert!(named, "{words:?} is missing from\n{page}");
    }
    // A group of commands says what it is for, not its own name again.
    assert!(!page.contains('`'), "{page}");
    let bare = page
        .lines()
        .find(|line| line.starts_with("  ") && line.split_whitespace().count() == 1);
    assert_eq!(bare, None, "a command without a purpose");
}

#[test]
fn an_option_may_stand_before_or_after_the_command() {
    let counter = Counter::sample();
    let store = counter.store().display().to_string();
    let before = run(&["--store", &store, "--format", "json", "stock", "SE-50"])
        .good()
        .out;
    let after = run(&["stock", "SE-50", "--format=json", &format!("--store={store}")])
        .good()
        .out;
    assert_eq!(before, after);
}

#[test]
fn every_number_is_explained_once() {
    let all = run(&["explain", "--format", "json"]).good().json();
    let numbers: Vec<i64> = all["rows"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| row["number"].as_i64().unwrap())
        .collect();
    assert!(
        numbers.len() > 50 && numbers.windows(2).all(|pair| pair[0] < pair[1]),
        "{numbers:?}"
    );
    for number in numbers {
        let ran = run(&["explain", &number.to_string()]).good();
        assert!(
            ran.out.contains("why: ") && ran.out.contains("next: "),
            "{}",
            ran.out
        );
    }
    assert_eq!(run(&["explain", "999"]).exit, 1);
}
