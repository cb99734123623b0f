//! Orders to suppliers, as far as goods come in on them.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::{Row, values};
use crate::domain::measure::{Day, Money, Qty};
use crate::domain::stores::ids::{LotId, OrderId, OrderLineId, PartId, PlaceId};

/// An order to a supplier.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order {
    /// Under which number the books keep it.
    pub id: OrderId,
    /// Its number, as people write it.
    pub number: String,
    /// From whom.
    pub supplier: PlaceId,
    /// What the supplier is called.
    pub supplier_name: String,
    /// `open` or `closed`.
    pub state: String,
    /// Its lines by number.
    pub lines: Vec<Line>,
}

/// A line of an order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// Under which number the books keep it.
    pub id: OrderLineId,
    /// Its number on the order.
    pub n: i64,
    /// Which part.
    pub part: PartId,
    /// How much was ordered.
    pub ordered: Qty,
    /// What all of it costs.
    pub value: Money,
    /// When it was promised.
    pub promised: Option<Day>,
    /// How much was closed short.
    pub closed: Qty,
    /// How much was booked in.
    pub arrived: Qty,
}

impl Line {
    /// What has not come yet; nothing where more came than was ordered.
    pub fn still_open(&self) -> Qty {
        (self.ordered - self.closed - self.arrived).max(Qty::ZERO)
    }
}

/// The order of this number, however it is capitalised.
pub fn order_numbered(books: &Open<'_>, number: &str) -> Result<Option<Order>, Error> {
    let sql = "SELECT o.id, o.number, o.supplier, p.name, o.state FROM supplier_order o JOIN place p ON p.id = o.supplier \
               WHERE o.number = $1 OR o.number = $2";
    let Some(row) = books.row(sql, &values![number, number.to_uppercase()])? else {
        return Ok(None);
    };
    let id = row.int(0)?;
    let lines = books.rows(
        "SELECT id, n, part, ordered, value, promised, closed, arrived FROM order_line \
         WHERE supplier_order = $1 ORDER BY n",
        &values![id],
    )?;
    let lines: Result<Vec<Line>, Error> = lines.iter().map(line).collect();
    Ok(Some(Order {
        id: OrderId(id),
        number: row.text(1)?,
        supplier: PlaceId(row.int(2)?),
        supplier_name: row.text(3)?,
        state: row.text(4)?,
        lines: lines?,
    }))
}

fn line(row: &Row) -> Result<Line, Error> {
    Ok(Line {
        id: OrderLineId(row.int(0)?),
        n: row.int(1)?,
        part: PartId(row.int(2)?),
        ordered: row.qty(3)?,
        value: row.money(4)?,
        promised: row.maybe_day(5)?,
        closed: row.qty(6)?,
        arrived: row.qty(7)?,
    })
}

/// How long a part lasts on the shelf and who makes it, as its record says; nothing where it says nothing.
pub fn life_and_maker(books: &Open<'_>, part: PartId) -> Result<(Option<String>, Option<String>), Error> {
    let row = books.row("SELECT life, maker FROM part WHERE id = $1", &values![part.0])?;
    row.map_or(Ok((None, None)), |row| {
        Ok((row.maybe_text(0)?, row.maybe_text(1)?))
    })
}

/// The lot that bears a serial of a part already, by this maker or by one that nobody named.
pub fn lot_with_serial(
    books: &Open<'_>,
    part: PartId,
    maker: Option<&str>,
    serial: &str,
) -> Result<Option<LotId>, Error> {
    let row = books.row(
        "SELECT id FROM lot WHERE part = $1 AND serial = $2 \
         AND (maker = $3 OR maker IS NULL OR CAST($3 AS TEXT) IS NULL)",
        &values![part.0, serial, maker],
    )?;
    row.map(|row| Ok(LotId(row.int(0)?))).transpose()
}

/// The lots that a document made.
pub fn lots_made_by(books: &Open<'_>, document: i64) -> Result<Vec<LotId>, Error> {
    let rows = books.rows(
        "SELECT id FROM lot WHERE document = $1 ORDER BY id",
        &values![document],
    )?;
    rows.iter().map(|row| Ok(LotId(row.int(0)?))).collect()
}

/// Everything that waits to be inspected, by place and age.
pub fn waiting(books: &Open<'_>) -> Result<Vec<(LotId, PlaceId)>, Error> {
    let rows = books.rows(
        "SELECT lot, place FROM balance WHERE qty > 0 \
         AND ((place >= 1000000 AND place < 2000000) OR (place >= 4000000 AND place < 5000000)) ORDER BY place, lot",
        &[],
    )?;
    rows.iter()
        .map(|row| Ok((LotId(row.int(0)?), PlaceId(row.int(1)?))))
        .collect()
}

/// The bin where most of a part lies; nothing where it lies nowhere.
pub fn home_of(books: &Open<'_>, part: PartId) -> Result<Option<PlaceId>, Error> {
    let row = books.row(
        "SELECT b.place FROM lot l JOIN balance b ON b.lot = l.id \
         WHERE l.part = $1 AND b.place >= 2000000 AND b.place < 4000000 \
         GROUP BY b.place ORDER BY SUM(b.qty) DESC, b.place LIMIT 1",
        &values![part.0],
    )?;
    row.map(|row| Ok(PlaceId(row.int(0)?))).transpose()
}

/// A line of an order that should have come by a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Due {
    /// The order's number.
    pub order: String,
    /// The supplier's code.
    pub supplier: String,
    /// The part's number.
    pub part: String,
    /// What has not come yet, and in which unit.
    pub qty: (Qty, String),
    /// When it was promised.
    pub promised: Day,
}

/// The order lines promised for a day or earlier of which something has not come, the longest awaited first.
pub fn due_by(books: &Open<'_>, day: Day) -> Result<Vec<Due>, Error> {
    let rows = books.rows(
        "SELECT o.number, s.code, p.number, l.ordered - l.closed - l.arrived, p.unit, l.promised \
         FROM order_line l JOIN supplier_order o ON o.id = l.supplier_order JOIN place s ON s.id = o.supplier \
         JOIN part p ON p.id = l.part WHERE o.state = 'open' AND l.promised <= $1 \
         AND l.ordered - l.closed - l.arrived > 0 ORDER BY l.promised, o.number, l.n",
        &values![day],
    )?;
    let due = |row: &Row| {
        Ok(Due {
            order: row.text(0)?,
            supplier: row.text(1)?,
            part: row.text(2)?,
            qty: (row.qty(3)?, row.text(4)?),
            promised: row.day(5)?,
        })
    };
    rows.iter().map(due).collect()
}
