//! Lots as people call them: by number, by maker's batch or serial, or by the part where it has only one in the house.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::{Row, values};
use crate::domain::measure::number::{lot_number, read_lot_short};
use crate::domain::stores::ids::{JobId, KIND_STEP, LotId, PlaceId};
use crate::domain::stores::law::Kind;

/// A lot that a name may mean.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Called {
    /// Under which number the books keep it.
    pub id: LotId,
    /// Our lot number.
    pub number: String,
    /// The number of its part.
    pub part: String,
}

/// The lots that a name may mean: the one of that whole number, or else the one of that short number and every lot
/// in the house with that serial, batch or part number.
pub fn lots_called(books: &Open<'_>, asked: &str) -> Result<Vec<Called>, Error> {
    let capital = asked.to_uppercase();
    let exact = books.row(
        "SELECT l.id, l.number, p.number FROM lot l JOIN part p ON p.id = l.part WHERE l.number = $1",
        &values![capital.as_str()],
    )?;
    if let Some(row) = exact {
        return Ok(vec![called(&row)?]);
    }
    let rows = books.rows(
        "SELECT l.id, l.number, p.number FROM lot l JOIN part p ON p.id = l.part \
         WHERE (l.serial = $1 OR l.batch = $1 OR l.serial = $2 OR l.batch = $2 OR p.number = $1 OR p.number = $2) \
         AND EXISTS (SELECT 1 FROM balance b WHERE b.lot = l.id AND b.place < 20000000 AND b.qty > 0) ORDER BY l.id",
        &values![asked, capital.as_str()],
    )?;
    let mut found: Vec<Called> = rows.iter().map(called).collect::<Result<_, _>>()?;
    if let Some(short) = lot_by_number(books, asked)?
        && !found.contains(&short)
    {
        found.push(short);
    }
    Ok(found)
}

/// The lot of a number typed whole or in a short form: `L000123T`, `123T`, `L123`, `0123`.
pub fn lot_by_number(books: &Open<'_>, asked: &str) -> Result<Option<Called>, Error> {
    let Some(number) = read_lot_short(asked).ok().and_then(lot_number) else {
        return Ok(None);
    };
    let row = books.row(
        "SELECT l.id, l.number, p.number FROM lot l JOIN part p ON p.id = l.part WHERE l.number = $1",
        &values![number],
    )?;
    row.as_ref().map(called).transpose()
}

fn called(row: &Row) -> Result<Called, Error> {
    Ok(Called {
        id: LotId(row.int(0)?),
        number: row.text(1)?,
        part: row.text(2)?,
    })
}

/// The places of a kind with their codes, by code.
pub fn places_of_kind(books: &Open<'_>, kind: Kind) -> Result<Vec<(PlaceId, String)>, Error> {
    let first = kind.code() * KIND_STEP;
    let rows = books.rows(
        "SELECT id, code FROM place WHERE id >= $1 AND id < $2 ORDER BY code",
        &values![first, first + KIND_STEP],
    )?;
    let place = |row: &Row| Ok((PlaceId(row.int(0)?), row.text(1)?));
    rows.iter().map(place).collect()
}

/// The job whose kit this place is.
pub fn job_of_kit(books: &Open<'_>, kit: PlaceId) -> Result<Option<JobId>, Error> {
    let row = books.row("SELECT id FROM job WHERE kit = $1", &values![kit.0])?;
    row.map(|row| Ok(JobId(row.int(0)?))).transpose()
}
