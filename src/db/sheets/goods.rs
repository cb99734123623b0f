//! Goods as rows of a file: what lies in the house, what was brought forward from old cards, what is still to come.

use super::Standing;
use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::{Row, values};
use crate::domain::measure::rounding::{Rule, divide};
use crate::domain::measure::{Money, Qty};
use std::collections::HashMap;

/// Quantity and value that several rows share, as far as they are not given out yet.
#[derive(Clone, Copy, Debug, Default)]
struct Pool {
    qty: Qty,
    value: Money,
}

impl Pool {
    /// The share of a quantity, rounded half away from zero to a millionth; the last takes what is left.
    fn draw(&mut self, qty: Qty) -> Money {
        let share = if qty >= self.qty {
            self.value
        } else {
            share(self.value, qty, self.qty)
        };
        self.qty -= qty;
        self.value -= share;
        share
    }
}

/// What part of a value falls to a part of a quantity above zero.
fn share(value: Money, qty: Qty, of: Qty) -> Money {
    let whole = i128::from(value.millionths()) * i128::from(qty.millionths());
    let share = divide(whole, i128::from(of.millionths()), Rule::HalfAway);
    // The share of a 64-bit value is no more than the value.
    i64::try_from(share).map_or(value, Money::from_millionths)
}

/// What lies on shelves, the bench, in receiving and in quarantine, where goods are brought forward to: a row for each
/// lot and place.
///
/// A lot's value on several shelves is shared among them by quantity, and so is what lots value together.
pub fn shelves(books: &Open<'_>) -> Result<Vec<Standing>, Error> {
    let mut own: HashMap<i64, Pool> = HashMap::new();
    let mut shared: HashMap<i64, Pool> = HashMap::new();
    for row in books.rows(
        "SELECT part, lot, shared, qty, value FROM layer WHERE qty > 0",
        &[],
    )? {
        let pool = if row.flag(2)? {
            shared.entry(row.int(0)?).or_default()
        } else {
            own.entry(row.int(1)?).or_default()
        };
        pool.qty += row.qty(3)?;
        pool.value += row.money(4)?;
    }
    let rows = books.rows(
        "SELECT l.id, l.part, b.place / 1000000, b.value, b.qty, p.number, q.code, l.batch, l.serial, l.expiry, \
         l.condition, o.code, l.maker, l.made FROM lot l JOIN balance b ON b.lot = l.id JOIN part p ON p.id = l.part \
         JOIN place q ON q.id = b.place LEFT JOIN place o ON o.id = l.owner \
         WHERE b.qty > 0 AND b.place / 1000000 IN (1, 2, 3, 4) ORDER BY l.id, b.place",
        &[],
    )?;
    let mut standing = Vec::new();
    for row in rows {
        let (lot, part, qty) = (row.int(0)?, row.int(1)?, row.qty(4)?);
        let value = match own.get_mut(&lot).or_else(|| shared.get_mut(&part)) {
            Some(pool) if row.int(2)? == 2 => pool.draw(qty),
            _ => row.money(3)?,
        };
        standing.push(goods(&row, qty, value)?);
    }
    Ok(standing)
}

/// How many lots lie in the house where nothing is brought forward to: in the red bin, in kits, in crates, and away.
pub fn elsewhere(books: &Open<'_>) -> Result<i64, Error> {
    let sql = "SELECT COUNT(DISTINCT lot) FROM balance WHERE qty > 0 AND place / 1000000 IN (5, 6, 7, 8)";
    books.row(sql, &[])?.map_or(Ok(0), |row| row.int(0))
}

