//! Bills and engine models as the books have them.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::estimating::sizes_of;
use crate::db::facts::{self, part_columns};
use crate::db::value::{Row, values};
use crate::domain::kitting::bill::{Bill, BillLine, LineKind, Per, pair};
use crate::domain::kitting::bill_faults::BillFacts;
use crate::domain::kitting::expand::Model;
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::ids::{BillId, PartId};
use crate::domain::stores::part::Part;
use std::collections::{BTreeMap, BTreeSet};

/// The conversions, each with its revision that holds on a day.
pub fn conversions(books: &Open<'_>, day: Day) -> Result<Vec<Bill>, Error> {
    holding(books, day, true)
}

/// Every part with a bill, sub-assemblies among them, each with its revision that holds on a day.
pub fn bills_on(books: &Open<'_>, day: Day) -> Result<Vec<Bill>, Error> {
    holding(books, day, false)
}

fn holding(books: &Open<'_>, day: Day, conversions_only: bool) -> Result<Vec<Bill>, Error> {
    let rows = books.rows(
        "SELECT p.id FROM part p WHERE ($2 = 0 OR p.class = 'conversion') AND EXISTS (SELECT 1 FROM bill b \
         WHERE b.part = p.id AND (b.from_day IS NULL OR b.from_day <= $1) AND (b.until_day IS NULL OR b.until_day >= $1)) \
         ORDER BY p.number",
        &values![day, i64::from(conversions_only)],
    )?;
    let mut found = Vec::new();
    for row in rows {
        if let Some(id) = bill_on(books, PartId(row.int(0)?), day)? {
            found.extend(bill(books, id, day)?);
        }
    }
    Ok(found)
}

/// The bill of a part that holds on a day: the one that began last.
fn bill_on(books: &Open<'_>, part: PartId, day: Day) -> Result<Option<BillId>, Error> {
    let row = books.row(
        "SELECT id FROM bill WHERE part = $1 AND (from_day IS NULL OR from_day <= $2) \
         AND (until_day IS NULL OR until_day >= $2) ORDER BY COALESCE(from_day, '') DESC, id DESC LIMIT 1",
        &values![part.0, day],
    )?;
    row.map(|row| Ok(BillId(row.int(0)?))).transpose()
}

/// A bill of materials with its lines, and below it the bills of sub-assemblies that hold on a day.
pub fn bill(books: &Open<'_>, id: BillId, day: Day) -> Result<Option<Bill>, Error> {
    let Some(mut top) = bill_alone(books, id)? else {
        return Ok(None);
    };
    let mut ahead = top.goes_on();
    let mut looked: BTreeSet<PartId> = BTreeSet::from([top.part]);
    while let Some(part) = ahead.pop() {
        if !looked.insert(part) {
            continue;
        }
        if let Some(sub) = sub_bill(books, part, day)? {
            ahead.extend(sub.goes_on());
            top.subs.insert(part, sub);
        }
    }
    Ok(Some(top))
}

/// The bill of a sub-assembly that holds on a day, with its own lines only.
pub fn sub_bill(books: &Open<'_>, part: PartId, day: Day) -> Result<Option<Bill>, Error> {
    match bill_on(books, part, day)? {
        Some(id) => bill_alone(books, id),
        None => Ok(None),
    }
}

/// A bill of materials with its own lines only.
fn bill_alone(books: &Open<'_>, id: BillId) -> Result<Option<Bill>, Error> {
    let head = books.row(
        "SELECT b.part, p.number, p.name, b.revision, b.fits, b.data_source FROM bill b JOIN part p ON p.id = b.part \
         WHERE b.id = $1",
        &values![id.0],
    )?;
    let Some(head) = head else { return Ok(None) };
    let sql = "SELECT n, kind, part, qty, per, choice_group, choice, text, waste FROM bill_line WHERE bill = $1 ORDER BY n";
    let lines: Result<Vec<BillLine>, Error> = books.rows(sql, &values![id.0])?.iter().map(line).collect();
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
        lines: lines?,
        subs: BTreeMap::new(),
    }))
}

/// The first day on which a bill holds, where it has one.
pub fn first_day(books: &Open<'_>, id: BillId) -> Result<Option<Day>, Error> {
    let row = books.row("SELECT from_day FROM bill WHERE id = $1", &values![id.0])?;
    Ok(row.map(|row| row.maybe_day(0)).transpose()?.flatten())
}

fn line(row: &Row) -> Result<BillLine, Error> {
    let (kind, per) = (row.text(1)?, row.maybe_text(4)?);
    let strange = |found: String| Error::Strange {
        what: "bill line",
        found,
    };
    let qty = row.maybe_text(3)?.unwrap_or_else(|| "0".to_owned());
    Ok(BillLine {
        n: row.int(0)?,
        kind: LineKind::from_word(&kind).ok_or_else(|| strange(kind))?,
        part: row.maybe_int(2)?.map(PartId),
        qty: Qty::parse(&qty).map_err(|_| strange(qty))?.to_decimal(),
        per: match per {
            None => Per::Engine,
            Some(word) => Per::from_word(&word).ok_or_else(|| strange(word))?,
        },
        waste_pct: row.maybe_qty(8)?.unwrap_or(Qty::ZERO).to_decimal(),
        choice: row.maybe_text(5)?.zip(row.maybe_text(6)?),
        text: row.maybe_text(7)?,
    })
}

/// The parts that a bill and those below it name.
pub fn parts_of(books: &Open<'_>, bill: &Bill) -> Result<BTreeMap<PartId, Part>, Error> {
    let mut parts = BTreeMap::new();
    let sql = concat!("SELECT ", part_columns!(), " FROM part p WHERE p.id = $1");
    let lines = bill.reached(|_| true).into_iter().flat_map(|bill| &bill.lines);
    for id in lines.filter_map(|line| line.part) {
        if parts.contains_key(&id) {
            continue;
        }
        if let Some(row) = books.row(sql, &values![id.0])? {
            parts.insert(id, facts::part(&row)?);
        }
    }
    Ok(parts)
}

/// What bills are held against when their faults are looked for.
pub fn bill_facts(books: &Open<'_>, bills: &[Bill]) -> Result<BillFacts, Error> {
    let mut found = BillFacts::default();
    for bill in bills {
        found.parts.extend(parts_of(books, bill)?);
        for fits in bill.reached(|_| true).into_iter().flat_map(|bill| &bill.fits) {
            if let Some((_, model)) = model(books, fits)? {
                found.models.insert(fits.clone(), model);
            }
        }
    }
    for row in books.rows("SELECT id, status FROM part WHERE status <> 'live'", &[])? {
        found.ended.insert(PartId(row.int(0)?), row.text(1)?);
    }
    let jobs =
        "SELECT number, bill, choices FROM job WHERE state = 'open' AND bill IS NOT NULL ORDER BY number";
    for row in books.rows(jobs, &[])? {
        let (number, choices) = (row.text(0)?, row.text(2)?);
        let taken = found.jobs.entry(BillId(row.int(1)?)).or_default();
        let pairs = choices.split(' ').filter_map(pair);
        taken.extend(pairs.map(|(group, choice)| (number.clone(), group, choice)));
    }
    Ok(found)
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
