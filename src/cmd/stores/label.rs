//! `label`: labels of lots, bins, parts and boxes as a page to print, each with a symbol that `scan` reads.

use crate::cmd::desk::write_new;
use crate::cmd::error::{Failure, exit};
use crate::cmd::shelf::{bin_called, no_lot};
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::kitting::jobs::{engine_serial, job_called};
use crate::db::stores::lots::lots_called;
use crate::db::stores::search::{code_of_place, lots_of_code, place_of_code};
use crate::db::stores::stock::part_numbered;
use crate::domain::refusal::Refusal;
use crate::print::paper::Format;
use crate::print::stores::label_sheet::{
    JobOnLabel, Label, Layout, LotOnLabel, bin_label, job_label, labels_printed, lot_label, page, part_label,
};
use clap::{Args, Subcommand};
use std::path::{Path, PathBuf};

/// Labels to print, with a symbol that `scan` reads: of lots, bins, parts, and the boxes of jobs
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    /// `lot`.
    #[command(
        after_help = "examples:\n  bincard label lot L000049H\n  bincard label lot L000049H X0702 --single"
    )]
    Lot(LotAsk),
    /// `bin`.
    #[command(after_help = "examples:\n  bincard label bin A-1\n  bincard label bin A-1 B-1 CAGE --single")]
    Bin(BinAsk),
    /// `part`.
    #[command(
        after_help = "examples:\n  bincard label part SP-20\n  bincard label part SP-20 SP-25 --single"
    )]
    Part(PartAsk),
    /// `job`.
    #[command(after_help = "examples:\n  bincard label job blue\n  bincard label job blue green --single")]
    Job(JobAsk),
}

/// What lots are: the part, until when, opened or not, whose, and how they stand today
#[derive(Args, Debug)]
pub struct LotAsk {
    /// Lot numbers or batches
    #[arg(value_name = "LOT", required = true)]
    lots: Vec<String>,
    /// How they are printed.
    #[command(flatten)]
    sheet: Sheet,
}

/// The codes of bins, to be read from afar
#[derive(Args, Debug)]
pub struct BinAsk {
    /// Their codes
    #[arg(value_name = "BIN", required = true)]
    bins: Vec<String>,
    /// How they are printed.
    #[command(flatten)]
    sheet: Sheet,
}

/// Part numbers for the edge of a shelf
#[derive(Args, Debug)]
pub struct PartAsk {
    /// Their numbers
    #[arg(value_name = "PART", required = true)]
    parts: Vec<String>,
    /// How they are printed.
    #[command(flatten)]
    sheet: Sheet,
}

/// The box of a job: its colour, its engine, its day
#[derive(Args, Debug)]
pub struct JobAsk {
    /// Their tags, numbers or engine serials
    #[arg(value_name = "JOB", required = true)]
    jobs: Vec<String>,
    /// How they are printed.
    #[command(flatten)]
    sheet: Sheet,
}

/// How labels are printed.
#[derive(Args, Clone, Debug)]
pub struct Sheet {
    /// One label on a page of 100 by 70 mm, not eight on A4
    #[arg(long)]
    single: bool,
    /// Write the page to this new file
    #[arg(long, value_name = "FILE")]
    page: Option<PathBuf>,
}

/// Prints labels.
pub fn run(shop: &mut Shop<'_, '_>, command: &Command) -> Result<Done, Failure> {
    let (names, sheet): (&[String], &Sheet) = match command {
        Command::Lot(ask) => (&ask.lots, &ask.sheet),
        Command::Bin(ask) => (&ask.bins, &ask.sheet),
        Command::Part(ask) => (&ask.parts, &ask.sheet),
        Command::Job(ask) => (&ask.jobs, &ask.sheet),
    };
    if sheet.page.is_some() && shop.globals.dry_run {
        return Err(Failure::usage(
            "files cannot be written on trial",
            "leave `--dry-run` out, or `--page`",
        ));
    }
    let format = shop.globals.format.format();
    shop.read(|scene| {
        let each = names.iter().map(|name| match command {
            Command::Lot(_) => of_lot(scene, name),
            Command::Bin(_) => of_bin(scene, name),
            Command::Part(_) => of_part(scene, name),
            Command::Job(_) => of_job(scene, name),
        });
        let labels = each.collect::<Result<Vec<Label>, Failure>>()?;
        printed(scene, &labels, sheet, format)
    })
}

