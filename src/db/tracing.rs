//! What the inspector asks of the books: the documents, and the bin cards.

pub mod lot_life;

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::{Row, values};
use crate::db::written::number;
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::ids::{JobId, LotId, PartId, PlaceId};
use std::collections::BTreeMap;

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

/// Which documents are asked for: all of what is said must fit.
#[derive(Clone, Copy, Debug, Default)]
pub struct Filter<'a> {
    /// That of one operation.
    pub op: Option<&'a str>,
    /// Those about one job.
    pub job: Option<JobId>,
    /// Those of one person's initials.
    pub by: Option<&'a str>,
    /// Those that moved lots of one part, or promised them.
    pub part: Option<PartId>,
    /// Those that brought lots to one place or took them away, or held it.
    pub place: Option<PlaceId>,
    /// That of one id.
    pub id: Option<i64>,
}

/// The newest documents that fit, newest first, no more than `most`.
pub fn documents(books: &Open<'_>, filter: &Filter<'_>, most: i64) -> Result<Vec<Logged>, Error> {
    let rows = books.rows(
        "SELECT d.kind, d.id, d.day, d.at, d.by, j.number, d.reason, d.entries, u.kind, u.id, c.kind, c.id \
         FROM document d LEFT JOIN job j ON j.id = d.job LEFT JOIN document u ON u.contra = d.id \
         LEFT JOIN document c ON c.id = d.contra \
         WHERE (CAST($1 AS TEXT) IS NULL OR d.op = $1) AND (CAST($2 AS INTEGER) IS NULL OR d.job = $2) \
         AND (CAST($3 AS TEXT) IS NULL OR d.by = $3) AND (CAST($4 AS INTEGER) IS NULL OR d.id IN ( \
           SELECT e.document FROM lot l JOIN entry e ON e.lot = l.id WHERE l.part = $4 \
           UNION SELECT p.document FROM job_line n JOIN claim p ON p.line = n.id WHERE n.part = $4)) \
         AND (CAST($6 AS INTEGER) IS NULL OR d.id IN ( \
           SELECT e.document FROM balance b JOIN entry e ON e.lot = b.lot \
           WHERE b.place = $6 AND (e.from_place = $6 OR e.to_place = $6) \
           UNION SELECT h.document FROM hold h WHERE h.place = $6)) \
         AND (CAST($7 AS INTEGER) IS NULL OR d.id = $7) ORDER BY d.id DESC LIMIT $5",
        &values![
            filter.op,
            filter.job.map(|job| job.0),
            filter.by,
            filter.part.map(|part| part.0),
            most,
            filter.place.map(|place| place.0),
            filter.id
        ],
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
    /// What came in; nothing where it went out.
    pub came_in: Qty,
    /// What went out; nothing where it came in.
    pub went_out: Qty,
    /// What was left after it.
    pub left: Qty,
    /// Whose initials.
    pub by: String,
}

/// A bin card.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Card {
    /// The unit that it counts in; none for a place that had several parts, whose sums say nothing.
    pub unit: Option<String>,
    /// What there was before the first day asked for.
    pub brought_forward: Qty,
    /// Its lines, in the order in which they were written.
    pub lines: Vec<CardLine>,
}

impl Card {
    /// What is left at the end.
    pub fn left(&self) -> Qty {
        self.lines.last().map_or(self.brought_forward, |line| line.left)
    }
}

/// The lines of bin cards that a condition picks out, oldest first; the condition is a part of the program's text.
macro_rules! lines {
    ($condition:literal) => {
        concat!(
            "SELECT d.day, d.kind, d.id, l.number, f.code, t.code, e.qty, e.from_place, e.to_place, d.by, p.number, p.unit \
             FROM entry e JOIN document d ON d.id = e.document JOIN lot l ON l.id = e.lot JOIN part p ON p.id = l.part \
             JOIN place f ON f.id = e.from_place JOIN place t ON t.id = e.to_place WHERE e.qty > 0 AND ",
            $condition,
            " ORDER BY e.id"
        )
    };
}

/// The card of a part, a lot or a place, from a day on where one is given; what was dated before is brought forward.
///
/// A place's card counts what came there and what left it. A part's or a lot's card counts what crosses the wall round
/// shelves and bench, so that what is left is what is on the shelf; a move from bin to bin is no line of it. Lines stand
/// in the order in which they were written, whatever day they bear, and a line of value alone is none.
pub fn card(books: &Open<'_>, of: CardOf, from_day: Option<Day>) -> Result<Card, Error> {
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
    let mut card = Card {
        unit: None,
        brought_forward: Qty::ZERO,
        lines: Vec::new(),
    };
    let mut parts = BTreeMap::new();
    let mut later = Vec::new();
    for row in rows? {
        let Some(line) = card_line(&row, of)? else {
            continue;
        };
        parts.insert(row.text(10)?, row.text(11)?);
        if from_day.is_some_and(|first| line.day < first) {
            card.brought_forward += line.came_in - line.went_out;
        } else {
            later.push(line);
        }
    }
    let mut left = card.brought_forward;
    for mut line in later {
        left += line.came_in - line.went_out;
        line.left = left;
        card.lines.push(line);
    }
    if parts.len() == 1 {
        card.unit = parts.into_values().next();
    }
    Ok(card)
}

/// A line of a card, what is left still to be counted; none where nothing crosses what the card is about.
fn card_line(row: &Row, of: CardOf) -> Result<Option<CardLine>, Error> {
    let at = |id: i64| match of {
        CardOf::Place(place) => id == place.0,
        CardOf::Part(_) | CardOf::Lot(_) => PlaceId(id).pickable(),
    };
    let (from, to, qty) = (at(row.int(7)?), at(row.int(8)?), row.qty(6)?);
    let counted = |crosses: bool| if crosses { qty } else { Qty::ZERO };
    if from == to {
        return Ok(None);
    }
    Ok(Some(CardLine {
        day: row.day(0)?,
        document: number(&row.text(1)?, row.int(2)?)?,
        kind: row.text(1)?,
        lot: row.text(3)?,
        from: row.text(4)?,
        to: row.text(5)?,
        came_in: counted(to),
        went_out: counted(from),
        left: Qty::ZERO,
        by: row.text(9)?,
    }))
}

/// A lot by its number, and the number of its part and its unit.
pub fn lot_numbered(books: &Open<'_>, number: &str) -> Result<Option<(LotId, String, String)>, Error> {
    let sql = "SELECT l.id, p.number, p.unit FROM lot l JOIN part p ON p.id = l.part WHERE l.number = $1";
    let row = books.row(sql, &values![number.to_uppercase()])?;
    row.map(|row| Ok((LotId(row.int(0)?), row.text(1)?, row.text(2)?)))
        .transpose()
}

/// The day of the first document, if there is one.
pub fn first_day(books: &Open<'_>) -> Result<Option<Day>, Error> {
    let row = books.row("SELECT day FROM document WHERE id = 1", &[])?;
    row.map(|row| row.day(0)).transpose()
}

/// A lot that came into the books later than a day: its number, and the day it came.
pub fn came_after(books: &Open<'_>, lot: LotId, day: Day) -> Result<Option<(String, Day)>, Error> {
    let row = books.row(
        "SELECT l.number, d.day FROM lot l JOIN document d ON d.id = l.document WHERE l.id = $1 AND d.day > $2",
        &values![lot.0, day],
    )?;
    row.map(|row| Ok((row.text(0)?, row.day(1)?))).transpose()
}
