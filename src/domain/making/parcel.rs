//! Goods that leave for good: back to the supplier, or to a customer with their papers.

use crate::domain::making::fault::OutFault;
use crate::domain::making::hazard::Hazard;
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{LotId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::enter::Move;
use crate::domain::stores::verbs::lines::whole_hand_out;
use crate::domain::stores::verbs::moves::post_moves;

/// A lot in a parcel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Packed {
    /// Which lot.
    pub lot: LotId,
    /// Out of which bin.
    pub from: PlaceId,
    /// How much.
    pub qty: Qty,
}

/// Sends goods to a customer: the house's, or his own.
pub fn dispatch(stock: &Stock, head: Head, customer: PlaceId, packed: &[Packed]) -> Result<Posting, Refusal> {
    let mut moves = Vec::new();
    for one in packed {
        judge_owner(stock, one.lot, customer)?;
        if one.qty != stock.balance(one.lot, one.from).qty {
            whole_hand_out(stock, one.lot, one.qty)?;
        }
        moves.push(Move::new(
            Movement::Dispatch,
            one.lot,
            one.from,
            customer,
            one.qty,
        ));
    }
    post_moves(stock, head, &moves)
}

/// Sends goods back to whom they came from: the house's to a supplier, a customer's to himself.
pub fn send_back(stock: &Stock, head: Head, to: PlaceId, packed: Packed) -> Result<Posting, Refusal> {
    let goods = stock.lot(packed.lot)?;
    if to.is(Kind::Customer) && goods.owner.is_none() {
        return Err(Refusal::Impossible {
            what: format!("lot {}", goods.number),
            because: "it is ours, so it goes back to a supplier; a customer's it becomes by `dispatch`"
                .to_owned(),
        });
    }
    judge_owner(stock, packed.lot, to)?;
    let moved = Move::new(Movement::SendBack, packed.lot, packed.from, to, packed.qty);
    post_moves(stock, head, &[moved])
}

/// Refuses to send what is one customer's to anybody else.
fn judge_owner(stock: &Stock, lot: LotId, to: PlaceId) -> Result<(), Refusal> {
    let goods = stock.lot(lot)?;
    match goods.owner.filter(|owner| *owner != to) {
        None => Ok(()),
        Some(owner) => Err(Refusal::Outgoing(OutFault::NotOurs {
            lot: goods.number.clone(),
            owner: stock.place(owner)?.name.clone(),
            what: format!("sent to {}", stock.place(to)?.name),
        })),
    }
}

/// Refuses a plain list where a flammable liquid (class 3) is inside and nobody says how the parcel is marked.
pub fn judge_plain(lot: &str, hazards: &[Hazard], marked: Option<&str>) -> Result<(), Refusal> {
    let flammable = hazards.iter().find(|hazard| hazard.flammable.is_some());
    match (flammable, marked) {
        (Some(hazard), None) => Err(Refusal::Outgoing(OutFault::Dangerous {
            lot: lot.to_owned(),
            hazard: hazard.words(),
        })),
        _ => Ok(()),
    }
}
