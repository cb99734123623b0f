//! Counts: what a list of a bin holds, and what happened there since it was printed.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::values;
use crate::db::written::number;
use crate::domain::stores::ids::{LotId, PlaceId};

/// The lots that lie in a place, in the order of a count list: by part number, then by age.
pub fn lots_in(books: &Open<'_>, place: PlaceId) -> Result<Vec<LotId>, Error> {
    let rows = books.rows(
        "SELECT l.id FROM balance b JOIN lot l ON l.id = b.lot JOIN part p ON p.id = l.part \
         WHERE b.place = $1 AND b.qty > 0 ORDER BY p.number, l.id",
        &values![place.0],
    )?;
    rows.iter().map(|row| Ok(LotId(row.int(0)?))).collect()
}

/// The number of the last document in the books.
pub fn last_document(books: &Open<'_>) -> Result<i64, Error> {
    let row = books.row("SELECT COALESCE(MAX(id), 0) FROM document", &[])?;
    row.map_or(Ok(0), |row| row.int(0))
}

/// The first document after this one that moved anything into or out of a place.
pub fn moved_since(books: &Open<'_>, place: PlaceId, document: i64) -> Result<Option<String>, Error> {
    let row = books.row(
        "SELECT d.kind, d.id FROM balance b JOIN entry e ON e.lot = b.lot JOIN document d ON d.id = e.document \
         WHERE b.place = $1 AND e.document > $2 AND e.qty > 0 AND (e.from_place = $1 OR e.to_place = $1) \
         ORDER BY d.id LIMIT 1",
        &values![place.0, document],
    )?;
    row.map(|row| number(&row.text(0)?, row.int(1)?)).transpose()
}

/// The number that the next line of a count bears in the books.
pub fn next_line(books: &Open<'_>) -> Result<i64, Error> {
    let row = books.row("SELECT COALESCE(MAX(id), 0) + 1 FROM count_line", &[])?;
    row.map_or(Ok(1), |row| row.int(0))
}