/// The page, in its file or as the answer itself; the forms for programs tell what stands on it.
fn printed(scene: &Scene<'_, '_>, labels: &[Label], sheet: &Sheet, format: Format) -> Result<Done, Failure> {
    let layout = if sheet.single {
        Layout::Single
    } else {
        Layout::Sheet
    };
    let text = page(labels, layout, scene.day.max(scene.today))?;
    let mut paper = labels_printed(labels, scene.paper("label", ""))?;
    match &sheet.page {
        Some(path) => {
            written(path, &text)?;
            paper.notes.push(format!("printed on {}", path.display()));
            paper
                .next
                .push("open it in a browser and print it at 100 %, then scan one label".to_owned());
        }
        None if format == Format::Table => paper.file = Some(text),
        None => {}
    }
    Ok(Done::yes(paper))
}

fn written(path: &Path, text: &str) -> Result<(), Failure> {
    write_new(path, text.as_bytes()).map_err(|error| Failure::File {
        path: path.display().to_string(),
        because: error.to_string(),
        exit: exit::CANNOT_CREATE,
    })
}

fn of_lot(scene: &Scene<'_, '_>, asked: &str) -> Result<Label, Failure> {
    let called = lots_called(scene.books, asked)?;
    let number = match called.as_slice() {
        [one] => one.number.clone(),
        [] => return Err(no_lot("lot in the house", asked).into()),
        several => {
            return Err(Refusal::Ambiguous {
                what: "lot",
                asked: asked.to_owned(),
                fits: several
                    .iter()
                    .map(|one| format!("{} of {}", one.number, one.part))
                    .collect(),
            }
            .into());
        }
    };
    let mut found = lots_of_code(scene.books, &number)?;
    found.retain(|found| found.lot.number == number);
    let found = found.pop().ok_or_else(|| no_lot("lot in the house", asked))?;
    let owner = found.lot.owner.map(|owner| code_of_place(scene.books, owner));
    let told = LotOnLabel {
        lot: &found.lot,
        part: &found.part,
        lying: &found.lying,
        owner: owner.transpose()?.flatten(),
    };
    Ok(lot_label(&told, scene.day.max(scene.today)))
}

fn of_bin(scene: &Scene<'_, '_>, asked: &str) -> Result<Label, Failure> {
    bin_called(scene, asked)?;
    let place = place_of_code(scene.books, asked)?;
    Ok(bin_label(&place.ok_or_else(|| unknown("bin", asked))?))
}

fn of_part(scene: &Scene<'_, '_>, asked: &str) -> Result<Label, Failure> {
    let part = part_numbered(scene.books, asked)?;
    Ok(part_label(&part.ok_or_else(|| unknown("part", asked))?))
}

fn of_job(scene: &Scene<'_, '_>, asked: &str) -> Result<Label, Failure> {
    let job = job_called::<Failure>(scene.books, asked)?;
    let customer = job.customer.map(|customer| code_of_place(scene.books, customer));
    let whose = customer.transpose()?.flatten();
    Ok(job_label(&JobOnLabel {
        number: job.number.clone(),
        tag: job.tag.clone(),
        engine: engine_serial(scene.books, job.engine)?.unwrap_or_default(),
        whose: whose.unwrap_or_else(|| "the house".to_owned()),
        use_day: job.use_day,
        state: job.state.word().to_owned(),
    }))
}

fn unknown(what: &'static str, asked: &str) -> Refusal {
    Refusal::Unknown {
        what,
        asked: asked.to_owned(),
        near: vec![],
    }
}
