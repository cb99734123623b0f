//! What lay where on a past day, from the entries of documents that bear that day or an earlier one.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::{Row, values};
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::ids::PlaceId;
use std::collections::BTreeMap;

/// What of a lot lay at one place of the house on a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lay {
    /// The part's number.
    pub part: String,
    /// The lot's number.
    pub lot: String,
    /// Where.
    pub place: PlaceId,
    /// The place's code.
    pub bin: String,
    /// How much, and in which unit.
    pub qty: (Qty, String),
    /// The last day as it was known then.
    pub expiry: Option<Day>,
}

/// What lay in the house at the end of a day, of one part or of all: by part, last day, lot and place.
pub fn lay_on(books: &Open<'_>, day: Day, part: Option<&str>) -> Result<Vec<Lay>, Error> {
    let known = expiries_then(books, day)?;
    let rows = books.rows(
        "SELECT p.number, l.number, c.id, c.code, SUM(CASE WHEN e.to_place = c.id THEN e.qty ELSE -e.qty END), p.unit, \
         l.expiry, l.id FROM entry e JOIN document d ON d.id = e.document JOIN lot l ON l.id = e.lot \
         JOIN part p ON p.id = l.part JOIN place c ON c.id IN (e.from_place, e.to_place) \
         WHERE d.day <= $1 AND c.id < 20000000 AND e.from_place <> e.to_place \
         AND (p.number = $2 OR CAST($2 AS TEXT) IS NULL) \
         GROUP BY p.number, l.number, c.id, c.code, p.unit, l.expiry, l.id \
         HAVING SUM(CASE WHEN e.to_place = c.id THEN e.qty ELSE -e.qty END) > 0",
        &values![day, part],
    )?;
    let lay = |row: &Row| {
        let then = known.get(&row.int(7)?).copied();
        Ok(Lay {
            part: row.text(0)?,
            lot: row.text(1)?,
            place: PlaceId(row.int(2)?),
            bin: row.text(3)?,
            qty: (row.qty(4)?, row.text(5)?),
            expiry: then.unwrap_or(row.maybe_day(6)?),
        })
    };
    let mut found: Vec<Lay> = rows.iter().map(lay).collect::<Result<_, Error>>()?;
    found.sort_by_key(|lay| {
        let endless = lay.expiry.is_none();
        (lay.part.clone(), endless, lay.expiry, lay.lot.clone(), lay.place)
    });
    Ok(found)
}

/// The last days of lots as they were on a day, where a later document changed them.
fn expiries_then(books: &Open<'_>, day: Day) -> Result<BTreeMap<i64, Option<Day>>, Error> {
    let rows = books.rows(
        "SELECT c.what_id, c.old FROM change c JOIN document d ON d.id = c.document \
         WHERE c.what = 'lot' AND c.field = 'expiry' AND d.day > $1 ORDER BY c.id",
        &values![day],
    )?;
    let mut then = BTreeMap::new();
    for row in rows {
        let old = row.maybe_day(1)?;
        then.entry(row.int(0)?).or_insert(old);
    }
    Ok(then)
}
