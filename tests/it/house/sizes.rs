//! Files and folders stay small, by ratchet: what is too large is listed, and its figure only ever falls.

use super::report::{Fault, all_well, pieces};
use super::source::{File, PROJECT};
use std::collections::BTreeMap;

/// Files (in lines) and folders (in files) that are larger than the rule allows, with their size today. An entry
/// is lowered with the thing it lets pass and goes when that fits. None is added.
const RATCHET: &[(&str, usize)] = &[];

const PROGRAM_LINES_MAX: usize = 400;
const TEST_LINES_MAX: usize = 600;
const FOLDER_FILES_MAX: usize = 20;

/// A size that a rule bounds.
struct Measured {
    path: String,
    size: usize,
    max: usize,
    unit: &'static str,
}

/// Every Rust file and every folder of the program or of Rust files. Facts, golden texts and sample data are as
/// long as they need to be.
fn measured(files: &[File]) -> Vec<Measured> {
    let mut folders: BTreeMap<&str, usize> = BTreeMap::new();
    let mut all = Vec::new();
    for file in files {
        if file.is_rust() {
            let max = if file.path.starts_with("tests/") {
                TEST_LINES_MAX
            } else {
                PROGRAM_LINES_MAX
            };
            all.push(Measured {
                path: file.path.clone(),
                size: file.text.lines().count(),
                max,
                unit: "lines",
            });
        }
        if let Some((folder, _)) = file.path.rsplit_once('/')
            && (file.is_rust() || file.path.starts_with("src/"))
        {
            *folders.entry(folder).or_default() += 1;
        }
    }
    let folders = folders.into_iter();
    all.extend(folders.map(|(path, size)| Measured {
        path: path.into(),
        size,
        max: FOLDER_FILES_MAX,
        unit: "files",
    }));
    all
}

fn sizes(files: &[File], ratchet: &[(&str, usize)]) -> Vec<Fault> {
    let all = measured(files);
    let mut faults = Vec::new();
    for Measured {
        path,
        size,
        max,
        unit,
    } in &all
    {
        let listed = ratchet
            .iter()
            .find(|(name, _)| name == path)
            .map(|(_, size)| *size);
        let what = match listed {
            None if size <= max => continue,
            None => format!("{size} {unit}, at most {max}: part it where the talk changes"),
            Some(_) if size <= max => format!("fits in {max} {unit} now: take it off the ratchet"),
            Some(was) if *size > was => {
                format!("grew from {was} to {size} {unit}: the ratchet only ever tightens")
            }
            Some(was) if *size < was => format!("shrank from {was} to {size} {unit}: tighten the ratchet"),
            Some(_) => continue,
        };
        faults.push(Fault::at(path, 1, what));
    }
    for (path, _) in ratchet
        .iter()
        .filter(|(name, _)| !all.iter().any(|measured| measured.path == *name))
    {
        faults.push(Fault::at(path, 1, "is gone: take it off the ratchet"));
    }
    faults
}

#[test]
fn files_and_folders_are_small() {
    all_well(&sizes(&PROJECT, RATCHET));
}

#[test]
fn one_line_more_is_too_long() {
    for (path, max) in [
        ("src/db/post.rs", 400),
        ("tests/it/story.rs", 600),
        ("benches/load.rs", 400),
    ] {
        assert!(
            sizes(&pieces(&[(path, &"\n".repeat(max))]), &[]).is_empty(),
            "{path}"
        );
        assert_eq!(
            sizes(&pieces(&[(path, &"\n".repeat(max + 1))]), &[]).len(),
            1,
            "{path}"
        );
    }
    assert!(sizes(&pieces(&[("tests/facts/sums.toml", &"\n".repeat(5000))]), &[]).is_empty());
}

#[test]
fn one_file_more_is_too_full() {
    let names: Vec<String> = (0..21).map(|number| format!("src/db/t{number}.rs")).collect();
    let files: Vec<(&str, &str)> = names.iter().map(|name| (name.as_str(), "")).collect();
    assert!(sizes(&pieces(&files[..20]), &[]).is_empty());
    let faults = sizes(&pieces(&files), &[]);
    assert_eq!(
        faults[0].to_string(),
        "src/db:1: 21 files, at most 20: part it where the talk changes"
    );
}

#[test]
fn the_ratchet_only_tightens() {
    let long = pieces(&[("src/db/post.rs", &"\n".repeat(410))]);
    let cases = [
        (410, None),
        (409, Some("grew from 409 to 410")),
        (411, Some("shrank from 411 to 410")),
    ];
    for (listed, wanted) in cases {
        let faults = sizes(&long, &[("src/db/post.rs", listed)]);
        assert_eq!(faults.len(), usize::from(wanted.is_some()));
        assert!(
            faults
                .iter()
                .all(|fault| fault.to_string().contains(wanted.unwrap_or_default()))
        );
    }
    let short = pieces(&[("src/db/post.rs", &"\n".repeat(400))]);
    assert!(
        sizes(&short, &[("src/db/post.rs", 400)])[0]
            .to_string()
            .contains("fits in 400")
    );
    assert!(
        sizes(&short, &[("src/db/gone.rs", 500)])[0]
            .to_string()
            .contains("is gone")
    );
}
