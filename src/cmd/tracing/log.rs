//! `log`: the documents, newest first.

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::kitting::jobs::job_called;
use crate::db::stores::stock::part_numbered;
use crate::db::tracing::{Filter, documents};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::PartId;
use crate::print::cell::Cell;
use crate::print::table::Table;
use crate::print::words::count;
use clap::Args;

/// The documents, newest first: who, when, what, and what undid it
#[derive(Args, Debug)]
pub struct Ask {
    /// The job it is about: tag, number or engine serial
    #[arg(short = 'j', long, value_name = "JOB")]
    job: Option<String>,
    /// Only those that moved or promised lots of this part
    #[arg(long, value_name = "PART")]
    part: Option<String>,
    /// Only those of this person
    #[arg(long, value_name = "INITIALS")]
    person: Option<String>,
    /// Only that of this operation id
    #[arg(long, value_name = "ID")]
    op: Option<String>,
    /// No more than this many
    #[arg(long, value_name = "N", default_value_t = 20, value_parser = clap::value_parser!(i64).range(1..=1_000_000))]
    most: i64,
}

/// Shows the log.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.read(|scene| show(scene, ask))
}

/// The part of this number.
fn part_called(scene: &Scene<'_, '_>, asked: &str) -> Result<PartId, Failure> {
    let found = part_numbered(scene.books, asked)?;
    let unknown = || Refusal::Unknown {
        what: "part",
        asked: asked.to_owned(),
        near: vec![],
    };
    Ok(found.ok_or_else(unknown)?.id)
}

fn show(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let job = match &ask.job {
        Some(called) => Some(job_called::<Failure>(scene.books, called)?.id),
        None => None,
    };
    let part = match &ask.part {
        Some(asked) => Some(part_called(scene, asked)?),
        None => None,
    };
    let filter = Filter {
        op: ask.op.as_deref(),
        job,
        by: ask.person.as_deref(),
        part,
    };
    let found = documents(scene.books, &filter, ask.most)?;
    if let (true, Some(op)) = (found.is_empty(), &ask.op) {
        return Err(Refusal::Unknown {
            what: "operation",
            asked: op.clone(),
            near: vec![],
        }
        .into());
    }
    let mut table = Table::new(
        "documents",
        &[
            ("document", "document"),
            ("day", "day"),
            ("written", "written"),
            ("by", "by"),
            ("kind", "what"),
            ("job", "job"),
            ("entries", "lines"),
            ("undone", "undone by"),
            ("undoes", "undoes"),
            ("reason", "why"),
        ],
    )
    .spare(&["written", "reason"]);
    for document in &found {
        let text = |text: &Option<String>| Cell::text(text.clone().unwrap_or_default());
        table.row(vec![
            Cell::text(document.number.clone()),
            Cell::Day(document.day),
            Cell::text(document.at.clone()),
            Cell::text(document.by.clone()),
            Cell::text(document.kind.clone()),
            text(&document.job),
            Cell::Count(document.entries),
            text(&document.undone_by),
            text(&document.undoes),
            text(&document.reason),
        ]);
    }
    let last = found
        .first()
        .map_or(String::new(), |newest| format!(", the newest {}", newest.number));
    let mut paper = scene.paper("log", format!("{}{last}", count(found.len(), "document")));
    paper.tables.push(table);
    Ok(Done::yes(paper))
}
