//! A change of the method of value: every shelf lot is drawn by the old method and fed by the new, value unchanged.

use crate::domain::measure::{Money, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{LotId, PartId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::posting::{Field, Posting};
use crate::domain::stores::stock::{Method, Stock};
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::enter::Move;
use crate::domain::stores::verbs::papers::authorised;

/// One document for the whole store: the facts must hold every lot on a shelf.
pub fn restate(stock: &Stock, head: Head, making: PlaceId, method: Method) -> Result<Posting, Refusal> {
    authorised(stock, Movement::Restate.who(), Movement::Restate.word())?;
    let mut lying: Vec<(PartId, LotId, PlaceId, Qty)> = Vec::new();
    for ((lot, place), balance) in &stock.balances {
        if place.is(Kind::Shelf) && balance.qty.is_positive() {
            lying.push((stock.lot(*lot)?.part, *lot, *place, balance.qty));
        }
    }
    lying.sort();
    let mut draft = Draft::new(stock, head);
    let mut drawn: Vec<Money> = Vec::new();
    for (_, lot, place, qty) in &lying {
        let before = draft.posting.entries.len();
        draft.enter(Move::new(Movement::Restate, *lot, *place, making, *qty))?;
        drawn.push(
            draft
                .posting
                .entries
                .iter()
                .skip(before)
                .map(|entry| entry.value)
                .sum(),
        );
    }
    draft.set_field(Field::Method, 0, Some(method.word().to_owned()))?;
    for ((_, lot, place, qty), value) in lying.iter().zip(drawn) {
        draft.enter(Move::new(Movement::Restate, *lot, making, *place, *qty).at(value))?;
    }
    draft.finish()
}
