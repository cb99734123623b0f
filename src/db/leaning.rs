//! What stands on a field of a record: once something does, the field is changed neither by a file nor by an undo.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::values;
use crate::domain::stores::posting::{Change, Field};

/// A statement that gives a row where something of a record `$1` came after document `$2`, and what that is.
type Lean = (&'static str, &'static str);

const LOTS: Lean = (
    "SELECT 1 FROM lot WHERE part = $1 AND document > $2 LIMIT 1",
    "lots of it have bin cards",
);
const NEEDS: Lean = (
    "SELECT 1 FROM job_line WHERE part = $1 AND document > $2 LIMIT 1",
    "jobs were raised that need it",
);
const ORDERS: Lean = (
    "SELECT 1 FROM order_line WHERE part = $1 AND document > $2 LIMIT 1",
    "it was ordered",
);
const PRICES: Lean = (
    "SELECT 1 FROM price WHERE part = $1 AND document > $2 LIMIT 1",
    "prices are for it",
);
const PACKS: Lean = (
    "SELECT 1 FROM pack WHERE part = $1 AND document > $2 LIMIT 1",
    "packs of it are counted in it",
);
const ON_BILLS: Lean = (
    "SELECT 1 FROM bill_line WHERE part = $1 AND document > $2 LIMIT 1",
    "bills list it",
);
const BILL_OF_IT: Lean = (
    "SELECT 1 FROM bill WHERE part = $1 AND document > $2 LIMIT 1",
    "there is a bill of it",
);
const ENGINES: Lean = (
    "SELECT 1 FROM engine e JOIN part p ON p.number = e.model \
     WHERE p.id = $1 AND e.document > $2 LIMIT 1",
    "there are engines of this model",
);
const FITS: Lean = (
    "SELECT 1 FROM bill b JOIN part p ON ' ' || b.fits || ' ' LIKE '% ' || p.number || ' %' \
     WHERE p.id = $1 AND b.document > $2 LIMIT 1",
    "bills fit this model",
);
/// 14 is the movement by which bench stock is used.
const USED: Lean = (
    "SELECT 1 FROM entry e JOIN lot l ON l.id = e.lot WHERE l.part = $1 AND e.law / 10000 = 14 \
     AND e.document > $2 LIMIT 1",
    "it was used from the bench",
);
/// A job uses the bill it was raised from and the bills of all that goes into it.
const JOBS: Lean = (
    "WITH RECURSIVE used (bill) AS (SELECT bill FROM job WHERE bill IS NOT NULL AND document > $2 \
     UNION SELECT b.id FROM used u JOIN bill_line l ON l.bill = u.bill JOIN bill b ON b.part = l.part) \
     SELECT 1 FROM used u JOIN bill_line l ON l.bill = u.bill WHERE l.id = $1 LIMIT 1",
    "a job was raised from this revision",
);
const ARRIVALS: Lean = (
    "SELECT 1 FROM lot WHERE order_line = $1 AND document > $2 LIMIT 1",
    "goods came in on it",
);
const PROMISES: Lean = (
    "SELECT 1 FROM claim WHERE order_line = $1 AND document > $2 LIMIT 1",
    "jobs were promised of it",
);

/// Classes of parts that lie on no shelf: to become one, or to be one no more, nothing may hang on the part.
const UNSHELVED: [&str; 3] = ["conversion", "engine model", "phantom"];

/// What stands on the field that a change alters, of all that came after a document; nothing where it may be changed.
pub fn stands_on(books: &Open<'_>, change: &Change, since: i64) -> Result<Option<&'static str>, Error> {
    for (sql, what) in leans(change) {
        if books.row(sql, &values![change.id, since])?.is_some() {
            return Ok(Some(what));
        }
    }
    Ok(None)
}

fn leans(change: &Change) -> &'static [Lean] {
    match change.field {
        Field::PartUnit => &[LOTS, NEEDS, ORDERS, PRICES, PACKS, ON_BILLS],
        Field::PartStep => &[LOTS, NEEDS, ORDERS],
        Field::PartHandOut => &[NEEDS],
        Field::PartBenchStock => &[USED],
        Field::PartClass => leans_on_class(change),
        Field::BillLineKind
        | Field::BillLinePart
        | Field::BillLineQty
        | Field::BillLinePer
        | Field::BillLineGroup
        | Field::BillLineChoice
        | Field::BillLineText
        | Field::BillLineWaste => &[JOBS],
        _ => &[],
    }
}

fn leans_on_class(change: &Change) -> &'static [Lean] {
    let unshelved = |class: &Option<String>| class.as_deref().is_some_and(|class| UNSHELVED.contains(&class));
    if unshelved(&change.old) || unshelved(&change.new) {
        return &[LOTS, NEEDS, ORDERS, PRICES, ON_BILLS, BILL_OF_IT, ENGINES, FITS];
    }
    match change.new.as_deref() {
        // No bill is of one of these.
        Some("tool" | "core") => &[BILL_OF_IT],
        _ => &[],
    }
}

/// What came on a line of an order after a document: an undo does not look at the figures again.
pub fn came_since(books: &Open<'_>, change: &Change, since: i64) -> Result<Option<&'static str>, Error> {
    if !matches!(change.field, Field::OrderOrdered | Field::OrderValue) {
        return stands_on(books, change, since);
    }
    for (sql, what) in [ARRIVALS, PROMISES] {
        if books.row(sql, &values![change.id, since])?.is_some() {
            return Ok(Some(what));
        }
    }
    Ok(None)
}
