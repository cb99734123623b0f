//! Each library is at home on its floor and seen nowhere else.

use super::manifest::dependencies;
use super::paths::{Named, paths};
use super::report::{Fault, bites, keeps, lets_pass};
use super::source::File;

const DESK: &str = "src/cmd/desk.rs";

/// A library, or a part of the standard one, and the folders and files that may name it.
const HOMES: &[(&str, &[&str])] = &[
    // The books.
    ("rusqlite", &["src/db/sqlite.rs", "src/db/sqlite/"]),
    ("sha2", &["src/db/"]),
    // Paper coming in and going out. A serialised type is a promise to strangers: never in `domain` or `db`.
    ("csv", &["src/intake/", "src/print/"]),
    ("serde", &["src/intake/", "src/print/"]),
    ("serde_json", &["src/print/"]),
    ("calamine", &["src/intake/"]),
    ("tabled", &["src/print/"]),
    ("unicode_width", &["src/print/"]),
    ("askama", &["src/print/"]),
    ("datamatrix", &["src/print/"]),
    ("qrcode", &["src/print/"]),
    ("barcoders", &["src/print/"]),
    ("rust_xlsxwriter", &["src/print/"]),
    // What a person types.
    ("clap", &["src/cmd/"]),
    ("clap_complete", &["src/cmd/"]),
    ("clap_mangen", &["src/cmd/"]),
    ("strsim", &["src/cmd/"]),
    ("dialoguer", &["src/cmd/"]),
    ("indicatif", &["src/cmd/"]),
    ("include_dir", &["src/cmd/"]),
    // The trade.
    ("jiff", &["src/domain/", DESK]),
    ("statrs", &["src/domain/"]),
    ("good_lp", &["src/domain/"]),
    // The world outside the program.
    ("terminal_size", &[DESK]),
    ("std::fs", &[DESK, "src/db/sqlite.rs", "src/db/sqlite/"]),
    ("std::env", &[DESK]),
    ("std::process", &[DESK, "src/main.rs"]),
    ("std::net", &[]),
    ("std::time::SystemTime", &[DESK]),
    (
        "std::time::Instant",
        &[DESK, "src/db/sqlite.rs", "src/db/sqlite/"],
    ),
];

/// Libraries that stand on every floor.
const EVERYWHERE: &[&str] = &["rust_decimal", "thiserror"];

/// What `domain` may take of jiff: days and their arithmetic, nothing that knows a clock or a zone.
const CIVIL: &[&str] = &[
    "jiff::civil",
    "jiff::Span",
    "jiff::ToSpan",
    "jiff::Unit",
    "jiff::Error",
];

/// A library is named only at home.
fn homes(files: &[File]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for file in files.iter().filter(|file| file.is_program()) {
        for named in paths(file) {
            for (library, homes) in HOMES.iter().filter(|(library, _)| named.is_of(library)) {
                if !homes.iter().any(|home| file.path.starts_with(home)) {
                    let home = if homes.is_empty() {
                        "nowhere".into()
                    } else {
                        homes.join(", ")
                    };
                    faults.push(Fault::new(
                        file,
                        named.line,
                        format!("`{library}` is at home in {home}, not here"),
                    ));
                }
            }
            if file.floor() == Some("domain") && knows_a_clock(&named) {
                let what = format!(
                    "`{}`: the domain takes only civil days, a clock is for {DESK}",
                    named.segments.join("::")
                );
                faults.push(Fault::new(file, named.line, what));
            }
        }
    }
    faults
}

fn knows_a_clock(named: &Named) -> bool {
    named.is_of("jiff") && !CIVIL.iter().any(|civil| named.is_of(civil))
}

/// No derive or bound of serde in the domain or the books, however it got there.
fn wire_types(files: &[File]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for file in files
        .iter()
        .filter(|file| matches!(file.floor(), Some("domain" | "db")))
    {
        for token in file
            .tokens
            .iter()
            .filter(|token| token.is("Serialize") || token.is("Deserialize"))
        {
            let what = format!(
                "`{}`: a serialised type is a promise to strangers; make a mirror type in print or intake",
                token.text
            );
            faults.push(Fault::new(file, token.line, what));
        }
    }
    faults
}

/// Every library the program depends on has a home in the table.
fn housed(files: &[File]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for file in files.iter().filter(|file| file.path == "Cargo.toml") {
        for name in dependencies(&file.text, &["dependencies"])
            .into_iter()
            .map(|(name, _)| name.replace('-', "_"))
        {
            let known =
                HOMES.iter().any(|(library, _)| *library == name) || EVERYWHERE.contains(&name.as_str());
            if !known {
                let line = file
                    .text
                    .lines()
                    .position(|line| line.replace('-', "_").starts_with(&name));
                let what = format!("`{name}` has no home: give it one in tests/it/house/libraries.rs");
                faults.push(Fault::new(file, line.map_or(1, |line| line + 1), what));
            }
        }
    }
    faults
}

