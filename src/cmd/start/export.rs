//! `export`: the books as the files that `import` takes, one kind to the answer or all of them into a folder.

use crate::cmd::desk::{make_folder, write_new};
use crate::cmd::error::{Failure, exit};
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::sheets::{elsewhere, on_order, records, shelves};
use crate::print::cell::Cell;
use crate::print::export_file::{FILES, table, text};
use crate::print::paper::Paper;
use crate::print::table::Table;
use clap::Args;
use std::path::{Path, PathBuf};

/// Give the books back as the CSV files that import takes
#[derive(Args, Debug)]
pub struct Ask {
    /// What to give: parts, stock, prices … as the files are named
    #[arg(
        value_name = "KIND",
        required_unless_present = "folder",
        conflicts_with = "folder"
    )]
    kind: Option<String>,
    /// Every kind, each as a file in this folder
    #[arg(long, value_name = "FOLDER")]
    folder: Option<PathBuf>,
}

/// Exports one kind or all of them.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    match (&ask.folder, &ask.kind) {
        (Some(_), _) if shop.globals.dry_run => Err(Failure::usage(
            "files cannot be written on trial",
            "leave `--dry-run` out, or give one KIND to see it",
        )),
        (Some(folder), _) => {
            let folder = folder.clone();
            shop.read(move |scene| all(scene, &folder))
        }
        (None, kind) => {
            let stem = known(kind.as_deref().unwrap_or_default())?;
            shop.read(move |scene| one(scene, stem))
        }
    }
}

/// The stem behind what was typed; a space or a hyphen will do for an underscore.
fn known(kind: &str) -> Result<&'static str, Failure> {
    let typed = kind.trim_end_matches(".csv").replace([' ', '-'], "_");
    let stems = FILES.iter().map(|(stem, _)| *stem);
    stems.clone().find(|stem| *stem == typed).ok_or_else(|| {
        Failure::usage(
            format!("{kind} is no kind of file"),
            format!("one of: {}", stems.collect::<Vec<_>>().join(", ")),
        )
    })
}

/// The rows of one file.
fn rows(scene: &Scene<'_, '_>, stem: &str) -> Result<Vec<Vec<String>>, Failure> {
    let standing = match stem {
        "stock" => shelves(scene.books)?,
        "orders" => on_order(scene.books)?,
        _ => records(scene.books, stem)?,
    };
    Ok(standing.into_iter().map(|row| row.cells).collect())
}

/// One kind: the file itself is the answer.
fn one(scene: &Scene<'_, '_>, stem: &'static str) -> Result<Done, Failure> {
    let rows = rows(scene, stem)?;
    let mut paper = scene.paper("export", format!("{} rows of {stem}", rows.len()));
    paper.tables.push(table(stem, &rows));
    paper.file = Some(text(stem, &rows));
    if stem == "stock" {
        mind_the_stock(scene, &rows, &mut paper)?;
    }
    Ok(Done::yes(paper))
}

/// Every kind into a folder; a file that is there already is never written over.
fn all(scene: &Scene<'_, '_>, folder: &Path) -> Result<Done, Failure> {
    let cannot = |path: &Path, error: &std::io::Error| Failure::File {
        path: path.display().to_string(),
        because: error.to_string(),
        exit: exit::CANNOT_CREATE,
    };
    let mut files = Vec::new();
    for (stem, _) in FILES {
        let path = folder.join(format!("{stem}.csv"));
        if path.exists() {
            return Err(cannot(&path, &std::io::ErrorKind::AlreadyExists.into()));
        }
        files.push((*stem, path, rows(scene, stem)?));
    }
    make_folder(folder).map_err(|error| cannot(folder, &error))?;
    let mut written = Table::new("files", &[("file", "file"), ("rows", "rows")]);
    let mut paper = scene.paper("export", "");
    let mut total = 0;
    for (stem, path, rows) in &files {
        write_new(path, text(stem, rows).as_bytes()).map_err(|error| cannot(path, &error))?;
        total += rows.len();
        written.row(vec![
            Cell::text(path.display().to_string()),
            Cell::Count(i64::try_from(rows.len()).unwrap_or(i64::MAX)),
        ]);
        if *stem == "stock" {
            mind_the_stock(scene, rows, &mut paper)?;
        }
    }
    paper.answer = format!("{} files written, {total} rows in them", files.len());
    paper.tables.push(written);
    paper.next.push(format!(
        "bincard --store NEW import {} --by INITIALS   takes them on elsewhere",
        folder.display()
    ));
    Ok(Done::yes(paper))
}

/// What the stock's file does not hold, and what of it another store will not take as it is.
fn mind_the_stock(scene: &Scene<'_, '_>, rows: &[Vec<String>], paper: &mut Paper) -> Result<(), Failure> {
    let lots = elsewhere(scene.books)?;
    if lots > 0 {
        paper.cautions.push(format!(
            "{lots} lots lie in kits, crates, the red bin or away, and stand in no file: import takes none there"
        ));
    }
    let day = scene.day.to_string();
    // Days are written so that their texts stand in the order of the days.
    let dead = rows
        .iter()
        .filter(|row| row.get(6).is_some_and(|last| !last.is_empty() && *last < day));
    match dead.count() {
        0 => {}
        dead => paper.cautions.push(format!(
            "{dead} rows are past their last day: import takes them into quarantine only"
        )),
    }
    Ok(())
}
