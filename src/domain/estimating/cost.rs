//! What a job cost: what stands on its lines in kit and engine, what was scrapped from them shown apart.

use crate::domain::measure::{Money, Qty};
use crate::domain::stores::ids::LineId;
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::posting::Entry;
use std::collections::BTreeMap;

/// What one line of a job has and cost.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct LineCost {
    /// How much lies in the kit.
    pub in_kit: Qty,
    /// What that cost.
    pub in_kit_value: Money,
    /// How much is on the engine.
    pub on_engine: Qty,
    /// What that cost.
    pub on_engine_value: Money,
    /// How much of it was scrapped or lost.
    pub scrapped: Qty,
    /// What that cost.
    pub scrapped_value: Money,
}

impl LineCost {
    /// What the line cost, scrap included.
    pub fn total(&self) -> Money {
        self.in_kit_value + self.on_engine_value + self.scrapped_value
    }
}

/// Adds a job's cost up from the entries of its lines; what was sold with the engine stays a cost of the job.
pub fn job_cost(entries: &[Entry]) -> BTreeMap<LineId, LineCost> {
    let mut costs: BTreeMap<LineId, LineCost> = BTreeMap::new();
    for entry in entries.iter().filter(|entry| entry.movement != Movement::Sold) {
        if let Some(line) = entry.to_line.filter(|_| Entry::counts_on_line(entry.to)) {
            costs
                .entry(LineId(line))
                .or_default()
                .put(entry.to.is(Kind::Kit), entry.qty, entry.value);
        }
        if let Some(line) = entry.from_line.filter(|_| Entry::counts_on_line(entry.from)) {
            let cost = costs.entry(LineId(line)).or_default();
            cost.put(entry.from.is(Kind::Kit), -entry.qty, -entry.value);
            if entry.to.is(Kind::Scrap) || entry.to.is(Kind::Counted) {
                cost.scrapped += entry.qty;
                cost.scrapped_value += entry.value;
            }
        }
        let taken_back = entry.movement == Movement::Undo;
        if let Some(line) = entry
            .to_line
            .filter(|_| taken_back && Entry::counts_on_line(entry.to))
            && (entry.from.is(Kind::Scrap) || entry.from.is(Kind::Counted))
        {
            let cost = costs.entry(LineId(line)).or_default();
            cost.scrapped -= entry.qty;
            cost.scrapped_value -= entry.value;
        }
    }
    costs
}

impl LineCost {
    fn put(&mut self, kit: bool, qty: Qty, value: Money) {
        if kit {
            self.in_kit += qty;
            self.in_kit_value += value;
        } else {
            self.on_engine += qty;
            self.on_engine_value += value;
        }
    }
}
