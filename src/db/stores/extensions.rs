//! What was extended of a lot's life before.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::stores::sizes::size_of;
use crate::db::value::values;
use crate::domain::keeping::extend::{Before, USUALLY};
use crate::domain::measure::Day;
use crate::domain::stores::ids::{LotId, PartId};

/// The size of a part that says how often its life may be extended.
const TIMES: &str = "extensions";

/// The extensions of a lot that stand, where it came on a day: an undone one does not count.
pub fn extended_before(books: &Open<'_>, lot: LotId, came: Option<Day>) -> Result<Before, Error> {
    let rows = books.rows(
        "SELECT c.old, d.day FROM change c JOIN document d ON d.id = c.document \
         WHERE c.what = 'lot' AND c.what_id = $1 AND c.field = 'expiry' AND d.contra IS NULL \
         AND NOT EXISTS (SELECT 1 FROM document u WHERE u.contra = d.id) ORDER BY c.id",
        &values![lot.0],
    )?;
    let mut before = Before {
        since: came,
        ..Before::default()
    };
    for row in rows {
        if before.times == 0 {
            before.original = row.maybe_day(0)?;
        }
        before.times += 1;
        before.since = Some(row.day(1)?);
    }
    Ok(before)
}

/// How often the life of a part may be extended.
pub fn times_of(books: &Open<'_>, part: PartId) -> Result<i64, Error> {
    let own = size_of(books, part, TIMES)?;
    Ok(own.map_or(USUALLY, |times| times.millionths() / 1_000_000))
}
