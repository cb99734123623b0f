//! The goods-received note: what was ordered, what the delivery note says, what was counted, what is still to come.

use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::PartId;
use crate::domain::stores::law::Movement;
use crate::domain::stores::posting::{Entry, Posting};
use crate::domain::stores::stock::Stock;
use crate::print::words::{count, measured};

/// How a last day is known that the pack itself bears.
pub const PRINTED: &str = "printed on the pack";

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
    /// What the delivery note says came.
    pub on_note: Option<Qty>,
}

/// What came in, as which lots, and what is still to come: the answer.
pub fn answer(stock: &Stock, posting: &Posting, lines: &[Came], order: &str) -> Result<String, Refusal> {
    let booked: Vec<&Entry> = posting
        .entries
        .iter()
        .filter(|entry| entry.movement == Movement::BookIn)
        .collect();
    let first = booked.first().ok_or(Refusal::Nothing)?;
    let part = stock.part_of(first.lot)?;
    // What is held for the inspector went on into the cage.
    let lies = |lot| {
        let last = posting.entries.iter().rfind(|entry| entry.lot == lot);
        stock.place(last.map_or(first.to, |entry| entry.to))
    };
    let came = match booked.as_slice() {
        [one] => format!(
            "{} of {} in {}, lot {}",
            measured(one.qty, part.unit),
            part.number,
            lies(one.lot)?.code,
            stock.lot(one.lot)?.number
        ),
        several => format!("{} in {}", count(several.len(), "lot"), lies(first.lot)?.code),
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

/// How the last day of each lot that came was worked out, or why it has none; no line where the pack bears the day.
pub fn worked_out(stock: &Stock, posting: &Posting) -> Result<Vec<String>, Refusal> {
    let mut text = Vec::new();
    for made in &posting.lots {
        let lot = stock.lot(made.id)?;
        let Some(how) = lot.expiry_how.as_ref().filter(|how| !how.starts_with(PRINTED)) else {
            continue;
        };
        text.push(match lot.expiry {
            Some(last) => format!("lot {}: last day {last}: {how}", lot.number),
            None => format!("lot {}: {how}", lot.number),
        });
    }
    Ok(text)
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
