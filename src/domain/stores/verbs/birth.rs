//! Goods that come into the books: booked in, fitted before their papers, taken off, brought forward, found.

use crate::domain::measure::{Money, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{LineId, LotId, PartId, PlaceId};
use crate::domain::stores::law::Movement;
use crate::domain::stores::lot::NewLot;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::enter::Move;

/// A lot about to come into the books.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Birth {
    /// How it comes.
    pub movement: Movement,
    /// Which part.
    pub part: PartId,
    /// What is to be said of the lot, the order line it comes in on among it.
    pub lot: NewLot,
    /// Where it is born.
    pub from: PlaceId,
    /// Where it comes to lie.
    pub to: PlaceId,
    /// How much.
    pub qty: Qty,
    /// What all of it cost, where the law lets it be stated.
    pub value: Money,
    /// The job line it is for, where it comes onto an engine.
    pub line: Option<LineId>,
}

/// One document of lots that come into the books, each a lot of its own.
pub fn bear(stock: &Stock, head: Head, births: &[Birth]) -> Result<Posting, Refusal> {
    let mut draft = Draft::new(stock, head);
    for birth in births {
        let lot = draft.new_lot(birth.part, birth.lot.clone(), false)?;
        draft.bear(lot, birth)?;
    }
    draft.finish()
}

impl Draft {
    /// Carries a lot into the books: one just made, or a serial that was a lot before. What is booked in counts on an
    /// order line only where that is the lot's own.
    pub fn bear(&mut self, lot: LotId, birth: &Birth) -> Result<(), Refusal> {
        let own = self.stock.lot(lot)?.order_line;
        let order_line = birth
            .lot
            .order_line
            .filter(|line| birth.movement == Movement::BookIn && own == Some(*line));
        let asked = Move::new(birth.movement, lot, birth.from, birth.to, birth.qty).at(birth.value);
        self.go(&Move {
            to_line: birth.line,
            order_line,
            ..asked
        })
    }
}
