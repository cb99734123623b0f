//! A bin counted: what is short is lost, what is over is found, and every line is kept, also where nothing differed.

pub mod cycle;

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
use cycle::within;
use rust_decimal::Decimal;

/// What was counted of one lot.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Counted {
    /// Which lot.
    pub lot: LotId,
    /// How much the counter found.
    pub counted: Qty,
    /// By how many hundredths of the book a count of its class may differ; none where the shop has no such rule.
    pub tolerance_percent: Option<Decimal>,
    /// Who counted it before and found it beyond tolerance, so that it was to be counted again.
    pub counted_before_by: Option<String>,
}

impl Counted {
    /// Whether a difference waits until another person has counted it too.
    pub fn to_be_counted_again(&self, book: Qty, by: &str, alone: bool) -> bool {
        let beyond = |percent| !within(book, self.counted, percent);
        let another = self
            .counted_before_by
            .as_deref()
            .is_some_and(|before| before != by || alone);
        self.tolerance_percent.is_some_and(beyond) && !another
    }
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
    /// Whether nobody else works here who could count again.
    pub alone: bool,
}

/// Posts the differences of a count against the book: short is loss, over is gain. Where anything differs, the head
/// bears the cause. What differs beyond the tolerance of its class is kept and moves nothing until another counted it.
pub fn count(stock: &Stock, head: Head, list: CountList, lines: &[Counted]) -> Result<Posting, Refusal> {
    let (cause, by) = (head.reason.clone(), head.by.clone());
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
        let moved = if line.to_be_counted_again(book, &by, list.alone) {
            None
        } else if line.counted < book {
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
