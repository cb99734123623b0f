//! What a posting does to the derived columns: each row's net change, worked out from the posting's own rows and from
//! nothing else, so that the CHECKs of the books judge it independently of what the domain believed.

use crate::domain::measure::{Money, Qty};
use crate::domain::stores::ids::{JobId, LayerId, LineId, LotId, OrderLineId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::posting::{Entry, Field, Held, Posting, Source, Why};
use std::collections::{BTreeMap, BTreeSet};

/// The net change of a job line's counters.
#[derive(Clone, Copy, Debug, Default)]
pub struct LineDelta {
    /// Reserved of stock.
    pub reserved: Qty,
    /// Promised of orders.
    pub pegged: Qty,
    /// In the kit.
    pub kitted: Qty,
    /// On the engine.
    pub fitted: Qty,
}

/// The net change of an order line's counters.
#[derive(Clone, Copy, Debug, Default)]
pub struct OrderDelta {
    /// Booked in.
    pub arrived: Qty,
    /// Accepted for the first time.
    pub accepted: Qty,
    /// Promised to job lines.
    pub pegged: Qty,
}

/// The net change of every derived row that a posting touches.
#[derive(Clone, Debug, Default)]
pub struct Deltas {
    /// By lot and place.
    pub balances: BTreeMap<(LotId, PlaceId), (Qty, Money)>,
    /// What is reserved of each lot.
    pub reserved: BTreeMap<LotId, Qty>,
    /// How many holds come onto each lot.
    pub held_lots: BTreeMap<LotId, i64>,
    /// How many holds come onto each place.
    pub held_places: BTreeMap<PlaceId, i64>,
    /// By layer.
    pub layers: BTreeMap<LayerId, (Qty, Money)>,
    /// By job line.
    pub lines: BTreeMap<LineId, LineDelta>,
    /// By order line.
    pub orders: BTreeMap<OrderLineId, OrderDelta>,
    /// Jobs whose list rises whatever their lines say.
    pub raised_jobs: BTreeSet<JobId>,
    /// Lines whose job's list rises.
    pub raised_lines: BTreeSet<LineId>,
}

/// Works out the net change of every derived row.
pub fn deltas(posting: &Posting) -> Deltas {
    let mut deltas = Deltas::default();
    for entry in &posting.entries {
        deltas.entry(entry);
    }
    for claim in &posting.claims {
        let line = deltas.lines.entry(claim.line).or_default();
        match claim.source {
            Source::Lot(lot) => {
                line.reserved += claim.qty;
                *deltas.reserved.entry(lot).or_default() += claim.qty;
            }
            Source::Order(order) => {
                line.pegged += claim.qty;
                deltas.orders.entry(order).or_default().pegged += claim.qty;
            }
        }
        if claim.why != Why::Pick {
            deltas.raised_lines.insert(claim.line);
        }
    }
    for hold in &posting.holds {
        let step = if hold.lifts.is_none() { 1 } else { -1 };
        match hold.on {
            Held::Lot(lot) => *deltas.held_lots.entry(lot).or_default() += step,
            Held::Place(place) => *deltas.held_places.entry(place).or_default() += step,
        }
    }
    for change in &posting.changes {
        match change.field.table() {
            "job" => drop(deltas.raised_jobs.insert(JobId(change.id))),
            "job_line" => {
                deltas.lines.entry(LineId(change.id)).or_default();
                deltas.raised_lines.insert(LineId(change.id));
            }
            "order_line" => drop(deltas.orders.entry(OrderLineId(change.id)).or_default()),
            _ => {}
        }
    }
    deltas
}

impl Deltas {
    fn entry(&mut self, entry: &Entry) {
        self.side(entry, entry.from, -entry.qty, -entry.value);
        self.side(entry, entry.to, entry.qty, entry.value);
        if let Some(layer) = entry.layer {
            let into = entry.to.is(Kind::Shelf);
            let (qty, value) = self.layers.entry(layer).or_default();
            *qty += if into { entry.qty } else { -entry.qty };
            *value += if into { entry.value } else { -entry.value };
        }
        self.line(entry.from, entry.from_line, -entry.qty);
        self.line(entry.to, entry.to_line, entry.qty);
        self.order(entry);
    }

    fn side(&mut self, entry: &Entry, place: PlaceId, qty: Qty, value: Money) {
        let balance = self.balances.entry((entry.lot, place)).or_default();
        balance.0 += qty;
        if !place.is(Kind::Shelf) {
            balance.1 += value;
        }
    }

    fn line(&mut self, place: PlaceId, line: Option<i64>, qty: Qty) {
        let (Some(line), true) = (line, Entry::counts_on_line(place)) else {
            return;
        };
        let counters = self.lines.entry(LineId(line)).or_default();
        if place.is(Kind::Kit) {
            counters.kitted += qty;
        } else {
            counters.fitted += qty;
        }
    }

    /// Book in and first acceptance name the order line on the side that gives, their undo on the side that receives.
    fn order(&mut self, entry: &Entry) {
        let (line, qty) = match (entry.movement, entry.from_line, entry.to_line) {
            (Movement::BookIn | Movement::Accept, Some(line), _) => (line, entry.qty),
            (Movement::Undo, _, Some(line)) if !Entry::counts_on_line(entry.to) => (line, -entry.qty),
            _ => return,
        };
        let counters = self.orders.entry(OrderLineId(line)).or_default();
        let booked = entry.movement == Movement::BookIn
            || entry.to.is(Kind::Supplier)
            || (entry.movement == Movement::Undo && entry.to.is(Kind::Customer));
        if booked {
            counters.arrived += qty;
        } else {
            counters.accepted += qty;
        }
    }
}

/// The new value that a posting gives a field of a record, if it changes it.
pub fn changed(posting: &Posting, field: Field, id: i64) -> Option<&Option<String>> {
    posting
        .changes
        .iter()
        .rev()
        .find(|change| change.field == field && change.id == id)
        .map(|change| &change.new)
}
