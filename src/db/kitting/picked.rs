//! What was picked from a pick list, as the books have it.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::{Row, values};
use crate::domain::kitting::job::Job;
use crate::domain::kitting::pick::Picked;
use crate::domain::stores::ids::{LineId, LotId, PlaceId};

/// What was picked already from the list of a job that holds now.
pub fn picked_from_list(books: &Open<'_>, job: &Job) -> Result<Vec<Picked>, Error> {
    let rows = books.rows(
        "SELECT e.to_line, e.lot, e.from_place, SUM(e.qty) FROM document d \
         JOIN entry e ON e.id >= d.first_entry AND e.id < d.first_entry + d.entries \
         WHERE d.job = $1 AND d.list = $2 AND e.law / 10000 = 10 \
         GROUP BY e.to_line, e.lot, e.from_place ORDER BY e.to_line, e.lot, e.from_place",
        &values![job.id.0, job.list],
    )?;
    let picked = |row: &Row| {
        Ok(Picked {
            line: LineId(row.int(0)?),
            lot: LotId(row.int(1)?),
            place: PlaceId(row.int(2)?),
            qty: row.qty(3)?,
        })
    };
    rows.iter().map(picked).collect()
}
