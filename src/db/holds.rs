//! Holds that are live, and what a hold is to be laid on: the bins beneath a place, the lots of a maker's batch with all
//! that was made of them, the lots that lay at a place in some days.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::{Row, values};
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::ids::{HoldId, LotId, PlaceId};
use std::collections::{BTreeMap, BTreeSet};

/// A live hold, in the words of people.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OnHold {
    /// Under which number the books keep it.
    pub id: HoldId,
    /// The number of the document that put it on.
    pub document: i64,
    /// The lot, or none where it lies on a place.
    pub lot: Option<LotId>,
    /// The lot's number or the place's code.
    pub what: String,
    /// The lot's part; nothing for a place.
    pub part: String,
    /// Why.
    pub cause: String,
    /// Whose initials put it on.
    pub by: String,
    /// Since when.
    pub day: Day,
}

/// Every live hold, the oldest first.
pub fn live_holds(books: &Open<'_>) -> Result<Vec<OnHold>, Error> {
    let rows = books.rows(
        "SELECT h.id, h.document, h.lot, COALESCE(l.number, q.code), COALESCE(p.number, ''), h.cause, d.by, d.day \
         FROM hold h JOIN document d ON d.id = h.document LEFT JOIN lot l ON l.id = h.lot \
         LEFT JOIN part p ON p.id = l.part LEFT JOIN place q ON q.id = h.place \
         WHERE h.lifts IS NULL AND NOT EXISTS (SELECT 1 FROM hold x WHERE x.lifts = h.id) ORDER BY h.id",
        &[],
    )?;
    let read = |row: &Row| {
        Ok(OnHold {
            id: HoldId(row.int(0)?),
            document: row.int(1)?,
            lot: row.maybe_int(2)?.map(LotId),
            what: row.text(3)?,
            part: row.text(4)?,
            cause: row.text(5)?,
            by: row.text(6)?,
            day: row.day(7)?,
        })
    };
    rows.iter().map(read).collect()
}

/// A place and every place beneath it.
pub fn beneath(books: &Open<'_>, place: PlaceId) -> Result<Vec<PlaceId>, Error> {
    let mut found = vec![place];
    let mut at = 0;
    while let Some(around) = found.get(at).copied() {
        for row in books.rows(
            "SELECT id FROM place WHERE parent = $1 ORDER BY id",
            &values![around.0],
        )? {
            let inner = PlaceId(row.int(0)?);
            if !found.contains(&inner) {
                found.push(inner);
            }
        }
        at += 1;
    }
    Ok(found)
}

/// The lots of a maker's batch, with everything that was made of them.
pub fn lots_of_batch(books: &Open<'_>, batch: &str) -> Result<Vec<LotId>, Error> {
    let rows = books.rows("SELECT id FROM lot WHERE batch = $1 ORDER BY id", &values![batch])?;
    let mut found: BTreeSet<LotId> = BTreeSet::new();
    let mut queue = Vec::new();
    for row in rows {
        queue.push(LotId(row.int(0)?));
    }
    while let Some(lot) = queue.pop() {
        if !found.insert(lot) {
            continue;
        }
        for row in books.rows("SELECT lot FROM lot_parent WHERE parent = $1", &values![lot.0])? {
            queue.push(LotId(row.int(0)?));
        }
    }
    Ok(found.into_iter().collect())
}

/// The lots of which anything lay at a place on any of these days, the last day included.
pub fn lay_there(books: &Open<'_>, place: PlaceId, since: Day, until: Day) -> Result<Vec<LotId>, Error> {
    let rows = books.rows(
        "SELECT e.lot, d.day, CASE WHEN e.to_place = $1 THEN e.qty ELSE -e.qty END FROM balance b \
         JOIN entry e ON e.lot = b.lot JOIN document d ON d.id = e.document \
         WHERE b.place = $1 AND (e.to_place = $1 OR e.from_place = $1) AND d.day <= $2 ORDER BY e.lot, d.day, e.id",
        &values![place.0, until],
    )?;
    let mut before: BTreeMap<LotId, Qty> = BTreeMap::new();
    let mut came: BTreeSet<LotId> = BTreeSet::new();
    for row in rows {
        let (lot, day, qty) = (LotId(row.int(0)?), row.day(1)?, row.qty(2)?);
        if day < since {
            *before.entry(lot).or_default() += qty;
        } else if qty.is_positive() {
            came.insert(lot);
        }
    }
    came.extend(
        before
            .into_iter()
            .filter(|(_, qty)| qty.is_positive())
            .map(|(lot, _)| lot),
    );
    Ok(came.into_iter().collect())
}
