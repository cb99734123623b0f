//! `import`: records, opening stock, orders and jobs from files; all of it in one document, or every fault at once.

use crate::cmd::desk::read_files;
use crate::cmd::error::{Failure, exit};
use crate::cmd::progress::Progress;
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::cmd::start::take_on::{Changed, take_on};
use crate::intake::{HEADINGS, Intake, SourceFile, read};
use crate::print::cell::Cell;
use crate::print::table::Table;
use clap::Args;
use std::collections::HashMap;
use std::path::{Path, PathBuf};

/// Take on records, opening stock, orders and jobs from CSV files: all of it or nothing
#[derive(Args, Debug)]
pub struct Ask {
    /// Files, or folders of files; each file's name tells what it holds (parts.csv, stock.csv …); - is what is typed or piped in
    #[arg(required = true, value_name = "FILE")]
    paths: Vec<PathBuf>,
    /// What - holds, such as parts or stock
    #[arg(long, value_name = "KIND")]
    kind: Option<String>,
    /// Change the records that are there already and differ; without it import only adds
    #[arg(long)]
    update: bool,
}

/// Imports files.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let files = gather(shop, ask)?;
    if files.is_empty() {
        return Err(Failure::usage(
            "no CSV file there",
            "give the files, or the folder that holds them",
        ));
    }
    let mut progress = shop.progress();
    progress.begin("reading the files", 0);
    let read = read(&files);
    drop(progress);
    let intake = read?;
    let update = ask.update;
    let mut progress = shop.progress();
    let progress = &mut progress;
    shop.change(|scene| decide(scene, &intake, update, progress))
}

/// Every file asked for, with what stands in it.
fn gather(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Vec<SourceFile>, Failure> {
    let piped = ask
        .paths
        .iter()
        .filter(|path| path.as_path() == Path::new("-"))
        .count();
    if piped > 1 {
        return Err(Failure::usage(
            "- is given twice",
            "what is piped in is read once: give one -",
        ));
    }
    if piped == 0 && ask.kind.is_some() {
        return Err(Failure::usage(
            "--kind says what - holds, and no - is given",
            "a file's name tells its kind; leave --kind out, or pipe the file in and give -",
        ));
    }
    let mut files = Vec::new();
    for path in &ask.paths {
        if path.as_path() == Path::new("-") {
            files.push(piped_in(shop, ask.kind.as_deref())?);
            continue;
        }
        let found = read_files(path).map_err(|error| Failure::File {
            path: path.display().to_string(),
            because: error.to_string(),
            exit: exit::NO_INPUT,
        })?;
        files.extend(found.into_iter().map(|(name, bytes)| SourceFile { name, bytes }));
    }
    Ok(files)
}

/// What is typed or piped in, as a file of the kind.
fn piped_in(shop: &mut Shop<'_, '_>, kind: Option<&str>) -> Result<SourceFile, Failure> {
    let kinds: Vec<&str> = HEADINGS.iter().map(|(stem, _)| *stem).collect();
    let Some(kind) = kind else {
        return Err(Failure::usage(
            "- has no name that tells what it holds",
            format!("say it: --kind {}", kinds.join("|")),
        ));
    };
    if !kinds.contains(&kind) {
        return Err(Failure::usage(
            format!("--kind {kind} is no kind of file"),
            format!("one of: {}", kinds.join(", ")),
        ));
    }
    let bytes = shop.read_input().map_err(Failure::of_stream)?;
    Ok(SourceFile {
        name: format!("-/{kind}.csv"),
        bytes,
    })
}

/// Takes the rows on, and tells how many of each kind.
fn decide(
    scene: &Scene<'_, '_>,
    intake: &Intake,
    update: bool,
    progress: &mut Progress,
) -> Result<Decision<'static>, Failure> {
    let rows = intake.counts().into_iter().map(|(_, rows)| rows).sum();
    progress.begin("judging", rows);
    let taken = take_on(scene, intake, update, progress)?;
    progress.begin("posting", 0);
    let told = Told::of(intake, &taken.passed, &taken.changed);
    let mut paper = scene.paper(
        "import",
        told.answer(scene.heading.trial, taken.posting.is_none()),
    );
    paper.tables.push(told.counts());
    if !taken.changed.is_empty() {
        paper.tables.push(changes(&taken.changed));
    }
    paper.notes.extend(taken.stripped);
    paper.cautions.extend(taken.cautions);
    match taken.posting {
        None => Ok(Decision::nothing(exit::DONE, paper)),
        Some(posting) => Ok(Decision::post(posting, exit::DONE, |_| Ok(paper))),
    }
}

