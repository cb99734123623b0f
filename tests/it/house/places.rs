//! What lies where: the top of the project, and no path of one machine in any file.

use super::report::{Fault, all_well, bites, keeps, lets_pass};
use super::source::File;
use std::{fs, path::Path};

/// All that lies at the top, besides dot files.
const TOP: &[&str] = &[
    "Cargo.toml",
    "Cargo.lock",
    "README.md",
    "DEVELOPERS.md",
    "LICENSE",
    "clippy.toml",
    "rustfmt.toml",
    "askama.toml",
    "src",
    "schema",
    "tests",
    "sample-data",
    "benches",
    "fuzz",
    "target",
];

fn top<'a>(names: impl IntoIterator<Item = &'a str>) -> Vec<Fault> {
    let strangers = names
        .into_iter()
        .filter(|name| !name.starts_with('.') && !TOP.contains(name));
    strangers
        .map(|name| Fault::at(name, 1, "does not belong at the top of the project"))
        .collect()
}

/// Folders that are one machine's own. Written in two halves, so that this file keeps its own rule.
const MACHINE: &[&str] = &[
    concat!("/t", "mp/"),
    concat!("/w", "ork/"),
    concat!("/h", "ome/"),
    concat!("/r", "oot/"),
];

/// No file names a path of the machine it was written on. Dot folders are not read.
fn machines(files: &[File]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for file in files {
        for (number, line) in file.text.lines().enumerate() {
            for folder in MACHINE.iter().filter(|folder| names(line, folder)) {
                faults.push(Fault::new(
                    file,
                    number + 1,
                    format!("`{folder}` is a path of one machine only"),
                ));
            }
        }
    }
    faults
}

/// Whether the folder stands in the line as an absolute path, not inside a longer one.
fn names(line: &str, folder: &str) -> bool {
    let inside = |c: char| c.is_alphanumeric() || "._-~})$/".contains(c);
    line.match_indices(folder)
        .any(|(at, _)| !line[..at].ends_with(inside))
}

#[test]
fn the_top_holds_only_what_belongs_there() {
    let entries = fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR"))).unwrap();
    let names: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    all_well(&top(names.iter().map(String::as_str)));
}

#[test]
fn a_stranger_at_the_top_is_seen() {
    let faults: Vec<String> = top(["src", "NOTES.md", ".gitignore", "store.db"])
        .iter()
        .map(Fault::to_string)
        .collect();
    assert_eq!(faults.len(), 2);
    assert!(faults[0].starts_with("NOTES.md:1:") && faults[1].starts_with("store.db:1:"));
}

#[test]
fn no_file_names_a_machine() {
    keeps(machines);
    let texts: Vec<String> = MACHINE
        .iter()
        .map(|folder| format!("one\n// see {folder}a.txt\n"))
        .collect();
    for text in &texts {
        bites(
            machines,
            &[
                ("src/db/post.rs", text, 2),
                ("README.md", text, 2),
                ("tests/facts/a.toml", text, 2),
            ],
        );
    }
    let kept =
        ["frame", "https://a.example", "$HOME", ".", "~"].map(|start| format!("// {start}{}a\n", MACHINE[1]));
    for text in &kept {
        lets_pass(machines, &[("src/db/post.rs", text)]);
    }
}
