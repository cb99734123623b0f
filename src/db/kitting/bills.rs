//! Bills and engine models as the books have them.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::estimating::sizes_of;
use crate::db::facts;
use crate::db::value::values;
use crate::domain::kitting::bill::{Bill, BillLine, LineKind, Per};
use crate::domain::kitting::expand::Model;
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::ids::{BillId, PartId};
use crate::domain::stores::part::Part;
use std::collections::BTreeMap;

/// The conversions, each with its revision that holds on a day.
pub fn conversions(books: &Open<'_>, day: Day) -> Result<Vec<Bill>, Error> {
    let rows = books.rows(
        "SELECT b.id FROM bill b JOIN part p ON p.id = b.part WHERE (b.from_day IS NULL OR b.from_day <= $1) \
         AND (b.until_day IS NULL OR b.until_day >= $1) ORDER BY p.number, b.from_day, b.id",
        &values![day],
    )?;
    let mut newest: BTreeMap<String, Bill> = BTreeMap::new();
    for row in rows {
        if let Some(bill) = bill(books, BillId(row.int(0)?))? {
            newest.insert(bill.number.clone(), bill);
        }
    }
    Ok(newest.into_values().collect())
}

/// A bill of materials with its lines.
pub fn bill(books: &Open<'_>, id: BillId) -> Result<Option<Bill>, Error> {
    let head = books.row(
        "SELECT b.part, p.number, p.name, b.revision, b.fits, b.data_source FROM bill b JOIN part p ON p.id = b.part \
         WHERE b.id = $1",
        &values![id.0],
    )?;
    let Some(head) = head else { return Ok(None) };
    let sql = "SELECT n, kind, part, qty, per, choice_group, choice, text FROM bill_line WHERE bill = $1 ORDER BY n";
    let mut lines = Vec::new();
    for row in books.rows(sql, &values![id.0])? {
        let (kind, per) = (row.text(1)?, row.maybe_text(4)?);
        let strange = |found: String| Error::Strange {
            what: "bill line",
            found,
        };
        let qty = row.maybe_text(3)?.unwrap_or_else(|| "0".to_owned());
        lines.push(BillLine {
            n: row.int(0)?,
            kind: LineKind::from_word(&kind).ok_or_else(|| strange(kind))?,
            part: row.maybe_int(2)?.map(PartId),
            qty: Qty::parse(&qty).map_err(|_| strange(qty))?.to_decimal(),
            per: match per {
                None => Per::Engine,
                Some(word) => Per::from_word(&word).ok_or_else(|| strange(word))?,
            },
            choice: row.maybe_text(5)?.zip(row.maybe_text(6)?),
            text: row.maybe_text(7)?,
        });
    }
    Ok(Some(Bill {
        id,
        part: PartId(head.int(0)?),
        number: head.text(1)?,
        name: head.text(2)?,
        revision: head.text(3)?,
        fits: head
            .maybe_text(4)?
            .unwrap_or_default()
            .split_whitespace()
            .map(str::to_owned)
            .collect(),
        data_source: head.text(5)?,
        lines,
    }))
}

/// The first day on which a bill holds, where it has one.
pub fn first_day(books: &Open<'_>, id: BillId) -> Result<Option<Day>, Error> {
    let row = books.row("SELECT from_day FROM bill WHERE id = $1", &values![id.0])?;
    Ok(row.map(|row| row.maybe_day(0)).transpose()?.flatten())
}

/// The parts that a bill names.
pub fn parts_of(books: &Open<'_>, bill: &Bill) -> Result<BTreeMap<PartId, Part>, Error> {
    let mut parts = BTreeMap::new();
    let sql = "SELECT id, number, name, class, unit, step, hand_out, opened_life_days, bench_stock, critical, pack_policy FROM part \
               WHERE id = $1";
    for id in bill.lines.iter().filter_map(|line| line.part) {
        if let Some(row) = books.row(sql, &values![id.0])? {
            parts.insert(id, facts::part(&row)?);
        }
    }
    Ok(parts)
}

/// An engine model by its part number, with what it has of what is counted.
pub fn model(books: &Open<'_>, number: &str) -> Result<Option<(PartId, Model)>, Error> {
    let sql = "SELECT id FROM part WHERE number = $1 AND class = 'engine model'";
    let Some(row) = books.row(sql, &values![number])? else {
        return Ok(None);
    };
    let id = PartId(row.int(0)?);
    Ok(Some((
        id,
        Model {
            number: number.to_owned(),
            counts: sizes_of(books, id)?,
        },
    )))
}
