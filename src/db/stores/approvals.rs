//! The approvals of suppliers.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::values;
use crate::domain::acceptance::approval::Approval;
use crate::domain::measure::Day;
use crate::domain::stores::ids::PlaceId;

/// A supplier's approval; nothing where none is recorded.
pub fn approval_of(books: &Open<'_>, supplier: PlaceId) -> Result<Option<Approval>, Error> {
    let sql = "SELECT approved_from, approved_until, scope FROM party WHERE place = $1 \
               AND (approved_from IS NOT NULL OR approved_until IS NOT NULL OR scope IS NOT NULL)";
    let row = books.row(sql, &values![supplier.0])?;
    row.map(|row| {
        Ok(Approval {
            from: row.maybe_day(0)?,
            until: row.maybe_day(1)?,
            scope: Approval::classes(&row.maybe_text(2)?.unwrap_or_default()),
        })
    })
    .transpose()
}

/// The suppliers whose approval ends between two days, both included, the soonest first: code, name, last day.
pub fn ending(books: &Open<'_>, first: Day, last: Day) -> Result<Vec<(String, String, Day)>, Error> {
    let rows = books.rows(
        "SELECT p.code, p.name, y.approved_until FROM party y JOIN place p ON p.id = y.place \
         WHERE y.approved_until >= $1 AND y.approved_until <= $2 ORDER BY y.approved_until, p.code",
        &values![first, last],
    )?;
    rows.iter()
        .map(|row| Ok((row.text(0)?, row.text(1)?, row.day(2)?)))
        .collect()
}
