//! Bench stock used up in the workshop, for no engine: out of the tin on the bench before the box on the shelf.

use crate::domain::kitting::turn::{first_to_expire, only_whole};
use crate::domain::making::fault::OutFault;
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{LotId, PartId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::lot::NEW;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::enter::Move;
use crate::domain::stores::verbs::lines::whole_hand_out;
use crate::domain::stores::whereabouts::where_it_lies;

/// Where stock is used from.
const USED_FROM: [Kind; 2] = [Kind::Bench, Kind::Shelf];

/// What is used up in the workshop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ShopUse {
    /// Of which part.
    pub part: PartId,
    /// Of which lot; without one, what dies first of what may be used.
    pub lot: Option<LotId>,
    /// Out of which bin; without one, the bench before the shelf.
    pub from: Option<PlaceId>,
    /// How much.
    pub qty: Qty,
}

/// Uses stock up in the workshop: it is expensed, and what is dead, held, reserved or a customer's stays where it is.
pub fn use_up(stock: &Stock, head: Head, shop: PlaceId, asked: ShopUse) -> Result<Posting, Refusal> {
    let part = stock.part(asked.part)?;
    if !part.bench_stock {
        return Err(Refusal::NotBenchStock {
            part: part.number.clone(),
        });
    }
    let mut draft = Draft::new(stock, head);
    match asked.lot {
        Some(lot) => {
            let (from, there) = where_it_lies(stock, lot, &USED_FROM, asked.from)?;
            judge_ours(stock, lot, "used up in the workshop")?;
            if asked.qty != there {
                whole_hand_out(stock, lot, asked.qty)?;
            }
            draft.go(&Move::new(Movement::Use, lot, from, shop, asked.qty))?;
        }
        None => draft.use_first_to_die(asked, shop)?,
    }
    draft.finish()
}

/// Refuses what is a customer's: it serves nobody but him.
pub fn judge_ours(stock: &Stock, lot: LotId, what: &str) -> Result<(), Refusal> {
    let goods = stock.lot(lot)?;
    match goods.owner {
        None => Ok(()),
        Some(owner) => Err(Refusal::Outgoing(OutFault::NotOurs {
            lot: goods.number.clone(),
            owner: stock.place(owner)?.name.clone(),
            what: what.to_owned(),
        })),
    }
}

/// The lots of a part that lie dead on bench or shelf, with the bin, the first to die first.
pub fn dead_there(stock: &Stock, part: PartId) -> Vec<(LotId, PlaceId)> {
    let dead = |lot: &LotId| {
        let goods = stock.lots.get(lot);
        goods.is_some_and(|goods| !goods.usable_on(stock.latest_day()))
    };
    let lots = first_to_expire(stock, part).into_iter().filter(dead);
    lots.flat_map(|lot| lying(stock, lot).map(move |(place, _)| (lot, place)))
        .collect()
}

/// Benches and shelves where some of a lot lies.
fn lying(stock: &Stock, lot: LotId) -> impl Iterator<Item = (PlaceId, Qty)> + '_ {
    stock
        .places_of(lot)
        .filter(|(place, balance)| place.pickable() && balance.qty.is_positive())
        .map(|(place, balance)| (place, balance.qty))
}

impl Draft {
    /// Takes what dies first of what may be used, out of the bench before the shelf.
    fn use_first_to_die(&mut self, asked: ShopUse, shop: PlaceId) -> Result<(), Refusal> {
        if !asked.qty.is_positive() {
            return Err(Refusal::Nothing);
        }
        let lots = first_to_expire(&self.stock, asked.part);
        let mut left = asked.qty;
        for kind in USED_FROM {
            for lot in &lots {
                let places: Vec<(PlaceId, Qty)> = lying(&self.stock, *lot)
                    .filter(|(place, _)| place.is(kind) && asked.from.is_none_or(|from| from == *place))
                    .collect();
                for (place, there) in places {
                    let qty = self.may_be_used(*lot, place)?.min(there).min(left);
                    let qty = self.in_whole_units(*lot, qty)?;
                    if qty.is_positive() {
                        left -= qty;
                        self.go(&Move::new(Movement::Use, *lot, place, shop, qty))?;
                    }
                }
            }
        }
        if left.is_zero() {
            return Ok(());
        }
        let part = self.stock.part(asked.part)?;
        Err(Refusal::Impossible {
            what: part.number.clone(),
            because: format!(
                "{} {} of it can be used, {} {} asked for; the rest is reserved, dead, on hold, not there, or goes \
                 out only whole",
                asked.qty - left,
                part.unit,
                asked.qty,
                part.unit
            ),
        })
    }

    /// How much of a lot in a place may be used up: nothing of what is dead, held, a customer's or no longer new.
    fn may_be_used(&self, lot: LotId, place: PlaceId) -> Result<Qty, Refusal> {
        let (goods, position) = (self.stock.lot(lot)?, self.stock.position(lot)?);
        let good = goods.usable_on(self.stock.latest_day())
            && goods.owner.is_none()
            && goods.condition == NEW
            && position.held == 0
            && self.stock.place(place)?.held == 0;
        Ok(if good { position.free() } else { Qty::ZERO })
    }

    /// As much of it as goes in whole hand-out units, where the lot is unopened and has them.
    fn in_whole_units(&self, lot: LotId, qty: Qty) -> Result<Qty, Refusal> {
        Ok(match only_whole(&self.stock, lot)? {
            Some(unit) => Qty::from_millionths(qty.millionths() / unit.millionths() * unit.millionths()),
            None => qty,
        })
    }
}
