//! Jobs found by what people call them, and the engines they are for.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::facts;
use crate::db::load::Gather;
use crate::db::value::values;
use crate::domain::kitting::job::{Job, JobState};
use crate::domain::measure::number::read_job_number;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{JobId, PlaceId};

/// Every job in the order of need, the closed ones too if they are wanted.
pub fn jobs(books: &Open<'_>, closed_too: bool) -> Result<Vec<Job>, Error> {
    let rows = books.rows(
        "SELECT id, number, bill, choices, tag, kit, crate, engine, customer, list, use_day, priority, state, document \
         FROM job ORDER BY use_day, priority, id",
        &[],
    )?;
    let all: Result<Vec<Job>, Error> = rows.iter().map(facts::job).collect();
    Ok(all?
        .into_iter()
        .filter(|job| closed_too || job.state == JobState::Open)
        .collect())
}

/// The job behind a tag, a number or an engine serial; an open one before one that is done.
pub fn job_called<E: From<Error> + From<Refusal>>(books: &Open<'_>, called: &str) -> Result<Job, E> {
    let mut fits = Vec::new();
    let all = jobs(books, true)?;
    for job in &all {
        let serial = engine_serial(books, job.engine)?.unwrap_or_default();
        let by_tag = job
            .tag
            .as_ref()
            .is_some_and(|tag| tag.eq_ignore_ascii_case(called));
        let by_number = read_job_number(called).is_ok_and(|id| id == job.id.0);
        if by_tag || by_number || serial.eq_ignore_ascii_case(called) {
            fits.push(job.clone());
        }
    }
    if fits.iter().any(|job| job.state == JobState::Open) {
        fits.retain(|job| job.state == JobState::Open);
    }
    let name = |job: &Job| {
        job.tag
            .as_ref()
            .map_or(job.number.clone(), |tag| format!("{} {tag}", job.number))
    };
    match <[Job; 1]>::try_from(fits) {
        Ok([job]) => Ok(job),
        Err(fits) if fits.is_empty() => {
            let near = all
                .iter()
                .filter(|job| job.state == JobState::Open)
                .map(name)
                .take(5)
                .collect();
            Err(Refusal::Unknown {
                what: "job",
                asked: called.to_owned(),
                near,
            }
            .into())
        }
        Err(fits) => {
            let fits = fits.iter().map(name).collect();
            Err(Refusal::Ambiguous {
                what: "job",
                asked: called.to_owned(),
                fits,
            }
            .into())
        }
    }
}

/// The serial of an engine.
pub fn engine_serial(books: &Open<'_>, engine: PlaceId) -> Result<Option<String>, Error> {
    let row = books.row("SELECT serial FROM engine WHERE place = $1", &values![engine.0])?;
    row.map(|row| row.text(0)).transpose()
}

/// The model and the customer of an engine by its serial.
pub fn engine(books: &Open<'_>, serial: &str) -> Result<Option<(PlaceId, String, Option<PlaceId>)>, Error> {
    let row = books.row(
        "SELECT e.place, e.model, p.owner FROM engine e JOIN place p ON p.id = e.place WHERE e.serial = $1",
        &values![serial],
    )?;
    row.map(|row| Ok((PlaceId(row.int(0)?), row.text(1)?, row.maybe_int(2)?.map(PlaceId))))
        .transpose()
}

/// Gathers jobs with every lot and order line that could serve them.
pub fn gather_jobs(facts: &mut Gather<'_, '_>, jobs: &[JobId]) -> Result<(), Error> {
    for job in jobs {
        facts.job(*job)?;
    }
    let parts: std::collections::BTreeSet<_> = facts.so_far().lines.values().map(|line| line.part).collect();
    for part in parts {
        facts.lots_of_part(part)?;
        facts.on_order(part)?;
    }
    Ok(())
}
