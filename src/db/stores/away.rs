//! What is away with others.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::facts::{self, part_columns};
use crate::db::value::{Row, Value};
use crate::domain::making::away::OutWith;

/// Everything that is away, what is due first first; the due day is that of the last document that sent the lot there.
pub fn out_with_others(books: &Open<'_>) -> Result<Vec<OutWith>, Error> {
    let rows = books.rows(
        concat!(
            "SELECT l.number, b.qty, c.code, c.name, d.due, COALESCE(d.reason, ''), ",
            part_columns!(),
            " FROM balance b JOIN lot l ON l.id = b.lot JOIN part p ON p.id = l.part JOIN place c ON c.id = b.place \
             LEFT JOIN document d ON d.id = (SELECT MAX(e.document) FROM entry e WHERE e.lot = b.lot \
               AND e.to_place = b.place AND e.law / 10000 = 27 \
               AND NOT EXISTS (SELECT 1 FROM document u WHERE u.contra = e.document)) \
             WHERE b.place >= 8000000 AND b.place < 9000000 AND b.qty > 0 ORDER BY d.due IS NULL, d.due, l.number"
        ),
        &[],
    )?;
    rows.iter().map(out_with).collect()
}

fn out_with(row: &Row) -> Result<OutWith, Error> {
    let part: Vec<Value> = row.0.iter().skip(6).cloned().collect();
    let part = facts::part(&Row(part))?;
    Ok(OutWith {
        lot: row.text(0)?,
        part: part.number,
        unit: part.unit,
        qty: row.qty(1)?,
        place: row.text(2)?,
        with: row.text(3)?,
        due: row.maybe_day(4)?,
        why: row.text(5)?,
    })
}
