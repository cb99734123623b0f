//! Late cost: freight, labour, outside work or a credit that follows goods to wherever they now lie.

use crate::domain::kitting::job::{JobState, Line};
use crate::domain::measure::Money;
use crate::domain::measure::rounding::apportion;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{LayerId, LotId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::posting::{Entry, Posting};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::papers::authorised;
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
    authorised(stock, Movement::LateCost.who(), Movement::LateCost.word())?;
    if stock.lot(lot)?.owner.is_some() {
        let lot = stock.lot(lot)?.number.clone();
        return Err(Refusal::OwnedValue { lot });
    }
    let mut draft = Draft::new(stock, head);
    let mut lies: Vec<(LotId, PlaceId, i64)> = Vec::new();
    for member in family(stock, lot) {
        let ours = stock.lot(member)?.owner.is_none();
        for (place, balance) in stock.places_of(member) {
            if balance.qty.is_positive() && !place.is(Kind::Making) {
                // What became a customer's bears no value: its share stays on the lot the cost came for, as a variance.
                let bearer = if ours { (member, place) } else { (lot, counted) };
                lies.push((bearer.0, bearer.1, balance.qty.millionths()));
            }
        }
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
            let bears = place.kind().is_some_and(Kind::in_the_house) || self.open_engine(place, lot)?;
            return self.cost_entry(supplier, lot, if bears { place } else { counted }, share, None);
        }
        let layers = self.layers_of_cost(lot)?;
        let weights: Vec<i64> = layers.iter().map(|(_, qty)| *qty).collect();
        for ((layer, _), part) in layers.iter().zip(apportion(share.millionths(), &weights)) {
            self.cost_entry(supplier, lot, place, Money::from_millionths(part), Some(*layer))?;
        }
        Ok(())
    }

    /// Whether the place is the engine of a job that is still open and has fitted goods of the lot's part.
    fn open_engine(&self, place: PlaceId, lot: LotId) -> Result<bool, Refusal> {
        let part = self.stock.lot(lot)?.part;
        let job_open = |line: &Line| {
            let job = self.stock.jobs.get(&line.job);
            job.is_some_and(|job| job.engine == place && job.state == JobState::Open)
        };
        let mut lines = self.stock.lines.values();
        Ok(lines.any(|line| line.part == part && line.fitted.is_positive() && job_open(line)))
    }

    /// The live layers of a lot with their quantities; where it has none, the part's newest live one.
    fn layers_of_cost(&self, lot: LotId) -> Result<Vec<(LayerId, i64)>, Refusal> {
        let goods = self.stock.lot(lot)?;
        let live = || {
            let layers = self.stock.layers.of_part(goods.part);
            layers.filter(|layer| layer.qty.is_positive())
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
