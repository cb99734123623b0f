//! What can be found by a code or a name, and what is to be told of it.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::facts::{self, lot_columns, part_columns};
use crate::db::stores::stock::{in_house, parts_with};
use crate::db::value::{Row, Value, values};
use crate::domain::measure::Qty;
use crate::domain::stores::ids::{LotId, PlaceId};
use crate::domain::stores::lot::Lot;
use crate::domain::stores::part::Part;
use crate::domain::stores::place::Place;
use crate::domain::stores::search::Wanted;
use crate::domain::stores::standing::Lying;

/// A lot with its part and where it lies in the house.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// The lot.
    pub lot: Lot,
    /// Its part.
    pub part: Part,
    /// What of it lies in the house, in the order of the walk.
    pub lying: Vec<Lying>,
}

/// The lots of this number, maker's batch or serial, however it is capitalised; those in the house if there are any.
pub fn lots_of_code(books: &Open<'_>, code: &str) -> Result<Vec<Found>, Error> {
    let rows = books.rows(
        concat!(
            "SELECT ",
            lot_columns!(),
            ", ",
            part_columns!(),
            " FROM lot l JOIN part p ON p.id = l.part \
         WHERE l.number = $2 OR l.batch = $1 OR l.batch = $2 OR l.serial = $1 OR l.serial = $2 ORDER BY l.id"
        ),
        &values![code, code.to_uppercase()],
    )?;
    let mut found = Vec::new();
    for row in &rows {
        let part = facts::part(&Row(row.0.iter().skip(19).cloned().collect()))?;
        let lot = facts::lot(row)?;
        let mut lying = in_house(books, part.clone())?.lying;
        lying.retain(|line| line.lot.id == lot.id);
        found.push(Found { lot, part, lying });
    }
    if found.iter().any(|found| !found.lying.is_empty()) {
        found.retain(|found| !found.lying.is_empty());
    }
    Ok(found)
}

/// Where a lot lies outside the house, such as on an engine; places where lots are born and owed are left out.
pub fn lies_outside(books: &Open<'_>, lot: LotId) -> Result<Vec<(Place, Qty)>, Error> {
    let rows = books.rows(
        "SELECT p.id, p.code, p.name, p.walk, p.owner, p.held, b.qty FROM balance b JOIN place p ON p.id = b.place \
         WHERE b.lot = $1 AND b.place >= 20000000 AND b.qty > 0 ORDER BY b.place",
        &values![lot.0],
    )?;
    rows.iter()
        .map(|row| Ok((facts::place(row)?, row.qty(6)?)))
        .collect()
}

/// For which jobs a lot is reserved, by tag or number, and how much for each; the first to need it first.
pub fn reserved_for(books: &Open<'_>, lot: LotId) -> Result<Vec<(String, Qty)>, Error> {
    let rows = books.rows(
        "SELECT COALESCE(j.tag, j.number), SUM(c.qty) FROM claim c JOIN job_line l ON l.id = c.line \
         JOIN job j ON j.id = l.job WHERE c.lot = $1 GROUP BY j.id, j.tag, j.number, j.use_day \
         HAVING SUM(c.qty) > 0 ORDER BY j.use_day, j.id",
        &values![lot.0],
    )?;
    rows.iter().map(|row| Ok((row.text(0)?, row.qty(1)?))).collect()
}

/// Why a lot is held: the causes of every live hold on it or on a place where some of it lies.
pub fn held_because(books: &Open<'_>, lot: LotId) -> Result<Vec<String>, Error> {
    let rows = books.rows(
        "SELECT h.cause FROM hold h WHERE h.lifts IS NULL \
         AND NOT EXISTS (SELECT 1 FROM hold u WHERE u.lifts = h.id) \
         AND (h.lot = $1 OR h.place IN (SELECT place FROM balance WHERE lot = $1 AND qty > 0)) ORDER BY h.id",
        &values![lot.0],
    )?;
    rows.iter().map(|row| row.text(0)).collect()
}

/// The place of this code, however it is capitalised.
pub fn place_of_code(books: &Open<'_>, code: &str) -> Result<Option<Place>, Error> {
    let row = books.row(
        "SELECT id, code, name, walk, owner, held FROM place WHERE code = $1 OR code = $2 ORDER BY code = $1 DESC LIMIT 1",
        &values![code, code.to_uppercase()],
    )?;
    row.as_ref().map(facts::place).transpose()
}

/// The code of a place.
pub fn code_of_place(books: &Open<'_>, place: PlaceId) -> Result<Option<String>, Error> {
    let row = books.row("SELECT code FROM place WHERE id = $1", &values![place.0])?;
    row.map(|row| row.text(0)).transpose()
}

/// What lies at a place, by part and lot.
pub fn lies_at(books: &Open<'_>, place: PlaceId) -> Result<Vec<(String, Lot, Qty, String)>, Error> {
    let rows = books.rows(
        concat!(
            "SELECT ",
            lot_columns!(),
            ", p.number, p.unit, b.qty \
         FROM balance b JOIN lot l ON l.id = b.lot JOIN part p ON p.id = l.part \
         WHERE b.place = $1 AND b.qty > 0 ORDER BY p.number, l.expiry IS NULL, l.expiry, l.id"
        ),
        &values![place.0],
    )?;
    let line = |row: &Row| Ok((row.text(19)?, facts::lot(row)?, row.qty(21)?, row.text(20)?));
    rows.iter().map(line).collect()
}

/// The parts whose number, name or class has everything that is wanted.
pub fn parts_wanted(books: &Open<'_>, wanted: &Wanted) -> Result<Vec<Part>, Error> {
    let mut found = parts_with(books, &[])?;
    found.retain(|part| wanted.fits(&[&*part.number, &*part.name, &*part.class].join(" ")));
    Ok(found)
}

/// The bins of the house whose code or name has everything that is wanted.
pub fn bins_wanted(books: &Open<'_>, wanted: &Wanted) -> Result<Vec<Place>, Error> {
    let sql = "SELECT id, code, name, walk, owner, held FROM place WHERE id < 6000000 ORDER BY walk, code";
    let mut found = Vec::new();
    for row in books.rows(sql, &[])? {
        let place = facts::place(&row)?;
        if wanted.fits(&[&*place.code, &*place.name].join(" ")) {
            found.push(place);
        }
    }
    Ok(found)
}

/// Everything that a code may be: part, lot, batch, serial, place, job, its tag, engine serial; each once, in order.
pub fn every_code(books: &Open<'_>) -> Result<Vec<String>, Error> {
    let rows = books.rows(
        "SELECT number FROM part WHERE class NOT IN ('conversion', 'engine model') UNION SELECT number FROM lot \
         UNION SELECT batch FROM lot WHERE batch IS NOT NULL UNION SELECT serial FROM lot WHERE serial IS NOT NULL \
         UNION SELECT code FROM place WHERE id < 6000000 UNION SELECT number FROM job \
         UNION SELECT tag FROM job WHERE tag IS NOT NULL UNION SELECT serial FROM engine ORDER BY 1",
        &values![] as &[Value],
    )?;
    rows.iter().map(|row| row.text(0)).collect()
}
