//! What a job is short of, with the reason: what is free, dead on the shelf, on hold, in receiving, on order and when.

use crate::domain::kitting::job::{JobState, Line};
use crate::domain::kitting::turn::{Sorted, in_order_of_need};
use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{JobId, LineId, LotId, OrderLineId};
use crate::domain::stores::law::Kind;
use crate::domain::stores::lot::Lot;
use crate::domain::stores::posting::Source;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::lines::fits;

/// A short line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Short {
    /// The job.
    pub job: JobId,
    /// The line.
    pub line: LineId,
    /// What it is short of; what is reserved on a lot since dead counts as short.
    pub short: Qty,
    /// Reserved and usable.
    pub reserved: Qty,
    /// Free and usable on the day of use.
    pub free: Qty,
    /// On shelf or bench, dead by the day of use: lot, how much, its last day.
    pub dead: Vec<(LotId, Qty, Day)>,
    /// On shelf or bench, usable and on hold.
    pub on_hold: Qty,
    /// In receiving, usable, to be inspected.
    pub receiving: Qty,
    /// Still to come: order, how much, when.
    pub on_order: Vec<(String, Qty, Option<Day>)>,
}

/// Every short line of these jobs as far as they are open, in order of need.
pub fn shorts(stock: &Stock, jobs: &[JobId]) -> Result<Vec<Short>, Refusal> {
    let sorted = Sorted::of(stock);
    let mut found = Vec::new();
    for id in in_order_of_need(stock, jobs)? {
        if stock.job(id)?.state != JobState::Open {
            continue;
        }
        let judged = stock.judged_for(stock.job(id)?);
        for line in sorted.lines(id) {
            let line = stock.line(*line)?;
            let mut stale = Qty::ZERO;
            for (source, qty) in stock.claims.for_line(line.id) {
                if let Source::Lot(lot) = source
                    && !stock.lot(lot)?.usable_on(judged)
                {
                    stale += qty;
                }
            }
            let short = (line.need - line.stands() + stale).max(Qty::ZERO);
            if short.is_positive() {
                let told = Short::of(line, short, line.reserved - stale);
                found.push(told.because(stock, sorted.lots(line.part), judged)?);
            }
        }
    }
    Ok(found)
}

/// How much of an order line waits in receiving to be inspected: that has come.
fn waiting(stock: &Stock, order: OrderLineId, lots: &[LotId]) -> Qty {
    let of_it = |lot: &&LotId| stock.lot(**lot).is_ok_and(|lot| lot.order_line == Some(order));
    let lies = |lot: &LotId| {
        stock
            .places_of(*lot)
            .filter(|(place, _)| place.is(Kind::Receiving))
    };
    lots.iter()
        .filter(of_it)
        .flat_map(lies)
        .map(|(_, balance)| balance.qty)
        .sum()
}

impl Short {
    /// A short line, its reasons not yet told.
    fn of(line: &Line, short: Qty, reserved: Qty) -> Short {
        Short {
            job: line.job,
            line: line.id,
            short,
            reserved,
            free: Qty::ZERO,
            dead: vec![],
            on_hold: Qty::ZERO,
            receiving: Qty::ZERO,
            on_order: vec![],
        }
    }

    /// Tells the reasons: the lots of its part that fit it, and what is still to come.
    fn because(mut self, stock: &Stock, lots: &[LotId], judged: Day) -> Result<Short, Refusal> {
        let part = stock.line(self.line)?.part;
        for lot in lots {
            if fits(stock, self.line, *lot).is_ok() {
                self.lot(stock, stock.lot(*lot)?, judged)?;
            }
        }
        for order in stock.orders.values().filter(|order| order.part == part) {
            let waiting = waiting(stock, order.id, lots);
            let coming = order.still_coming() - waiting - order.pegged;
            if coming.is_positive() {
                self.on_order.push((order.order.clone(), coming, order.promised));
            }
        }
        Ok(self)
    }

    /// Adds what one lot that fits the line has to say.
    fn lot(&mut self, stock: &Stock, lot: &Lot, judged: Day) -> Result<(), Refusal> {
        let position = stock.position(lot.id)?;
        if let Some(last) = lot.expiry.filter(|_| !lot.usable_on(judged)) {
            if position.pickable.is_positive() {
                self.dead.push((lot.id, position.pickable, last));
            }
            return Ok(());
        }
        self.free += position.free();
        for (place, balance) in stock.places_of(lot.id) {
            if place.is(Kind::Receiving) {
                self.receiving += balance.qty;
            } else if place.pickable() && !stock.counts_as_pickable(lot.id, place) {
                self.on_hold += balance.qty;
            }
        }
        Ok(())
    }
}
