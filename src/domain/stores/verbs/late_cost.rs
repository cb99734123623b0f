//! Late cost: freight, labour, outside work or a credit that follows goods to wherever they now lie.

use crate::domain::kitting::job::JobState;
use crate::domain::measure::Money;
use crate::domain::measure::rounding::apportion;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{LayerId, LotId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::posting::{Entry, Posting};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use std::collections::BTreeSet;

/// Spreads a cost (or a credit, below nothing) over a lot and all that was made of it, by quantity, largest remainder;
/// what has left the house goes to `counted` as a variance.
pub fn late_cost(
    stock: &Stock,
    head: Head,
    supplier: PlaceId,
    counted: PlaceId,
    lot: LotId,
    cost: Money,
) -> Result<Posting, Refusal> {
    if cost.is_zero() {
        return Err(Refusal::Nothing);
    }
    let mut draft = Draft::new(stock, head);
    if !draft.stock.person.may(Movement::LateCost.who()) {
        let by = draft.stock.person.initials.clone();
        let role = Movement::LateCost.who().word();
        return Err(Refusal::NotAuthorised {
            by,
            role,
            what: Movement::LateCost.word().to_owned(),
        });
    }
    let mut lies: Vec<(LotId, PlaceId, i64)> = Vec::new();
    for member in family(stock, lot) {
        if stock.lot(member)?.owner.is_some() {
            return Err(Refusal::OwnedValue {
                lot: stock.lot(member)?.number.clone(),
            });
        }
        let here = stock
            .places_of(member)
            .filter(|(place, b)| b.qty.is_positive() && !place.is(Kind::Making));
        lies.extend(here.map(|(place, balance)| (member, place, balance.qty.millionths())));
    }
    let weights: Vec<i64> = lies.iter().map(|(_, _, qty)| *qty).collect();
    let shares = apportion(cost.millionths(), &weights);
    let whole = if lies.is_empty() {
        vec![(lot, counted, cost.millionths())]
    } else {
        Vec::new()
    };
    let spread = lies
        .iter()
        .zip(shares)
        .map(|((lot, place, _), share)| (*lot, *place, share))
        .chain(whole);
    for (lot, place, share) in spread.collect::<Vec<_>>() {
        draft.cost_follows(supplier, counted, lot, place, Money::from_millionths(share))?;
    }
    draft.finish()
}

/// A lot and all that was made of it, parents before children.
fn family(stock: &Stock, lot: LotId) -> Vec<LotId> {
    let (mut seen, mut queue) = (BTreeSet::from([lot]), vec![lot]);
    let mut members = Vec::new();
    while let Some(next) = queue.pop() {
        members.push(next);
        for child in stock.children.get(&next).into_iter().flatten() {
            if seen.insert(*child) {
                queue.push(*child);
            }
        }
    }
    members
}

impl Draft {
    /// Brings one share of a late cost to where the goods lie; on a shelf to the lot's layers by quantity.
    fn cost_follows(
        &mut self,
        supplier: PlaceId,
        counted: PlaceId,
        lot: LotId,
        place: PlaceId,
        share: Money,
    ) -> Result<(), Refusal> {
        if !place.is(Kind::Shelf) {
            let bears = place.kind().is_some_and(Kind::in_the_house) || self.open_engine(place);
            return self.cost_entry(supplier, lot, if bears { place } else { counted }, share, None);
        }
        let layers = self.layers_of_cost(lot)?;
        let weights: Vec<i64> = layers.iter().map(|(_, qty)| *qty).collect();
        for ((layer, _), part) in layers.iter().zip(apportion(share.millionths(), &weights)) {
            self.cost_entry(supplier, lot, place, Money::from_millionths(part), Some(*layer))?;
        }
        Ok(())
    }

    /// Whether the place is the engine of a job that is still open.
    fn open_engine(&self, place: PlaceId) -> bool {
        self.stock
            .jobs
            .values()
            .any(|job| job.engine == place && job.state == JobState::Open)
    }

    /// The live layers of a lot with their quantities; where it has none, the part's newest live one.
    fn layers_of_cost(&self, lot: LotId) -> Result<Vec<(LayerId, i64)>, Refusal> {
        let goods = self.stock.lot(lot)?;
        let live = || {
            self.stock
                .layers
                .values()
                .filter(|l| l.part == goods.part && l.qty.is_positive())
        };
        let own: Vec<(LayerId, i64)> = live()
            .filter(|l| l.lot == Some(lot))
            .map(|l| (l.id, l.qty.millionths()))
            .collect();
        if !own.is_empty() {
            return Ok(own);
        }
        let shared = live().filter(|layer| layer.shared).map(|layer| layer.id).max();
        let newest = shared.ok_or(Refusal::Unread {
            what: "cost layers of lot",
            id: lot.0,
        })?;
        Ok(vec![(newest, 1)])
    }

    /// Writes a line of value alone: onto the goods, or off them where it is a credit.
    fn cost_entry(
        &mut self,
        supplier: PlaceId,
        lot: LotId,
        place: PlaceId,
        share: Money,
        layer: Option<LayerId>,
    ) -> Result<(), Refusal> {
        if share.is_zero() {
            return Ok(());
        }
        let credit = share.millionths() < 0;
        let (from, to) = if credit {
            (place, supplier)
        } else {
            (supplier, place)
        };
        let value = if credit { -share } else { share };
        let qty = crate::domain::measure::Qty::ZERO;
        let movement = Movement::LateCost;
        self.shift(Entry {
            movement,
            lot,
            from,
            to,
            from_line: None,
            to_line: None,
            qty,
            value,
            layer,
        })
    }
}
