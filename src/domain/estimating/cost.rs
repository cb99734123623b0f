//! What a job cost: what stands on its lines in kit and engine, what was scrapped from them shown apart.

use crate::domain::estimating::price::{Price, extended, price_for};
use crate::domain::kitting::job::Line;
use crate::domain::measure::rounding::{Rule, round};
use crate::domain::measure::{Currency, Day, Money, Qty};
use crate::domain::stores::ids::LineId;
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::part::Part;
use crate::domain::stores::posting::{Entry, Source};
use crate::domain::stores::stock::Stock;
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

/// How much of a part a job pays for that takes so much: whole hand-out units where the part's pack policy says so,
/// because what is left of a pack is then worth nothing, else what it takes.
pub fn paid_for(part: &Part, qty: Qty) -> Qty {
    let Some(unit) = part.hand_out.filter(|unit| part.whole_pack && unit.is_positive()) else {
        return qty;
    };
    let wholes = round(qty.to_decimal(), unit.to_decimal(), Rule::Up);
    Qty::from_decimal(wholes).unwrap_or(qty)
}

/// What a line of a job has still to take, and what that would cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StillToTake {
    /// How much.
    pub qty: Qty,
    /// How much of it is reserved of the customer's own goods, which cost nothing.
    pub his_own: Qty,
    /// How much of the rest is paid for.
    pub paid: Qty,
    /// The price of the day; none where none holds.
    pub price: Option<Price>,
    /// What it would cost; none where there is something to pay for and no price.
    pub cost: Option<Money>,
    /// Currencies in which it is asked for and that have no rate on the day.
    pub without_rate: Vec<Currency>,
}

/// What a line has still to take at the prices of a day, or nothing where it has everything.
pub fn still_to_take(
    stock: &Stock,
    line: &Line,
    part: &Part,
    (prices, without_rate): (Vec<Price>, Vec<Currency>),
    on: (Day, Currency),
) -> Option<StillToTake> {
    let qty = line.need - line.kitted - line.fitted;
    if line.dropped || !qty.is_positive() {
        return None;
    }
    let own = |(source, qty): &(Source, Qty)| match source {
        Source::Lot(lot) => stock.lots.get(lot).and_then(|lot| lot.owner).map(|_| *qty),
        Source::Order(_) => None,
    };
    let his_own: Qty = stock.claims.for_line(line.id).iter().filter_map(own).sum();
    let paid = paid_for(part, (qty - his_own).max(Qty::ZERO));
    let price = price_for(&prices, on.0, paid, on.1).cloned();
    let cost = if paid.is_zero() {
        Some(Money::ZERO)
    } else {
        price.as_ref().map(|price| extended(paid, price.amount))
    };
    Some(StillToTake {
        qty,
        his_own,
        paid,
        price,
        cost,
        without_rate,
    })
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
