//! What `Cargo.toml` and `Cargo.lock` must say.

use super::report::{Fault, bites, keeps, lets_pass};
use super::source::File;
use toml::{Table, Value};

/// Every table of dependencies a manifest may have.
const KINDS: &[&str] = &["dependencies", "dev-dependencies", "build-dependencies"];

/// Names and entries of the dependencies of these kinds, those of single targets among them.
pub fn dependencies(manifest: &str, kinds: &[&str]) -> Vec<(String, Value)> {
    let manifest = parse(manifest);
    let targets = manifest
        .get("target")
        .and_then(Value::as_table)
        .into_iter()
        .flat_map(Table::values);
    let tables = targets.filter_map(Value::as_table).chain([&manifest]);
    let of_kinds = tables.flat_map(|table| kinds.iter().filter_map(|kind| table.get(*kind)?.as_table()));
    of_kinds
        .flatten()
        .map(|(name, entry)| (name.clone(), entry.clone()))
        .collect()
}

fn parse(manifest: &str) -> Table {
    manifest.parse().expect("the manifest is TOML")
}

fn at<'a>(manifest: &'a Table, path: &[&str]) -> Option<&'a Value> {
    let (last, tables) = path.split_last()?;
    let table = tables
        .iter()
        .try_fold(manifest, |table, name| table.get(*name)?.as_table())?;
    table.get(*last)
}

/// The level of a lint, however it is written.
fn level(lint: &Value) -> Option<&str> {
    lint.as_str().or_else(|| lint.get("level")?.as_str())
}

/// Unsafe code is forbidden, sums that overflow are caught, and all code comes from the registry.
fn manifest(files: &[File]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for file in files.iter().filter(|file| file.path == "Cargo.toml") {
        let manifest = parse(&file.text);
        let mut fault = |what: String| faults.push(Fault::new(file, 1, what));
        if at(&manifest, &["lints", "rust", "unsafe_code"]).and_then(level) != Some("forbid") {
            fault("[lints.rust] unsafe_code is not \"forbid\"".into());
        }
        if at(&manifest, &["profile", "release", "overflow-checks"]).and_then(Value::as_bool) != Some(true) {
            fault("[profile.release] overflow-checks is not true: a sum of stock could wrap unseen".into());
        }
        if manifest.contains_key("patch") {
            fault("[patch] puts other code in the place of the registry's".into());
        }
        for (name, entry) in dependencies(&file.text, KINDS) {
            if entry.get("git").is_some() || entry.get("path").is_some() {
                fault(format!("`{name}` is not taken from the registry"));
            }
        }
    }
    faults
}

/// The lock file names no source but the registry.
fn lock(files: &[File]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for file in files.iter().filter(|file| file.path == "Cargo.lock") {
        for (number, line) in file.text.lines().enumerate() {
            if line.starts_with("source = ")
                && !line.contains("registry+https://github.com/rust-lang/crates.io-index")
            {
                faults.push(Fault::new(
                    file,
                    number + 1,
                    "a library that is not from the registry",
                ));
            }
        }
    }
    faults
}

#[test]
fn the_manifest_is_strict() {
    keeps(manifest);
    let strict = "[lints.rust]\nunsafe_code = \"forbid\"\n[profile.release]\noverflow-checks = true\n";
    let with = |more: &str| format!("{strict}{more}");
    lets_pass(
        manifest,
        &[
            ("Cargo.toml", &with("[dependencies]\ncsv = { version = \"1\" }\n")),
            (
                "Cargo.toml",
                &strict.replace("\"forbid\"", "{ level = \"forbid\", priority = 1 }"),
            ),
        ],
    );
    bites(
        manifest,
        &[
            ("Cargo.toml", &strict.replace("forbid", "deny"), 1),
            ("Cargo.toml", "[profile.release]\noverflow-checks = true\n", 1),
            ("Cargo.toml", &strict.replace("true", "false"), 1),
            ("Cargo.toml", "[lints.rust]\nunsafe_code = \"forbid\"\n", 1),
            (
                "Cargo.toml",
                &with("[dependencies]\ncsv = { git = \"https://a.example\" }\n"),
                1,
            ),
            (
                "Cargo.toml",
                &with("[dev-dependencies]\ncsv = { path = \"../csv\" }\n"),
                1,
            ),
            (
                "Cargo.toml",
                &with("[target.'cfg(unix)'.dependencies]\ncsv = { path = \"../csv\" }\n"),
                1,
            ),
            ("Cargo.toml", &with("[patch.crates-io]\ncsv = \"1\"\n"), 1),
        ],
    );
}

#[test]
fn the_lock_file_names_the_registry_alone() {
    keeps(lock);
    bites(
        lock,
        &[(
            "Cargo.lock",
            "[[package]]\nsource = \"git+https://a.example#1\"\n",
            2,
        )],
    );
}
