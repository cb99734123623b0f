//! Jobs: the list, and one with its lines.

use crate::domain::kitting::job::{Job, Line};
use crate::domain::refusal::Refusal;
use crate::domain::stores::stock::Stock;
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::count;

/// A job as people call it: number and tag.
pub fn called(job: &Job) -> String {
    job.tag
        .as_ref()
        .map_or(job.number.clone(), |tag| format!("{} ({tag})", job.number))
}

/// Jobs, a line each, with the engine each is for.
pub fn job_list(jobs: &[(Job, String)], mut paper: Paper) -> Paper {
    paper.answer = count(jobs.len(), "job");
    let mut table = Table::new(
        "jobs",
        &[
            ("job", "job"),
            ("tag", "tag"),
            ("engine", "engine"),
            ("choices", "choices"),
            ("use_day", "day of use"),
            ("priority", "priority"),
            ("state", "state"),
            ("list", "list"),
        ],
    );
    for (job, engine) in jobs {
        table.row(vec![
            Cell::text(job.number.clone()),
            Cell::text(job.tag.clone().unwrap_or_default()),
            Cell::text(engine.clone()),
            Cell::text(job.choices.clone()),
            Cell::Day(job.use_day),
            Cell::Count(job.priority),
            Cell::text(job.state.word()),
            Cell::Count(job.list),
        ]);
    }
    paper.tables.push(table);
    paper
}

/// One job with its lines: what each needs, has reserved, in the kit and on the engine, and is short of.
pub fn job_sheet(
    stock: &Stock,
    job: &Job,
    engine: &str,
    lines: &[&Line],
    mut paper: Paper,
) -> Result<Paper, Refusal> {
    let short = lines.iter().filter(|line| line.short().is_positive()).count();
    paper.answer = format!(
        "{} for engine {engine}, {}, day of use {}: {} of {} not covered",
        called(job),
        job.choices,
        job.use_day,
        short,
        count(lines.len(), "line")
    );
    let keys = ["need", "reserved", "kitted", "fitted", "short"];
    let mut table = Table::new(
        "lines",
        &[
            ("n", "line"),
            ("part", "part"),
            ("need", "need"),
            ("reserved", "reserved"),
            ("kitted", "in the kit"),
            ("fitted", "on the engine"),
            ("short", "short"),
        ],
    )
    .quantities(&keys);
    for line in lines {
        let part = stock.part(line.part)?;
        let qty = |qty| Cell::Qty(qty, part.unit.to_string());
        table.row(vec![
            Cell::Count(line.n),
            Cell::text(part.number.clone()),
            qty(line.need),
            qty(line.reserved),
            qty(line.kitted),
            qty(line.fitted),
            qty(line.short()),
        ]);
    }
    paper.tables.push(table);
    Ok(paper)
}
