//! Counts: what a list of a bin holds, and what happened there since it was printed.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::{Row, values};
use crate::db::written::number;
use crate::domain::measure::{Day, Money, Qty};
use crate::domain::stores::counting::cycle::{CLASSES, Class, CountRule};
use crate::domain::stores::ids::{LotId, PartId, PlaceId};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// The lots that lie in a place and those that ran out there since it was counted last, or since this day, in the order
/// of a count list: by part number, then by age.
pub fn lots_in(books: &Open<'_>, place: PlaceId, since: Day) -> Result<Vec<LotId>, Error> {
    let rows = books.rows(
        "SELECT l.id FROM balance b JOIN lot l ON l.id = b.lot JOIN part p ON p.id = l.part \
         WHERE b.place = $1 AND (b.qty > 0 OR EXISTS (SELECT 1 FROM entry e JOIN document d ON d.id = e.document \
           WHERE e.lot = b.lot AND e.from_place = $1 AND e.to_place < 30000000 AND d.day >= $2 \
           AND d.id > (SELECT COALESCE(MAX(c.document), 0) FROM count_line c WHERE c.place = $1 AND c.lot = b.lot))) \
         ORDER BY p.number, l.id",
        &values![place.0, since],
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

/// A part in a bin, to be counted some day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InBin {
    /// The bin.
    pub place: PlaceId,
    /// Its code.
    pub code: String,
    /// The part.
    pub part: PartId,
    /// How many lots of it lie there.
    pub lots: usize,
    /// When it was counted there last.
    pub last: Option<Day>,
}

/// Every part in every bin it may be picked from, in walking order.
pub fn in_bins(books: &Open<'_>) -> Result<Vec<InBin>, Error> {
    let rows = books.rows(
        "SELECT q.id, q.code, l.part, COUNT(*), (SELECT MAX(d.day) FROM count_line c JOIN lot x ON x.id = c.lot \
           JOIN document d ON d.id = c.document WHERE c.place = q.id AND x.part = l.part) \
         FROM balance b JOIN lot l ON l.id = b.lot JOIN place q ON q.id = b.place \
         WHERE b.qty > 0 AND b.place >= 2000000 AND b.place < 4000000 \
         GROUP BY q.id, q.code, q.walk, l.part ORDER BY q.walk, q.code, l.part",
        &[],
    )?;
    let read = |row: &Row| {
        Ok(InBin {
            place: PlaceId(row.int(0)?),
            code: row.text(1)?,
            part: PartId(row.int(2)?),
            lots: usize::try_from(row.int(3)?).unwrap_or_default(),
            last: row.maybe_day(4)?,
        })
    };
    rows.iter().map(read).collect()
}

/// What was used of each part since a day: on engines and over the counter.
pub fn used_since(books: &Open<'_>, day: Day) -> Result<BTreeMap<PartId, Money>, Error> {
    let rows = books.rows(
        "SELECT l.part, SUM(e.value) FROM document d \
         JOIN entry e ON e.id >= d.first_entry AND e.id < d.first_entry + d.entries JOIN lot l ON l.id = e.lot \
         WHERE d.day >= $1 AND e.law / 10000 <> 90 AND e.to_place / 1000000 IN (20, 22) GROUP BY l.part",
        &values![day],
    )?;
    rows.iter()
        .map(|row| Ok((PartId(row.int(0)?), row.money(1)?)))
        .collect()
}

/// What lies of each part on the shelves, by its cost layers.
pub fn lying_value(books: &Open<'_>) -> Result<BTreeMap<PartId, Money>, Error> {
    let rows = books.rows(
        "SELECT part, SUM(value) FROM layer WHERE qty > 0 GROUP BY part",
        &[],
    )?;
    rows.iter()
        .map(|row| Ok((PartId(row.int(0)?), row.money(1)?)))
        .collect()
}

/// How each class is counted: as the shop says, else as usual.
pub fn count_rules(books: &Open<'_>) -> Result<BTreeMap<Class, CountRule>, Error> {
    let mut rules = BTreeMap::new();
    for class in CLASSES {
        let mut rule = CountRule::usual(class);
        let sql = "SELECT name, text FROM class_rule WHERE class = $1";
        for row in books.rows(sql, &values![class.letter()])? {
            let (name, text) = (row.text(0)?, row.text(1)?);
            let strange = || Error::Strange {
                what: "rule of counting",
                found: text.clone(),
            };
            match name.as_str() {
                "count days" => rule.days = text.parse().map_err(|_| strange())?,
                "count tolerance" => {
                    let percent: Decimal = text.parse().map_err(|_| strange())?;
                    rule.tolerance_percent = Some(percent);
                }
                _ => {}
            }
        }
        rules.insert(class, rule);
    }
    Ok(rules)
}

/// Who counted a lot in a place last and found a difference that moved nothing, so that another is to count it.
pub fn counted_before(books: &Open<'_>, place: PlaceId, lot: LotId) -> Result<Option<String>, Error> {
    let row = books.row(
        "SELECT d.by, c.book <> c.counted AND NOT EXISTS (SELECT 1 FROM entry e WHERE e.document = c.document \
           AND e.lot = c.lot) FROM count_line c JOIN document d ON d.id = c.document \
         WHERE c.place = $1 AND c.lot = $2 ORDER BY c.id DESC LIMIT 1",
        &values![place.0, lot.0],
    )?;
    let Some(row) = row else { return Ok(None) };
    Ok((row.int(1)? == 1).then_some(row.text(0)?))
}

/// A line that was counted: when, which part, what the book said and what was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WasCounted {
    /// When.
    pub day: Day,
    /// Which part.
    pub part: PartId,
    /// What the book said.
    pub book: Qty,
    /// What was found.
    pub counted: Qty,
}

/// Every line counted since a day, by day; counts that were taken back are left out.
pub fn counted_since(books: &Open<'_>, day: Day) -> Result<Vec<WasCounted>, Error> {
    let rows = books.rows(
        "SELECT d.day, l.part, c.book, c.counted FROM count_line c JOIN document d ON d.id = c.document \
         JOIN lot l ON l.id = c.lot WHERE d.day >= $1 \
         AND NOT EXISTS (SELECT 1 FROM document x WHERE x.contra = d.id) ORDER BY d.day, c.id",
        &values![day],
    )?;
    let read = |row: &Row| {
        Ok(WasCounted {
            day: row.day(0)?,
            part: PartId(row.int(1)?),
            book: row.qty(2)?,
            counted: row.qty(3)?,
        })
    };
    rows.iter().map(read).collect()
}
