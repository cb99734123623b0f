//! The goods-received note: what was ordered, what the delivery note says, what was counted, what is still to come.

use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::PartId;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::{count, measured};

/// A line of an order on which something comes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Came {
    /// Its number on the order.
    pub n: i64,
    /// Which part.
    pub part: PartId,
    /// How much was ordered.
    pub ordered: Qty,
    /// How much came: so far, or now.
    pub arrived: Qty,
    /// How much is still to come.
    pub still_open: Qty,
    /// When it was promised.
    pub promised: Option<Day>,
    /// What the delivery note says came.
    pub on_note: Option<Qty>,
}

/// An order with its lines, to be answered by their numbers.
pub fn order_sheet(
    stock: &Stock,
    lines: &[Came],
    order: &str,
    supplier: &str,
    mut paper: Paper,
) -> Result<Paper, Refusal> {
    let open = lines.iter().filter(|line| line.still_open.is_positive()).count();
    paper.answer = format!("{order}, {supplier}: {} still to come", count(open, "line"));
    let mut table = Table::new(
        format!("order {order}"),
        &[
            ("n", "no"),
            ("part", "part"),
            ("name", "name"),
            ("ordered", "ordered"),
            ("arrived", "booked in"),
            ("open", "still to come"),
            ("promised", "promised"),
        ],
    )
    .spare(&["name"])
    .quantities(&["ordered", "arrived", "open"]);
    for line in lines {
        let part = stock.part(line.part)?;
        let qty = |qty: Qty| Cell::Qty(qty, part.unit.to_string());
        table.row(vec![
            Cell::Count(line.n),
            Cell::text(part.number.clone()),
            Cell::text(part.name.clone()),
            qty(line.ordered),
            qty(line.arrived),
            qty(line.still_open),
            line.promised.map_or(Cell::Empty, Cell::Day),
        ]);
    }
    paper.tables.push(table);
    if open > 0 {
        paper.next.push(format!(
            "bincard goods-in {order} LINE=QTY --by INITIALS   books in what came"
        ));
    }
    Ok(paper)
}

/// What came in, as which lots, and what is still to come: the answer.
pub fn answer(stock: &Stock, posting: &Posting, lines: &[Came], order: &str) -> Result<String, Refusal> {
    let first = posting.entries.first().ok_or(Refusal::Nothing)?;
    let part = stock.part_of(first.lot)?;
    let came = match posting.entries.as_slice() {
        [one] => format!(
            "{} of {} in {}, lot {}",
            measured(one.qty, part.unit),
            part.number,
            stock.place(one.to)?.code,
            stock.lot(one.lot)?.number
        ),
        several => format!(
            "{} in {}",
            count(several.len(), "lot"),
            stock.place(first.to)?.code
        ),
    };
    Ok(match lines {
        [] => came,
        [line] => format!(
            "{came}; {} still to come on {order}",
            measured(line.still_open, part.unit)
        ),
        several => {
            let open = several
                .iter()
                .filter(|line| line.still_open.is_positive())
                .count();
            format!("{came}; {} of {order} still open", count(open, "line"))
        }
    })
}

/// What to write to the supplier where the delivery note says another number than was counted.
pub fn claim(stock: &Stock, lines: &[Came], order: &str, supplier: &str) -> Result<Vec<String>, Refusal> {
    let mut text = Vec::new();
    for line in lines {
        let Some(on_note) = line.on_note.filter(|on_note| *on_note != line.arrived) else {
            continue;
        };
        let part = stock.part(line.part)?;
        let (word, by) = if on_note > line.arrived {
            ("SHORT", on_note - line.arrived)
        } else {
            ("OVER", line.arrived - on_note)
        };
        text.push(format!(
            "{word} by {}: {order} line {} {}: the note says {on_note}, {} counted. Tell {supplier}",
            measured(by, part.unit),
            line.n,
            part.number,
            line.arrived
        ));
    }
    Ok(text)
}
