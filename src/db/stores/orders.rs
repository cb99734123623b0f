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
    /// How much was accepted.
    pub accepted: Qty,
    /// How much waits in receiving to be inspected.
    pub waiting: Qty,
    /// What the delivery notes said came, together; nothing where nobody said.
    pub on_notes: Option<Qty>,
}

impl Line {
    /// What was counted and not accepted, as far as it was looked at.
    pub fn rejected(&self) -> Qty {
        (self.arrived - self.accepted - self.waiting).max(Qty::ZERO)
    }

    /// What the order still owes: not accepted and not waiting to be.
    pub fn owed(&self) -> Qty {
        (self.ordered - self.closed - self.accepted - self.waiting).max(Qty::ZERO)
    }

    /// What has not come yet; nothing where more came than was ordered.
    pub fn still_open(&self) -> Qty {
        (self.ordered - self.closed - self.arrived).max(Qty::ZERO)
    }
}

/// The order of this number, however it is capitalised.
pub fn order_numbered(books: &Open<'_>, number: &str) -> Result<Option<Order>, Error> {
    let sql = "SELECT o.id, o.number, o.supplier, p.name, o.state FROM supplier_order o JOIN place p ON p.id = o.supplier \
               WHERE o.number = $1 OR o.number = $2";
    let row = books.row(sql, &values![number, number.to_uppercase()])?;
    row.map(|row| order(books, &row)).transpose()
}

/// Every order, or the open ones, by number.
pub fn orders(books: &Open<'_>, all: bool) -> Result<Vec<Order>, Error> {
    let sql = "SELECT o.id, o.number, o.supplier, p.name, o.state FROM supplier_order o JOIN place p ON p.id = o.supplier \
               WHERE o.state = 'open' OR $1 = 1 ORDER BY o.number";
    let rows = books.rows(sql, &values![all])?;
    rows.iter().map(|row| order(books, row)).collect()
}

/// An order with its lines.
fn order(books: &Open<'_>, row: &Row) -> Result<Order, Error> {
    let id = row.int(0)?;
    // A lot's part is asked for as well, because lots are found by it.
    let lines = books.rows(
        "SELECT o.id, o.n, o.part, o.ordered, o.value, o.promised, o.closed, o.arrived, o.accepted, \
           (SELECT COALESCE(SUM(b.qty), 0) FROM lot l JOIN balance b ON b.lot = l.id \
             WHERE l.part = o.part AND l.order_line = o.id AND b.place / 1000000 = 1) \
         FROM order_line o WHERE o.supplier_order = $1 ORDER BY o.n",
        &values![id],
    )?;
    let mut found = Vec::new();
    for row in &lines {
        found.push(line(books, row)?);
    }
    Ok(Order {
        id: OrderId(id),
        number: row.text(1)?,
        supplier: PlaceId(row.int(2)?),
        supplier_name: row.text(3)?,
        state: row.text(4)?,
        lines: found,
    })
}

fn line(books: &Open<'_>, row: &Row) -> Result<Line, Error> {
    let id = OrderLineId(row.int(0)?);
    Ok(Line {
        id,
        n: row.int(1)?,
        part: PartId(row.int(2)?),
        ordered: row.qty(3)?,
        value: row.money(4)?,
        promised: row.maybe_day(5)?,
        closed: row.qty(6)?,
        arrived: row.qty(7)?,
        accepted: row.qty(8)?,
        waiting: row.qty(9)?,
        on_notes: on_notes(books, id)?,
    })
}

/// What the delivery notes of a line said, together.
fn on_notes(books: &Open<'_>, line: OrderLineId) -> Result<Option<Qty>, Error> {
    let sql = "SELECT text FROM note WHERE what = 'order_line' AND what_id = $1 AND topic = 'delivery note' \
               AND NOT EXISTS (SELECT 1 FROM document d WHERE d.contra = note.document)";
    let mut together = None;
    for row in books.rows(sql, &values![line.0])? {
        let said = row.text(0)?;
        let qty = Qty::parse(&said).map_err(|_| Error::Strange {
            what: "quantity of a delivery note",
            found: said,
        })?;
        together = Some(together.unwrap_or(Qty::ZERO) + qty);
    }
    Ok(together)
}

/// The number that the next order takes: one more than the highest of the form `ORD-` and digits.
pub fn next_number(books: &Open<'_>) -> Result<String, Error> {
    let rows = books.rows("SELECT number FROM supplier_order WHERE number LIKE 'ORD-%'", &[])?;
    let mut highest = 0_u32;
    for row in rows {
        let number = row.text(0)?;
        let digits = number.get(4..).and_then(|digits| digits.parse().ok());
        highest = highest.max(digits.unwrap_or(0));
    }
    Ok(format!("ORD-{}", highest.saturating_add(1)))
}

/// Who makes a part, as its record says; nothing where it says nothing.
pub fn maker_of(books: &Open<'_>, part: PartId) -> Result<Option<String>, Error> {
    let row = books.row("SELECT maker FROM part WHERE id = $1", &values![part.0])?;
    row.map_or(Ok(None), |row| row.maybe_text(0))
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
