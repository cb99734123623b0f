//! The README's console blocks, typed one after the other: each must print what stands there.
//!
//! The figures in them are asserted elsewhere, from the sample's story; here only the text is held.

use crate::desk::{Counter, run_with, split};

/// A command of the README with the output that stands under it.
struct Typed {
    words: Vec<String>,
    printed: String,
    line: usize,
}

/// The commands of every console block, in order.
fn commands(readme: &str) -> Vec<Typed> {
    let mut found: Vec<Typed> = Vec::new();
    let mut inside = false;
    for (at, line) in readme.lines().enumerate() {
        if line.starts_with("```") {
            inside = line == "```console";
        } else if let (true, Some(typed)) = (inside, line.strip_prefix("$ ")) {
            found.push(Typed {
                words: split(typed),
                printed: String::new(),
                line: at + 1,
            });
        } else if inside {
            let last = found.last_mut().expect("a console block begins with a command");
            last.printed.push_str(line);
            last.printed.push('\n');
        }
    }
    found
}

/// Runs every command of the README on a store of its own and gives the README with what they really print.
fn really_printed(readme: &str) -> String {
    let counter = Counter::bare();
    let store = counter.store().display().to_string();
    let mut named = "store.db".to_owned();
    let mut outputs = Vec::new();
    for typed in commands(readme) {
        let words: Vec<&str> = typed.words.iter().map(String::as_str).collect();
        if let ["export", setting] = words.as_slice() {
            named = setting.trim_start_matches("BINCARD_STORE=").to_owned();
            outputs.push(String::new());
            continue;
        }
        assert_eq!(words.first(), Some(&"bincard"), "README.md:{}", typed.line);
        let env = |name: &str| (name == "BINCARD_STORE").then(|| store.clone());
        let ran = run_with(&words[1..], &env);
        outputs.push(format!("{}{}", ran.out, ran.err).replace(&store, &named));
    }
    rewritten(readme, &outputs)
}

/// A line without the head of the chain, which hangs on the operations' ids and so is never twice the same.
fn headless(line: &str) -> &str {
    line.split(", head ").next().unwrap_or(line)
}

/// The README with other outputs.
fn rewritten(readme: &str, outputs: &[String]) -> String {
    let mut text = String::new();
    let (mut inside, mut next) = (false, outputs.iter());
    for line in readme.lines() {
        let fence = line.starts_with("```");
        let command = inside && line.starts_with("$ ");
        if fence || command || !inside {
            text.push_str(line);
            text.push('\n');
        }
        if command {
            text.push_str(next.next().map_or("", String::as_str));
        }
        if fence {
            inside = line == "```console";
        }
    }
    text
}

#[test]
fn the_readme_prints_what_the_program_prints() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/README.md");
    let readme = std::fs::read_to_string(path).unwrap();
    assert!(commands(&readme).len() >= 8, "the walk is too short to be one");
    let real = really_printed(&readme);
    if std::env::var_os("BINCARD_README_WRITE").is_some() {
        std::fs::write(path, &real).unwrap();
        return;
    }
    for (at, (written, printed)) in readme.lines().zip(real.lines()).enumerate() {
        let (written, printed) = (headless(written), headless(printed));
        assert_eq!(
            written,
            printed,
            "README.md:{}; BINCARD_README_WRITE=1 writes it anew",
            at + 1
        );
    }
    assert_eq!(readme.lines().count(), real.lines().count());
}
