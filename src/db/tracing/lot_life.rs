//! A lot's whole life: every document with what it did to it.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::{Row, values};
use crate::db::written::number;
use crate::domain::stores::ids::LotId;
use crate::domain::tracing::deed::{Deed, What};

/// Everything that was done to a lot, in the order in which it was written.
pub fn lot_life(books: &Open<'_>, lot: LotId) -> Result<Vec<Deed>, Error> {
    let rows = books.rows(
        "SELECT d.kind, d.id, d.day, d.by, u.kind, u.id, x.sort, x.qty, x.one, x.two, x.three FROM ( \
         SELECT e.document AS doc, 1 AS sort, e.id AS n, e.qty AS qty, w.movement AS one, f.code AS two, t.code AS three \
         FROM entry e JOIN law w ON w.id = e.law JOIN place f ON f.id = e.from_place JOIN place t ON t.id = e.to_place \
         WHERE e.lot = $1 \
         UNION ALL SELECT c.document, 2, c.id, c.qty, c.why, j.number, NULL FROM claim c \
         JOIN job_line l ON l.id = c.line JOIN job j ON j.id = l.job WHERE c.lot = $1 \
         UNION ALL SELECT h.document, CASE WHEN h.lifts IS NULL THEN 3 ELSE 4 END, h.id, 0, h.cause, NULL, NULL \
         FROM hold h WHERE h.lot = $1 \
         UNION ALL SELECT g.document, 5, g.id, 0, g.field, g.old, g.new FROM change g \
         WHERE g.what = 'lot' AND g.what_id = $1 \
         UNION ALL SELECT y.document, 0, m.id, 0, m.number, NULL, NULL FROM lot_parent p \
         JOIN lot y ON y.id = p.lot JOIN lot m ON m.id = p.parent WHERE p.lot = $1 \
         UNION ALL SELECT y.document, 6, y.id, 0, y.number, NULL, NULL FROM lot_parent p \
         JOIN lot y ON y.id = p.lot WHERE p.parent = $1 \
         UNION ALL SELECT n.document, 7, n.id, 0, n.topic, n.text, NULL FROM note n \
         WHERE n.what = 'lot' AND n.what_id = $1 \
         ) x JOIN document d ON d.id = x.doc LEFT JOIN document u ON u.contra = d.id ORDER BY d.id, x.sort, x.n",
        &values![lot.0],
    )?;
    rows.iter().map(deed).collect()
}

fn deed(row: &Row) -> Result<Deed, Error> {
    let undone_by = match (row.maybe_text(4)?, row.maybe_int(5)?) {
        (Some(kind), Some(id)) => Some(number(&kind, id)?),
        _ => None,
    };
    Ok(Deed {
        document: number(&row.text(0)?, row.int(1)?)?,
        kind: row.text(0)?,
        day: row.day(2)?,
        by: row.text(3)?,
        undone_by,
        what: what(row)?,
    })
}

fn what(row: &Row) -> Result<What, Error> {
    let one = || row.text(8);
    Ok(match row.int(6)? {
        0 => What::CameOf { lot: one()? },
        1 => What::Moved {
            movement: one()?,
            qty: row.qty(7)?,
            from: row.text(9)?,
            to: row.text(10)?,
        },
        2 => What::Promised {
            qty: row.qty(7)?,
            job: row.text(9)?,
            why: one()?,
        },
        3 => What::Stopped { cause: one()? },
        4 => What::Lifted { cause: one()? },
        5 => What::Changed {
            field: one()?,
            old: row.maybe_text(9)?,
            new: row.maybe_text(10)?,
        },
        6 => What::WentInto { lot: one()? },
        _ => What::Noted {
            topic: one()?,
            text: row.text(9)?,
        },
    })
}
