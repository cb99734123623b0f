//! What may stand in for a part.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::facts::{self, part_columns};
use crate::db::value::{Row, values};
use crate::domain::likeness::stand_in::{Bounds, Manner, StandIn};
use crate::domain::stores::ids::{JobId, LineId, PartId};
use crate::domain::stores::part::Part;

/// Every record of a stand-in that names a part, each with the other part that it names, in the order of the records.
pub fn stand_ins_of(books: &Open<'_>, part: PartId) -> Result<Vec<(StandIn, Part)>, Error> {
    let sql = concat!(
        "SELECT ",
        part_columns!(),
        ", z.part, z.other, z.manner, z.bounds, z.authority, z.from_day, z.until_day FROM stand_in z \
         JOIN part p ON p.id = CASE WHEN z.part = $1 THEN z.other ELSE z.part END \
         WHERE z.part = $1 OR z.other = $1 ORDER BY z.id"
    );
    let rows = books.rows(sql, &values![part.0])?;
    rows.iter()
        .map(|row| Ok((stand_in(row, 13)?, facts::part(row)?)))
        .collect()
}

/// What a job is for, as bounds ask: the number of its conversion, and its engine's model.
pub fn purpose_of(books: &Open<'_>, job: JobId) -> Result<(String, String), Error> {
    let row = books.row(
        "SELECT COALESCE(p.number, ''), COALESCE(e.model, '') FROM job j LEFT JOIN bill b ON b.id = j.bill \
         LEFT JOIN part p ON p.id = b.part LEFT JOIN engine e ON e.place = j.engine WHERE j.id = $1",
        &values![job.0],
    )?;
    row.map_or(Ok(Default::default()), |row| Ok((row.text(0)?, row.text(1)?)))
}

/// Where a further line of a job comes: the number that the books give it, and the one on the job's papers.
pub fn next_line(books: &Open<'_>, job: JobId) -> Result<(LineId, i64), Error> {
    let row = books.row(
        "SELECT (SELECT COALESCE(MAX(id), 0) + 1 FROM job_line), \
         (SELECT COALESCE(MAX(n), 0) + 1 FROM job_line WHERE job = $1)",
        &values![job.0],
    )?;
    row.map_or(Ok((LineId(1), 1)), |row| Ok((LineId(row.int(0)?), row.int(1)?)))
}

/// The choice that a line of a job belongs to.
pub fn choice_of(books: &Open<'_>, line: LineId) -> Result<Option<String>, Error> {
    let row = books.row("SELECT position FROM job_line WHERE id = $1", &values![line.0])?;
    row.map_or(Ok(None), |row| row.maybe_text(0))
}

/// A stand-in: part, other, manner, bounds, authority, from, until, from this column on.
fn stand_in(row: &Row, first: usize) -> Result<StandIn, Error> {
    let (manner, bounds) = (
        row.text(first + 2)?,
        row.maybe_text(first + 3)?.unwrap_or_default(),
    );
    let strange = |what: &'static str, found: &str| Error::Strange {
        what,
        found: found.to_owned(),
    };
    Ok(StandIn {
        part: PartId(row.int(first)?),
        other: PartId(row.int(first + 1)?),
        manner: Manner::from_word(&manner).ok_or_else(|| strange("manner of a stand-in", &manner))?,
        bounds: Bounds::parse(&bounds).map_err(|_| strange("bounds of a stand-in", &bounds))?,
        authority: row.text(first + 4)?,
        from: row.maybe_day(first + 5)?,
        until: row.maybe_day(first + 6)?,
    })
}
