//! Single sizes of a part, by the name they were taken on under.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::values;
use crate::domain::measure::Qty;
use crate::domain::stores::ids::PartId;

/// The figure of a size of this name; none where the part has no such size.
pub fn size_of(books: &Open<'_>, part: PartId, name: &str) -> Result<Option<Qty>, Error> {
    let sql = "SELECT value FROM part_size WHERE part = $1 AND name = $2";
    let row = books.row(sql, &values![part.0, name])?;
    Ok(row.map(|row| row.maybe_qty(0)).transpose()?.flatten())
}

/// The hazard statements of a part, `H225`: sizes called `hazard`, or `hazard-2` and on, each a figure or a text.
pub fn hazards_of(books: &Open<'_>, part: PartId) -> Result<Vec<String>, Error> {
    let rows = books.rows(
        "SELECT value, text FROM part_size WHERE part = $1 AND (name = 'hazard' OR name LIKE 'hazard-%') ORDER BY name",
        &values![part.0],
    )?;
    let mut codes = Vec::new();
    for row in rows {
        match row.maybe_qty(0)? {
            Some(figure) => codes.push(format!("H{figure}")),
            None => {
                let text = row.maybe_text(1)?.unwrap_or_default();
                codes.extend(text.split_whitespace().map(str::to_owned));
            }
        }
    }
    Ok(codes)
}