/// What was brought forward from old cards and not taken back, a row for each lot, as the file had it.
pub fn brought_forward(books: &Open<'_>) -> Result<Vec<Standing>, Error> {
    let rows = books.rows(
        "SELECT l.id, l.part, 0, e.value, e.qty, p.number, q.code, l.batch, l.serial, l.expiry, l.condition, o.code, \
         l.maker, l.made FROM entry e JOIN lot l ON l.id = e.lot JOIN part p ON p.id = l.part \
         JOIN place q ON q.id = e.to_place LEFT JOIN place o ON o.id = l.owner \
         WHERE e.from_place / 1000000 = 34 AND e.law / 10000 <> 90 \
         AND NOT EXISTS (SELECT 1 FROM document u WHERE u.contra = e.document) ORDER BY e.id",
        &[],
    )?;
    rows.iter()
        .map(|row| goods(row, row.qty(4)?, row.money(3)?))
        .collect()
}

/// The cells of a row of goods.
fn goods(row: &Row, qty: Qty, value: Money) -> Result<Standing, Error> {
    let mut cells = vec![row.text(5)?, row.text(6)?, qty.to_string(), value.in_full()];
    for at in 7..14 {
        cells.push(row.maybe_text(at)?.unwrap_or_default());
    }
    Ok(Standing {
        id: row.int(0)?,
        cells,
    })
}

/// The lines of orders as they were written.
pub fn ordered(books: &Open<'_>) -> Result<Vec<Standing>, Error> {
    order_lines(books)?
        .iter()
        .map(|row| order_cells(row, row.qty(5)?, row.money(6)?))
        .collect()
}

/// What came of a line of an order, and what is promised out of it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Arrived {
    /// How much was ordered.
    pub ordered: Qty,
    /// What all of it costs.
    pub value: Money,
    /// How much was booked in.
    pub arrived: Qty,
    /// How much was closed short.
    pub closed: Qty,
    /// How much was booked in and accepted.
    pub accepted: Qty,
    /// How much of what is still to come is promised to jobs.
    pub pegged: Qty,
}

/// What came of the line of this number.
pub fn arrived(books: &Open<'_>, line: i64) -> Result<Option<Arrived>, Error> {
    let sql = "SELECT ordered, value, arrived, closed, accepted, pegged FROM order_line WHERE id = $1";
    let row = books.row(sql, &values![line])?;
    let read = |row: Row| {
        Ok(Arrived {
            ordered: row.qty(0)?,
            value: row.money(1)?,
            arrived: row.qty(2)?,
            closed: row.qty(3)?,
            accepted: row.qty(4)?,
            pegged: row.qty(5)?,
        })
    };
    row.map(read).transpose()
}

/// What is still to come on the lines of open orders, with its share of the line's value.
pub fn on_order(books: &Open<'_>) -> Result<Vec<Standing>, Error> {
    let mut standing = Vec::new();
    for row in order_lines(books)? {
        let ordered = row.qty(5)?;
        let to_come = ordered - row.qty(8)? - row.qty(9)?;
        if to_come > Qty::ZERO && row.text(10)? == "open" {
            standing.push(order_cells(
                &row,
                to_come,
                share(row.money(6)?, to_come, ordered),
            )?);
        }
    }
    Ok(standing)
}

fn order_lines(books: &Open<'_>) -> Result<Vec<Row>, Error> {
    books.rows(
        "SELECT l.id, o.number, s.code, o.day, p.number, l.ordered, l.value, l.promised, l.closed, l.arrived, o.state \
         FROM order_line l JOIN supplier_order o ON o.id = l.supplier_order JOIN place s ON s.id = o.supplier \
         JOIN part p ON p.id = l.part ORDER BY o.id, l.n",
        &[],
    )
}

/// The cells of an order's line.
fn order_cells(row: &Row, qty: Qty, value: Money) -> Result<Standing, Error> {
    let cells = vec![
        row.text(1)?,
        row.text(2)?,
        row.text(3)?,
        row.text(4)?,
        qty.to_string(),
        value.in_full(),
        row.maybe_text(7)?.unwrap_or_default(),
    ];
    Ok(Standing {
        id: row.int(0)?,
        cells,
    })
}
