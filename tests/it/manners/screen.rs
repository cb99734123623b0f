//! What reaches a screen: escaped, in colour only where colour is wanted, in seven bits where there are seven.

use crate::desk::{Counter, run_with};

/// Everything a hostile name may hold: escape, title setting, bell, return, C1, right-to-left, zero width.
const HOSTILE: &str = "x\u{1b}]0;pwn\u{7}\r\u{9b}31m\u{202e}\u{200b}y";

/// No control reaches the screen but line feed and tab.
fn is_clean(text: &str) -> bool {
    text.chars().all(|mark| {
        mark == '\n' || mark == '\t' || (!mark.is_control() && mark != '\u{202e}' && mark != '\u{200b}')
    })
}

#[test]
fn an_argument_cannot_drive_the_screen() {
    let counter = Counter::sample();
    for words in [
        vec!["stock", HOSTILE],
        vec![HOSTILE],
        vec!["stock", "--format", HOSTILE],
        vec!["undo", HOSTILE, "--by", "HP"],
        vec!["undo", "PCK-1", "--by", HOSTILE],
        vec!["import", HOSTILE, "--by", "HP"],
        vec!["--on", HOSTILE, "stock"],
        vec!["settings", "--training-day", HOSTILE, "--by", "HP"],
        vec!["explain", HOSTILE],
    ] {
        for form in ["table", "plain", "csv", "json"] {
            let mut all = words.clone();
            all.extend(["--format", form]);
            let ran = counter.run(if words.contains(&"--format") { &words } else { &all });
            assert_ne!(ran.exit, 0, "{words:?}");
            assert!(
                is_clean(&ran.out) && is_clean(&ran.err),
                "{words:?}: {:?} {:?}",
                ran.out,
                ran.err
            );
        }
    }
}

#[test]
fn a_name_in_the_books_cannot_drive_the_screen() {
    let counter = Counter::bare();
    counter.run(&["init", "--name", HOSTILE, "--by", "HP"]).good();
    for form in ["table", "plain", "csv", "json"] {
        let ran = counter.run(&["settings", "--format", form]).good();
        assert!(is_clean(&ran.out), "{form}: {:?}", ran.out);
    }
}

/// Whether `stock` uses colour in an environment, with a flag.
fn coloured(counter: &Counter, env: &[(&str, &str)], color: Option<&str>) -> bool {
    let store = counter.store().display().to_string();
    let mut words = vec!["--store", &store, "stock", "SE-50"];
    if let Some(when) = color {
        words.extend(["--color", when]);
    }
    let found = |name: &str| {
        env.iter()
            .find(|(key, _)| *key == name)
            .map(|(_, value)| (*value).to_owned())
    };
    run_with(&words, &found).good().out.contains('\u{1b}')
}

#[test]
fn colour_only_where_it_is_wanted() {
    // In the order of no-color.org and bixense.com/clicolors: the flag, NO_COLOR, CLICOLOR_FORCE, then the terminal;
    // the desk of these tests is none.
    let counter = Counter::sample();
    for (env, color, wanted) in [
        (vec![], None, false),
        (vec![], Some("always"), true),
        (vec![("NO_COLOR", "1")], Some("always"), true),
        (vec![("CLICOLOR_FORCE", "1")], None, true),
        (vec![("CLICOLOR_FORCE", "1"), ("NO_COLOR", "1")], None, false),
        (vec![("CLICOLOR_FORCE", "1"), ("NO_COLOR", "")], None, true),
        (vec![("CLICOLOR_FORCE", "1")], Some("never"), false),
    ] {
        assert_eq!(coloured(&counter, &env, color), wanted, "{env:?} {color:?}");
    }
}

#[test]
fn colour_only_adds() {
    let counter = Counter::sample();
    let plain = counter.run(&["stock", "SE-50"]).good().out;
    let coloured = counter.run(&["stock", "SE-50", "--color", "always"]).good().out;
    let mut stripped = String::new();
    let mut rest = coloured.as_str();
    while let Some(at) = rest.find('\u{1b}') {
        stripped.push_str(&rest[..at]);
        rest = &rest[at + rest[at..].find('m').unwrap() + 1..];
    }
    stripped.push_str(rest);
    assert_eq!(stripped, plain);
    assert_ne!(coloured, plain);
}

#[test]
fn seven_bits_where_there_are_seven() {
    let counter = Counter::sample();
    let store = counter.store().display().to_string();
    let locale = |name: &str| (name == "LC_ALL").then(|| "C".to_owned());
    let ran = run_with(&["--store", &store, "stock", "SE-50"], &locale).good();
    assert!(ran.out.is_ascii(), "{}", ran.out);
}
