//! What bins bear, and how parts want to be kept.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::{Row, values};
use crate::domain::keeping::bin::{Band, Bin, FLAMMABLE, Keeps, Limits, Lying};
use crate::domain::measure::{Qty, Unit};
use crate::domain::stores::ids::{LotId, PartId, PlaceId};
use std::collections::BTreeMap;

/// What a bin bears.
pub fn bin_of(books: &Open<'_>, place: PlaceId) -> Result<Option<Bin>, Error> {
    let row = books.row(
        "SELECT code, one_lot, limits FROM place WHERE id = $1",
        &values![place.0],
    )?;
    let bin = |row: Row| {
        let limits = row.maybe_text(2)?.map(|text| {
            Limits::parse(&text).map_err(|_| Error::Strange {
                what: "limits of a bin",
                found: text,
            })
        });
        Ok(Bin {
            code: row.text(0)?,
            one_lot: row.flag(1)?,
            limits: limits.transpose()?.unwrap_or_default(),
        })
    };
    row.map(bin).transpose()
}

/// How a part wants to be kept, by its sizes.
pub fn keeps_of(books: &Open<'_>, part: PartId) -> Result<Keeps, Error> {
    let rows = books.rows(
        "SELECT name, value FROM part_size WHERE part = $1 AND value IS NOT NULL \
         AND (name IN ('hazard', 'litres_each', 'store_from_c', 'store_to_c') OR name LIKE 'hazard-%')",
        &values![part.0],
    )?;
    let mut sizes: BTreeMap<String, Qty> = BTreeMap::new();
    for row in rows {
        sizes.insert(row.text(0)?, row.qty(1)?);
    }
    let size = |name: &str| sizes.get(name).copied();
    let band = size("store_from_c").zip(size("store_to_c"));
    Ok(Keeps {
        hazard: flammable(&sizes),
        litres_each: size("litres_each"),
        band: band.map(|(from_c, to_c)| Band { from_c, to_c }),
    })
}

/// The statement of a flammable liquid among the sizes of a part.
fn flammable(sizes: &BTreeMap<String, Qty>) -> Option<i64> {
    let named = sizes.iter().filter(|(name, _)| name.starts_with("hazard"));
    let mut numbers = named.map(|(_, value)| value.millionths() / 1_000_000);
    numbers.find(|number| FLAMMABLE.contains(number))
}

/// What lies in a bin, by lot.
pub fn lying_in(books: &Open<'_>, place: PlaceId) -> Result<Vec<Lying>, Error> {
    let rows = books.rows(
        "SELECT l.id, l.number, p.number, p.unit, b.qty, p.id FROM balance b JOIN lot l ON l.id = b.lot \
         JOIN part p ON p.id = l.part WHERE b.place = $1 AND b.qty > 0 ORDER BY l.id",
        &values![place.0],
    )?;
    let mut found = Vec::new();
    for row in rows {
        let (unit, qty) = (row.text(3)?, row.qty(4)?);
        found.push(Lying {
            lot: LotId(row.int(0)?),
            number: row.text(1)?,
            part: row.text(2)?,
            unit: Unit::parse(&unit).map_err(|_| Error::Strange {
                what: "unit",
                found: unit,
            })?,
            keeps: keeps_of(books, PartId(row.int(5)?))?,
            before: qty,
            after: qty,
        });
    }
    Ok(found)
}
