//! A bin counted: what is short is lost, what is over is found, and every line is kept, also where nothing differed.

use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{LotId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::posting::Posting;
use crate::domain::stores::record::{Record, Table};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::enter::Move;

/// What was counted of one lot.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Counted {
    /// Which lot.
    pub lot: LotId,
    /// How much the counter found.
    pub counted: Qty,
}

/// The list that a count answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CountList {
    /// The bin.
    pub place: PlaceId,
    /// The last document in the books when the list was printed: its number.
    pub marked_at: i64,
    /// The number of the first line that the books keep of it.
    pub first_line: i64,
}

/// Posts the differences of a count against the book: short is loss, over is gain. Where anything differs, the head
/// bears the cause.
pub fn count(stock: &Stock, head: Head, list: CountList, lines: &[Counted]) -> Result<Posting, Refusal> {
    let cause = head.reason.clone();
    let scales = PlaceId::of(Kind::Counted, 1);
    let mut draft = Draft::new(stock, head);
    for (number, line) in (list.first_line..).zip(lines) {
        let book = stock.balance(line.lot, list.place).qty;
        let lot = &stock.lot(line.lot)?.number;
        if line.counted < Qty::ZERO {
            return Err(Refusal::Impossible {
                what: format!("lot {lot}"),
                because: "nothing counts less than none".to_owned(),
            });
        }
        if line.counted != book && cause.is_none() {
            return Err(Refusal::Impossible {
                what: format!("lot {lot}"),
                because: format!(
                    "the book says {book}, {} was counted, and no cause is given",
                    line.counted
                ),
            });
        }
        let moved = if line.counted < book {
            Some(Move::new(
                Movement::Loss,
                line.lot,
                list.place,
                scales,
                book - line.counted,
            ))
        } else if line.counted > book {
            Some(Move::new(
                Movement::Gain,
                line.lot,
                scales,
                list.place,
                line.counted - book,
            ))
        } else {
            None
        };
        if let Some(moved) = moved {
            draft.go(&moved)?;
        }
        draft.posting.records.push(Record {
            table: Table::CountLine,
            data: vec![
                number.into(),
                list.place.0.into(),
                line.lot.0.into(),
                list.marked_at.into(),
                book.into(),
                line.counted.into(),
                cause.clone().filter(|_| line.counted != book).into(),
            ],
        });
    }
    draft.finish()
}
