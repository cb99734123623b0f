//! What the inspector asks of the books: the documents, and the bin cards.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::{Row, values};
use crate::db::written::number;
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::ids::{LotId, PartId, PlaceId};

/// A document as the log tells it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Logged {
    /// Its number.
    pub number: String,
    /// Its kind.
    pub kind: String,
    /// The day it happened.
    pub day: Day,
    /// When it was written.
    pub at: String,
    /// Whose initials.
    pub by: String,
    /// The job it is about.
    pub job: Option<String>,
    /// Why.
    pub reason: Option<String>,
    /// How many lines of bin cards it wrote.
    pub entries: i64,
    /// The document that undid it.
    pub undone_by: Option<String>,
    /// The document it undoes.
    pub undoes: Option<String>,
}

/// The newest documents, newest first; of one operation or one job only, where asked.
pub fn documents(
    books: &Open<'_>,
    op: Option<&str>,
    job: Option<i64>,
    most: i64,
) -> Result<Vec<Logged>, Error> {
    let rows = books.rows(
        "SELECT d.kind, d.id, d.day, d.at, d.by, j.number, d.reason, d.entries, u.kind, u.id, c.kind, c.id \
         FROM document d LEFT JOIN job j ON j.id = d.job LEFT JOIN document u ON u.contra = d.id \
         LEFT JOIN document c ON c.id = d.contra \
         WHERE (CAST($1 AS TEXT) IS NULL OR d.op = $1) AND (CAST($2 AS INTEGER) IS NULL OR d.job = $2) \
         ORDER BY d.id DESC LIMIT $3",
        &values![op, job, most],
    )?;
    rows.iter().map(logged).collect()
}

fn logged(row: &Row) -> Result<Logged, Error> {
    let other = |kind: usize, id: usize| match (row.maybe_text(kind)?, row.maybe_int(id)?) {
        (Some(kind), Some(id)) => number(&kind, id).map(Some),
        _ => Ok(None),
    };
    Ok(Logged {
        number: number(&row.text(0)?, row.int(1)?)?,
        kind: row.text(0)?,
        day: row.day(2)?,
        at: row.text(3)?,
        by: row.text(4)?,
        job: row.maybe_text(5)?,
        reason: row.maybe_text(6)?,
        entries: row.int(7)?,
        undone_by: other(8, 9)?,
        undoes: other(10, 11)?,
    })
}

/// Whose card.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CardOf {
    /// A part's: what came onto shelves and bench and left them.
    Part(PartId),
    /// A lot's: the same, of one lot.
    Lot(LotId),
    /// A place's: what came there and left.
    Place(PlaceId),
}

/// A line of a bin card.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CardLine {
    /// The day it happened.
    pub day: Day,
    /// The document.
    pub document: String,
    /// What happened.
    pub kind: String,
    /// The lot.
    pub lot: String,
    /// From whom.
    pub from: String,
    /// To whom.
    pub to: String,
    /// What came in, above nothing, or went out, below.
    pub change: Qty,
    /// Whose initials.
    pub by: String,
}

/// The lines of bin cards that a condition picks out, oldest first; the condition is a part of the program's text.
macro_rules! lines {
    ($condition:literal) => {
        concat!(
            "SELECT d.day, d.kind, d.id, l.number, f.code, t.code, e.qty, e.from_place, e.to_place, d.by \
             FROM entry e JOIN document d ON d.id = e.document JOIN lot l ON l.id = e.lot \
             JOIN place f ON f.id = e.from_place JOIN place t ON t.id = e.to_place WHERE e.qty > 0 AND ",
            $condition,
            " ORDER BY e.id"
        )
    };
}

/// Every line of a card, oldest first. A part's or a lot's card counts what crosses the wall of shelves and bench, so
/// that its last balance is what is on the shelf; a move from bin to bin is no line of it.
pub fn card(books: &Open<'_>, of: CardOf) -> Result<Vec<CardLine>, Error> {
    let rows = match of {
        CardOf::Part(part) => {
            books.rows(lines!("e.lot IN (SELECT x.id FROM lot x WHERE x.part = $1)"), &values![part.0])
        }
        CardOf::Lot(lot) => books.rows(lines!("e.lot = $1"), &values![lot.0]),
        CardOf::Place(place) => books.rows(
            lines!("e.lot IN (SELECT b.lot FROM balance b WHERE b.place = $1) AND (e.from_place = $1 OR e.to_place = $1)"),
            &values![place.0],
        ),
    };
    let at = |id: i64| match of {
        CardOf::Place(place) => id == place.0,
        CardOf::Part(_) | CardOf::Lot(_) => PlaceId(id).pickable(),
    };
    let mut lines = Vec::new();
    for row in rows? {
        let (from, to) = (at(row.int(7)?), at(row.int(8)?));
        if from != to {
            let qty = row.qty(6)?;
            lines.push(CardLine {
                day: row.day(0)?,
                document: number(&row.text(1)?, row.int(2)?)?,
                kind: row.text(1)?,
                lot: row.text(3)?,
                from: row.text(4)?,
                to: row.text(5)?,
                change: if to { qty } else { -qty },
                by: row.text(9)?,
            });
        }
    }
    Ok(lines)
}

/// A lot by its number, and the number of its part and its unit.
pub fn lot_numbered(books: &Open<'_>, number: &str) -> Result<Option<(LotId, String, String)>, Error> {
    let sql = "SELECT l.id, p.number, p.unit FROM lot l JOIN part p ON p.id = l.part WHERE l.number = $1";
    let row = books.row(sql, &values![number.to_uppercase()])?;
    row.map(|row| Ok((LotId(row.int(0)?), row.text(1)?, row.text(2)?)))
        .transpose()
}

/// A place by its code.
pub fn place_coded(books: &Open<'_>, code: &str) -> Result<Option<(PlaceId, String)>, Error> {
    let row = books.row("SELECT id, name FROM place WHERE code = $1", &values![code])?;
    row.map(|row| Ok((PlaceId(row.int(0)?), row.text(1)?)))
        .transpose()
}
