//! What a job is short of, with the reason: what is free, dead on the shelf, on hold, in receiving, on order and when.

use crate::domain::kitting::reserve::{in_order_of_need, lines_of};
use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{JobId, LineId, LotId};
use crate::domain::stores::law::Kind;
use crate::domain::stores::posting::Source;
use crate::domain::stores::stock::Stock;

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
    /// In receiving, to be inspected.
    pub receiving: Qty,
    /// Still to come: order, how much, when.
    pub on_order: Vec<(String, Qty, Option<Day>)>,
}

/// Every short line of these jobs, in order of need.
pub fn shorts(stock: &Stock, jobs: &[JobId]) -> Result<Vec<Short>, Refusal> {
    let mut found = Vec::new();
    for id in in_order_of_need(stock, jobs)? {
        let judged = stock.judged_for(stock.job(id)?);
        for line in lines_of(stock, id) {
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
                found.push(reasons(stock, id, line.id, short, line.reserved - stale, judged)?);
            }
        }
    }
    Ok(found)
}

/// The reasons behind a short line.
fn reasons(
    stock: &Stock,
    job: JobId,
    line: LineId,
    short: Qty,
    reserved: Qty,
    judged: Day,
) -> Result<Short, Refusal> {
    let part = stock.line(line)?.part;
    let mut told = Short {
        job,
        line,
        short,
        reserved,
        free: Qty::ZERO,
        dead: vec![],
        receiving: Qty::ZERO,
        on_order: vec![],
    };
    for lot in stock.lots.values().filter(|lot| lot.part == part) {
        for (place, balance) in stock.places_of(lot.id) {
            if place.is(Kind::Receiving) {
                told.receiving += balance.qty;
            }
        }
        let position = stock.position(lot.id)?;
        match lot.expiry {
            Some(last) if !lot.usable_on(judged) && position.pickable.is_positive() => {
                told.dead.push((lot.id, position.pickable, last));
            }
            Some(_) if !lot.usable_on(judged) => {}
            _ if crate::domain::stores::verbs::lines::fits(stock, line, lot.id).is_ok() => {
                told.free += position.free();
            }
            _ => {}
        }
    }
    for order in stock.orders.values().filter(|order| order.part == part) {
        let coming = order.still_coming() - order.pegged;
        if coming.is_positive() {
            told.on_order.push((order.order.clone(), coming, order.promised));
        }
    }
    Ok(told)
}
