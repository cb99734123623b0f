//! How long lots were out of the cold, from their cards.

use super::bins::keeps_of;
use super::sizes::size_of;
use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::{Row, values};
use crate::domain::keeping::bin::{Band, Limits};
use crate::domain::keeping::cold::{Going, OutOfCold, Warmth, minutes_out, warmth};
use crate::domain::measure::Qty;
use crate::domain::stores::ids::{LotId, PartId, PlaceId};

/// The size of a part that says how many hours it may be out of the cold.
const HOURS: &str = "out_of_cold_hours";

/// How long a lot was out of the cold up to an instant; nothing where its part does not ask.
pub fn out_of_cold(
    books: &Open<'_>,
    lot: LotId,
    part: PartId,
    until: &str,
) -> Result<Option<OutOfCold>, Error> {
    let Some(hours) = size_of(books, part, HOURS)? else {
        return Ok(None);
    };
    let wanted = keeps_of(books, part)?.band;
    Ok(Some(OutOfCold {
        out: minutes(books, lot, wanted, (until, i64::MAX))?,
        limit: minutes_in(hours),
    }))
}

/// Whole minutes in so many hours, rounded down.
fn minutes_in(hours: Qty) -> i64 {
    hours.millionths() * 60 / 1_000_000
}

/// The minutes of a lot up to an instant and before a document, with those of what it was made of.
fn minutes(
    books: &Open<'_>,
    lot: LotId,
    wanted: Option<Band>,
    (until, before): (&str, i64),
) -> Result<i64, Error> {
    let rows = books.rows(
        "SELECT d.id, d.day, d.at, e.from_place, f.limits, e.to_place, t.limits, e.qty FROM entry e \
         JOIN document d ON d.id = e.document JOIN place f ON f.id = e.from_place JOIN place t ON t.id = e.to_place \
         WHERE e.lot = $1 AND d.id < $2 AND d.contra IS NULL \
         AND NOT EXISTS (SELECT 1 FROM document u WHERE u.contra = d.id) ORDER BY e.id",
        &values![lot.0, before],
    )?;
    let card: Vec<Going> = rows
        .iter()
        .map(|row| going(row, wanted))
        .collect::<Result<_, Error>>()?;
    let own = minutes_out(&card, until).ok_or_else(|| Error::Strange {
        what: "instant of a document",
        found: until.to_owned(),
    })?;
    let parents = books.rows(
        "SELECT p.parent, d.at, d.id FROM lot_parent p JOIN lot l ON l.id = p.lot JOIN document d ON d.id = l.document \
         WHERE p.lot = $1",
        &values![lot.0],
    )?;
    let mut inherited = 0;
    for row in parents {
        let made = (row.text(1)?, row.int(2)?);
        inherited = inherited.max(minutes(books, LotId(row.int(0)?), wanted, (&made.0, made.1))?);
    }
    Ok(own + inherited)
}

/// A line of a card: document, day, instant, whence with its limits, where to with its limits, how much.
fn going(row: &Row, wanted: Option<Band>) -> Result<Going, Error> {
    let place = |at: usize| -> Result<Warmth, Error> {
        let limits = row.maybe_text(at + 1)?.map(|text| {
            Limits::parse(&text).map_err(|_| Error::Strange {
                what: "limits of a bin",
                found: text,
            })
        });
        let limits = limits.transpose()?.unwrap_or_default();
        Ok(warmth(PlaceId(row.int(at)?), limits, wanted))
    };
    Ok(Going {
        document: row.int(0)?,
        day: row.day(1)?,
        at: row.text(2)?,
        from: place(3)?,
        to: place(5)?,
        qty: row.qty(7)?,
    })
}

/// What lies in the house of parts that ask, by part and lot: the part's number, the lot and its number.
pub fn kept_cold(books: &Open<'_>) -> Result<Vec<(PartId, String, LotId, String)>, Error> {
    let rows = books.rows(
        "SELECT p.id, p.number, l.id, l.number FROM part_size z JOIN part p ON p.id = z.part JOIN lot l ON l.part = p.id \
         WHERE z.name = $1 AND EXISTS (SELECT 1 FROM balance b WHERE b.lot = l.id AND b.qty > 0 AND b.place < 20000000) \
         ORDER BY p.number, l.id",
        &values![HOURS],
    )?;
    rows.iter()
        .map(|row| {
            Ok((
                PartId(row.int(0)?),
                row.text(1)?,
                LotId(row.int(2)?),
                row.text(3)?,
            ))
        })
        .collect()
}
