//! Holds: what is held, why, since when; and where what was just held lies.

use crate::domain::measure::Day;
use crate::domain::refusal::Refusal;
use crate::domain::stores::law::Kind;
use crate::domain::stores::posting::{Held, Posting};
use crate::domain::stores::stock::Stock;
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::stores::slip::made_short;
use crate::print::table::Table;
use crate::print::words::count;

/// A live hold, in the words of people.
pub struct HoldLine {
    /// The document that put it on.
    pub document: String,
    /// The lot's number or the place's code.
    pub what: String,
    /// The lot's part; nothing for a place.
    pub part: String,
    /// Why.
    pub cause: String,
    /// Whose initials put it on.
    pub by: String,
    /// Since when.
    pub day: Day,
}

/// Every live hold.
pub fn hold_list(holds: &[HoldLine], mut paper: Paper) -> Paper {
    paper.answer = match holds.len() {
        0 => "nothing is on hold".to_owned(),
        some => count(some, "hold"),
    };
    let mut table = Table::new(
        "on hold",
        &[
            ("what", "lot or place"),
            ("part", "part"),
            ("cause", "why"),
            ("since", "since"),
            ("by", "by"),
            ("document", "document"),
        ],
    );
    for hold in holds {
        table.row(vec![
            Cell::text(hold.what.clone()),
            Cell::text(hold.part.clone()),
            Cell::text(hold.cause.clone()),
            Cell::Day(hold.day),
            Cell::text(hold.by.clone()),
            Cell::text(hold.document.clone()),
        ]);
    }
    paper.tables.push(table);
    if !holds.is_empty() {
        paper.next.push(
            "bincard hold LOT|BIN|DOCUMENT --lift --by INITIALS -w REASON   lifts, the inspector's decision"
                .to_owned(),
        );
    }
    paper
}

/// What was put on hold or lifted, and where each lot of it lies now: in the house, in kits, on engines.
pub fn hold_slip(stock: &Stock, posting: &Posting, mut paper: Paper) -> Result<Paper, Refusal> {
    let lifted = posting.holds.iter().any(|hold| hold.lifts.is_some());
    let verb = if lifted { "hold lifted" } else { "on hold" };
    let mut table = Table::new(
        verb,
        &[
            ("what", "lot or place"),
            ("part", "part"),
            ("where", "where"),
            ("qty", "qty"),
        ],
    )
    .quantities(&["qty"]);
    let (mut fitted, mut kitted) = (0, 0);
    for hold in &posting.holds {
        let lots: Vec<_> = match hold.on {
            Held::Lot(lot) => vec![lot],
            Held::Place(place) => {
                table.row(vec![
                    Cell::text(stock.place(place)?.code.clone()),
                    Cell::Empty,
                    Cell::text(stock.place(place)?.name.clone()),
                    Cell::Empty,
                ]);
                let there = |lot: &_| stock.balance(*lot, place).qty.is_positive();
                stock.lots.keys().copied().filter(there).collect()
            }
        };
        for lot in lots {
            for (place, balance) in stock.places_of(lot).filter(|(_, b)| b.qty.is_positive()) {
                if matches!(hold.on, Held::Place(held) if held != place) || place.may_be_owed() {
                    continue;
                }
                kitted += usize::from(place.is(Kind::Kit));
                fitted += usize::from(place.is(Kind::Engine));
                let part = stock.part_of(lot)?;
                table.row(vec![
                    Cell::text(stock.lot(lot)?.number.clone()),
                    Cell::text(part.number.clone()),
                    Cell::text(stock.place(place)?.code.clone()),
                    Cell::Qty(balance.qty, part.unit.to_string()),
                ]);
            }
        }
    }
    paper.answer = answer(stock, posting, verb)?;
    paper.tables.push(table);
    for (number, what, therefore) in [
        (kitted, "IN A KIT", "the kit cannot be issued with it"),
        (
            fitted,
            "ON AN ENGINE",
            "ring the customer; the engine's papers rule",
        ),
    ] {
        if number > 0 && !lifted {
            paper
                .cautions
                .push(format!("{what}: {}; {therefore}", count(number, "lot")));
        }
    }
    paper.notes.extend(made_short(stock, posting)?);
    Ok(paper)
}

/// "L000025X of ST-160 on hold: burr on the thread"; "3 lots on hold: recalled".
fn answer(stock: &Stock, posting: &Posting, verb: &str) -> Result<String, Refusal> {
    let cause = posting
        .holds
        .first()
        .map(|hold| hold.cause.clone())
        .unwrap_or_default();
    let what = match posting.holds.as_slice() {
        [one] => match one.on {
            Held::Lot(lot) => format!("{} of {}", stock.lot(lot)?.number, stock.part_of(lot)?.number),
            Held::Place(place) => stock.place(place)?.code.clone(),
        },
        several => {
            let lots = several
                .iter()
                .filter(|hold| matches!(hold.on, Held::Lot(_)))
                .count();
            match several.len() - lots {
                0 => count(lots, "lot"),
                places => count(places, "place"),
            }
        }
    };
    Ok(format!("{what} {verb}: {cause}"))
}
