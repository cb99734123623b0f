//! The sizes that tell parts apart.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::facts::{self, part_columns};
use crate::db::stores::stock::parts_with;
use crate::db::value::{Row, values};
use crate::domain::likeness::alike::leading_word;
use crate::domain::likeness::set::{Limit, limits};
use crate::domain::likeness::size::{Size, Sized};
use crate::domain::stores::ids::{PartId, PlaceId};
use crate::domain::stores::part::Part;
use std::collections::HashMap;

/// A part with its sizes.
pub fn sized(books: &Open<'_>, part: Part) -> Result<Sized, Error> {
    let rows = books.rows(
        "SELECT name, value, text FROM part_size WHERE part = $1 AND value IS NOT NULL ORDER BY name",
        &values![part.id.0],
    )?;
    let mut sizes: Vec<Size> = rows.iter().map(|row| size(row, 0)).collect::<Result<_, _>>()?;
    sizes.retain(Size::is_dimension);
    Ok(Sized { part, sizes })
}

/// How far apart the pieces of a set of a part may be.
pub fn spreads_of(books: &Open<'_>, part: PartId) -> Result<Vec<Limit>, Error> {
    let rows = books.rows(
        "SELECT name, value, text FROM part_size WHERE part = $1 AND value IS NOT NULL ORDER BY name",
        &values![part.0],
    )?;
    let sizes: Vec<Size> = rows.iter().map(|row| size(row, 0)).collect::<Result<_, _>>()?;
    Ok(limits(&sizes))
}

/// Every part that lies on a shelf, with its sizes, by part number.
pub fn every_sized(books: &Open<'_>) -> Result<Vec<Sized>, Error> {
    let mut sizes: HashMap<PartId, Vec<Size>> = HashMap::new();
    let sql = "SELECT part, name, value, text FROM part_size WHERE value IS NOT NULL ORDER BY part, name";
    for row in books.rows(sql, &[])? {
        let size = size(&row, 1)?;
        if size.is_dimension() {
            sizes.entry(PartId(row.int(0)?)).or_default().push(size);
        }
    }
    let with_sizes = |part: Part| {
        let sizes = sizes.remove(&part.id).unwrap_or_default();
        Sized { part, sizes }
    };
    Ok(parts_with(books, &[])?.into_iter().map(with_sizes).collect())
}

/// The other parts of a part's class and leading word that have sizes, by part number.
pub fn kin(books: &Open<'_>, part: &Part) -> Result<Vec<Part>, Error> {
    let sql = concat!(
        "SELECT ",
        part_columns!(),
        " FROM part p WHERE p.class = $1 AND SUBSTR(p.name, 1, $2) = $3 AND p.id <> $4 \
         AND EXISTS (SELECT 1 FROM part_size s WHERE s.part = p.id AND s.value IS NOT NULL) ORDER BY p.number"
    );
    let word = leading_word(&part.name);
    let letters = i64::try_from(word.chars().count()).unwrap_or(i64::MAX);
    let rows = books.rows(sql, &values![part.class.as_str(), letters, word, part.id.0])?;
    rows.iter().map(facts::part).collect()
}

/// The parts of which something lies at a place.
pub fn parts_at(books: &Open<'_>, place: PlaceId) -> Result<Vec<Part>, Error> {
    let sql = concat!(
        "SELECT ",
        part_columns!(),
        " FROM part p WHERE p.id IN (SELECT l.part FROM balance b JOIN lot l ON l.id = b.lot \
         WHERE b.place = $1 AND b.qty > 0) ORDER BY p.number"
    );
    books
        .rows(sql, &values![place.0])?
        .iter()
        .map(facts::part)
        .collect()
}

/// A size: name, value, unit, from this column on.
fn size(row: &Row, first: usize) -> Result<Size, Error> {
    Ok(Size {
        name: row.text(first)?,
        value: row.qty(first + 1)?,
        unit: row.maybe_text(first + 2)?.filter(|unit| !unit.is_empty()),
    })
}
