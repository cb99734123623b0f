//! The packs in which a part comes, and what one of its unit weighs.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::{Row, values};
use crate::domain::stores::ids::{PartId, PlaceId};
use crate::domain::stores::packs::{Pack, Packing};

/// What a typed quantity of a part may be counted in, by the suppliers' codes.
pub fn packing_of(books: &Open<'_>, part: PartId) -> Result<Packing, Error> {
    let rows = books.rows(
        "SELECT k.supplier, COALESCE(s.code, 'anyone'), k.unit, k.holds FROM pack k \
         LEFT JOIN place s ON s.id = k.supplier WHERE k.part = $1 ORDER BY 2, k.unit",
        &values![part.0],
    )?;
    let weighs = books.row("SELECT grams_per_unit FROM part WHERE id = $1", &values![part.0])?;
    let grams_per_unit = match weighs {
        Some(row) => row.maybe_qty(0)?,
        None => None,
    };
    Ok(Packing {
        packs: rows.iter().map(pack).collect::<Result<_, _>>()?,
        grams_per_unit,
    })
}

fn pack(row: &Row) -> Result<Pack, Error> {
    Ok(Pack {
        supplier: PlaceId(row.int(0)?),
        code: row.text(1)?,
        name: row.text(2)?,
        holds: row.qty(3)?,
    })
}
