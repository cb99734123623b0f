//! What two rooms show of an order to a supplier.

use crate::cmd::error::Failure;
use crate::cmd::shop::Scene;
use crate::db::stores::orders::{Order, order_numbered, orders};
use crate::domain::refusal::Refusal;
use crate::print::stores::order_sheet::{OrderSheet, SheetLine};

/// The order of this number.
pub fn order_called(scene: &Scene<'_, '_>, number: &str) -> Result<Order, Failure> {
    if let Some(order) = order_numbered(scene.books, number)? {
        return Ok(order);
    }
    let open = orders(scene.books, false)?;
    Err(Refusal::Unknown {
        what: "order",
        asked: number.to_owned(),
        near: open.into_iter().map(|order| order.number).collect(),
    }
    .into())
}

/// The lines of an order as its sheet shows them.
pub fn sheet_lines(scene: &Scene<'_, '_>, order: &Order) -> Result<Vec<SheetLine>, Failure> {
    let mut facts = scene.gather()?;
    let mut lines = Vec::new();
    for line in &order.lines {
        facts.part(line.part)?;
        lines.push(SheetLine {
            n: line.n,
            part: facts.so_far().part(line.part)?.clone(),
            ordered: line.ordered,
            on_note: line.on_notes,
            counted: line.arrived,
            accepted: line.accepted,
            rejected: line.rejected(),
            waiting: line.waiting,
            closed: line.closed,
            owed: line.owed(),
            promised: line.promised,
            value: line.value,
        });
    }
    Ok(lines)
}

/// The sheet of an order.
pub fn sheet<'a>(scene: &Scene<'_, '_>, order: &'a Order, lines: &'a [SheetLine]) -> OrderSheet<'a> {
    OrderSheet {
        number: &order.number,
        supplier: &order.supplier_name,
        open: order.state == "open",
        lines,
        currency: scene.currency,
        day: scene.day,
        blind: false,
        priced: true,
    }
}
