//! `import`: records, opening stock, orders and jobs from files; all of it in one document, or every fault at once.

use crate::cmd::desk::read_files;
use crate::cmd::error::{Failure, exit};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::cmd::start::take_on::take_on;
use crate::intake::{Intake, SourceFile, read};
use crate::print::cell::Cell;
use crate::print::table::Table;
use clap::Args;
use std::path::PathBuf;

/// Take on records, opening stock, orders and jobs from CSV files: all of it or nothing
#[derive(Args, Debug)]
pub struct Ask {
    /// Files, or folders of files; each file's name tells what it holds (parts.csv, stock.csv …)
    #[arg(required = true, value_name = "FILE")]
    paths: Vec<PathBuf>,
}

/// Imports files.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let mut files = Vec::new();
    for path in &ask.paths {
        let found = read_files(path).map_err(|error| Failure::File {
            path: path.display().to_string(),
            because: error.to_string(),
            exit: exit::NO_INPUT,
        })?;
        files.extend(found.into_iter().map(|(name, bytes)| SourceFile { name, bytes }));
    }
    if files.is_empty() {
        return Err(Failure::usage(
            "no CSV file there",
            "give the files, or the folder that holds them",
        ));
    }
    let intake = read(&files)?;
    shop.change(move |scene| decide(scene, &intake))
}

/// Takes the rows on, and tells how many of each kind.
fn decide(scene: &Scene<'_, '_>, intake: &Intake) -> Result<Decision<'static>, Failure> {
    let posting = take_on(scene, intake)?;
    let mut table = Table::new("taken on", &[("kind", "kind"), ("rows", "rows")]);
    let counts = counts(intake);
    let rows: usize = counts.iter().map(|(_, count)| count).sum();
    for (kind, count) in counts.into_iter().filter(|(_, count)| *count > 0) {
        table.row(vec![
            Cell::text(kind),
            Cell::Count(i64::try_from(count).unwrap_or(i64::MAX)),
        ]);
    }
    let would = if scene.heading.trial {
        "would be taken on"
    } else {
        "taken on"
    };
    let mut paper = scene.paper("import", format!("{rows} records {would}, none refused"));
    paper.tables.push(table);
    Ok(Decision::post(posting, exit::DONE, |_| Ok(paper)))
}

/// How many rows of each kind.
fn counts(intake: &Intake) -> Vec<(&'static str, usize)> {
    vec![
        ("people", intake.people.len()),
        ("customers", intake.customers.len()),
        ("suppliers", intake.suppliers.len()),
        ("parts", intake.parts.len()),
        ("sizes", intake.sizes.len()),
        ("bins", intake.bins.len()),
        ("engines", intake.engines.len()),
        ("bills", intake.bills.len()),
        ("bill lines", intake.bill_lines.len()),
        ("prices", intake.prices.len()),
        ("rates", intake.rates.len()),
        ("opening lots", intake.stock.len()),
        ("order lines", intake.orders.len()),
        ("jobs", intake.jobs.len()),
    ]
}
