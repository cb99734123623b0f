//! `log`: the documents, newest first.

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::kitting::jobs::job_called;
use crate::db::tracing::documents;
use crate::domain::refusal::Refusal;
use crate::print::cell::Cell;
use crate::print::table::Table;
use crate::print::words::count;
use clap::Args;

/// The documents, newest first: who, when, what, and what undid it
#[derive(Args, Debug)]
pub struct Ask {
    /// Only those about this job
    #[arg(long, value_name = "JOB")]
    job: Option<String>,
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

fn show(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let job = match &ask.job {
        Some(called) => Some(job_called::<Failure>(scene.books, called)?.id.0),
        None => None,
    };
    let found = documents(scene.books, ask.op.as_deref(), job, ask.most)?;
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