/// The rows of one kind: how many were taken on, how many were there already, how many records were changed.
struct Counted {
    kind: &'static str,
    new: usize,
    passed: usize,
    changed: usize,
}

/// The rows of every kind that the files have.
struct Told(Vec<Counted>);

impl Told {
    fn of(intake: &Intake, passed: &HashMap<&'static str, usize>, changed: &[Changed]) -> Told {
        let counted = |(stem, rows): (&'static str, usize)| {
            let mut records: Vec<&str> = changed
                .iter()
                .filter(|change| change.stem == stem)
                .map(|change| change.which.as_str())
                .collect();
            records.dedup();
            let (passed, changed) = (passed.get(stem).copied().unwrap_or_default(), records.len());
            Counted {
                kind: named(stem),
                new: rows.saturating_sub(passed + changed),
                passed,
                changed,
            }
        };
        let counts = intake.counts().into_iter().filter(|(_, rows)| *rows > 0);
        Told(counts.map(counted).collect())
    }

    fn answer(&self, trial: bool, nothing: bool) -> String {
        let sum = |of: fn(&Counted) -> usize| self.0.iter().map(of).sum::<usize>();
        let (new, passed, changed) = (sum(|c| c.new), sum(|c| c.passed), sum(|c| c.changed));
        if nothing {
            return format!("nothing to take on: all {passed} rows are in the books already");
        }
        let would = if trial { "would be taken on" } else { "taken on" };
        let mut answer = format!("{new} records {would}");
        if changed > 0 {
            answer.push_str(&format!(", {changed} changed"));
        }
        if passed > 0 {
            answer.push_str(&format!(", {passed} there already"));
        }
        answer.push_str(", none refused");
        answer
    }

    fn counts(&self) -> Table {
        let columns = [
            ("kind", "kind"),
            ("rows", "rows"),
            ("there_already", "there already"),
            ("changed", "changed"),
        ];
        let mut table = Table::new("taken on", &columns);
        let count = |count: usize| match count {
            0 => Cell::Empty,
            some => Cell::Count(i64::try_from(some).unwrap_or(i64::MAX)),
        };
        for counted in &self.0 {
            table.row(vec![
                Cell::text(counted.kind),
                Cell::Count(i64::try_from(counted.new).unwrap_or(i64::MAX)),
                count(counted.passed),
                count(counted.changed),
            ]);
        }
        table
    }
}

/// What was changed, old and new.
fn changes(changed: &[Changed]) -> Table {
    let columns = [
        ("kind", "kind"),
        ("which", "which"),
        ("what", "what"),
        ("old", "old"),
        ("new", "new"),
    ];
    let mut table = Table::new("changed", &columns);
    for change in changed {
        table.row(vec![
            Cell::text(named(change.stem)),
            Cell::text(change.which.clone()),
            Cell::text(change.heading),
            Cell::text(change.old.clone()),
            Cell::text(change.new.clone()),
        ]);
    }
    table
}

/// What the rows of a file are called.
fn named(stem: &'static str) -> &'static str {
    match stem {
        "bill_lines" => "bill lines",
        "stock" => "opening lots",
        "orders" => "order lines",
        "standins" => "stand-ins",
        "lives" => "lives of families",
        other => other,
    }
}