/// No module bears the name of a library, so that a path says which is meant.
fn namesakes(files: &[File]) -> Vec<Fault> {
    let taken = |name: &str| {
        HOMES.iter().any(|(library, _)| *library == name) || ["core", "std", "alloc"].contains(&name)
    };
    let modules = files.iter().filter(|file| file.is_program());
    let modules = modules.filter(|file| file.modules.last().is_some_and(|name| taken(name)));
    modules
        .map(|file| {
            Fault::new(
                file,
                1,
                "a module named like a library: a path would not say which is meant",
            )
        })
        .collect()
}

#[test]
fn libraries_are_at_home() {
    keeps(homes);
    bites(
        homes,
        &[
            ("src/db/post.rs", "\nuse rusqlite::Connection;", 2),
            ("src/print/card.rs", "use sha2::Sha256;", 1),
            ("src/domain/lot.rs", "use serde::Serialize;", 1),
            ("src/db/post.rs", "fn f() { serde_json::to_string(x) }", 1),
            ("src/cmd/find.rs", "use serde_json as json;", 1),
            ("src/print/help.rs", "use ::clap::Parser;", 1),
            ("src/db/load.rs", "use csv;", 1),
            ("src/cmd/today.rs", "use tabled::Table;", 1),
            ("src/print/day.rs", "fn f(d: jiff::civil::Date) {}", 1),
            ("src/cmd/today.rs", "use jiff::Timestamp;", 1),
            (
                "src/domain/day.rs",
                "use jiff::{civil::Date,\n ZonedDateTime};",
                2,
            ),
            ("src/domain/day.rs", "use jiff::tz::TimeZone;", 1),
            ("src/intake/parts.rs", "use std::{fmt, fs};", 1),
            ("src/print/card.rs", "fn f() { std::fs::write(a, b) }", 1),
            ("src/cmd/stores/give.rs", "use std::env;", 1),
            ("src/db/sqlite.rs", "fn f() { std::env::var(a) }", 1),
            ("src/cmd/run.rs", "fn f() { std::process::exit(1) }", 1),
            ("src/cmd/desk.rs", "use std::net::TcpStream;", 1),
            ("src/db/post.rs", "use std::time::{Duration, SystemTime};", 1),
        ],
    );
    lets_pass(
        homes,
        &[
            (
                "src/db/sqlite",
                "use rusqlite::Connection; use std::{fs, time::Instant};",
            ),
            (
                "src/cmd/desk.rs",
                "use jiff::Timestamp; use std::{env, fs, process::ExitCode};",
            ),
            (
                "src/domain/day.rs",
                "use jiff::{civil::{self, Date}, Span, ToSpan};",
            ),
            ("src/main.rs", "fn main() -> std::process::ExitCode { x }"),
            (
                "src/intake/parts.rs",
                "use serde::Deserialize; fn f(csv: &str) { g(csv) }",
            ),
            (
                "src/domain/lot.rs",
                "//! Not `serde::Serialize`.\nuse std::fmt; use thiserror::Error;",
            ),
        ],
    );
}

#[test]
fn the_domain_and_the_books_have_no_wire_types() {
    keeps(wire_types);
    bites(
        wire_types,
        &[
            ("src/domain/lot.rs", "\n#[derive(Debug, Serialize)]\nstruct A;", 2),
            ("src/db/row.rs", "fn f<T: Deserialize>() {}", 1),
        ],
    );
    lets_pass(
        wire_types,
        &[("src/print/wire.rs", "#[derive(Serialize)] struct A;")],
    );
}

#[test]
fn every_dependency_has_a_home() {
    keeps(housed);
    bites(
        housed,
        &[(
            "Cargo.toml",
            "[dependencies]\nserde = \"1\"\nleft-pad = \"1\"\n",
            3,
        )],
    );
    lets_pass(
        housed,
        &[(
            "Cargo.toml",
            "[dependencies]\nthiserror = \"2\"\n[dev-dependencies]\ntoml = \"1\"\n",
        )],
    );
}

#[test]
fn no_module_is_named_like_a_library() {
    keeps(namesakes);
    bites(
        namesakes,
        &[("src/print/csv.rs", "", 1), ("src/core/mod.rs", "", 1)],
    );
    lets_pass(namesakes, &[("src/print/csv_sheet.rs", "")]);
}
