//! Whose turn it is: jobs in order of need, the lots of a part first to expire first, and what of a lot goes only whole.

use crate::domain::kitting::job::Line;
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{JobId, LineId, LotId, PartId};
use crate::domain::stores::lot::Lot;
use crate::domain::stores::stock::Stock;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Jobs in order of need: day of use, then priority, then number.
pub fn in_order_of_need(stock: &Stock, jobs: &[JobId]) -> Result<Vec<JobId>, Refusal> {
    let mut keyed = Vec::new();
    for id in jobs {
        let job = stock.job(*id)?;
        keyed.push((job.use_day, job.priority, *id));
    }
    keyed.sort();
    Ok(keyed.into_iter().map(|(_, _, id)| id).collect())
}

/// The lines of a job, by number.
pub fn lines_of(stock: &Stock, job: JobId) -> Vec<&Line> {
    let mut lines: Vec<&Line> = stock.lines.values().filter(|line| line.job == job).collect();
    lines.sort_by_key(|line| line.n);
    lines
}

/// The lines of every job, by number, and the lots of every part, first to expire first: what many lines ask for is
/// looked up once.
pub struct Sorted {
    lines: BTreeMap<JobId, Vec<LineId>>,
    lots: BTreeMap<PartId, Vec<LotId>>,
}

impl Sorted {
    /// Sorts what was read.
    pub fn of(stock: &Stock) -> Sorted {
        let mut lines: BTreeMap<JobId, Vec<&Line>> = BTreeMap::new();
        for line in stock.lines.values() {
            lines.entry(line.job).or_default().push(line);
        }
        let by_number = |mut of: Vec<&Line>| {
            of.sort_by_key(|line| line.n);
            of.into_iter().map(|line| line.id).collect()
        };
        Sorted {
            lines: lines.into_iter().map(|(job, of)| (job, by_number(of))).collect(),
            lots: lots_in_turn(stock),
        }
    }

    /// The lines of a job, by number.
    pub fn lines(&self, job: JobId) -> &[LineId] {
        self.lines.get(&job).map_or(&[], Vec::as_slice)
    }

    /// The lots of a part, first to expire first.
    pub fn lots(&self, part: PartId) -> &[LotId] {
        self.lots.get(&part).map_or(&[], Vec::as_slice)
    }
}

/// The lots of every part, first to expire first.
pub fn lots_in_turn(stock: &Stock) -> BTreeMap<PartId, Vec<LotId>> {
    let mut lots: BTreeMap<PartId, Vec<&Lot>> = BTreeMap::new();
    for lot in stock.lots.values() {
        lots.entry(lot.part).or_default().push(lot);
    }
    lots.into_iter().map(|(part, of)| (part, in_turn(of))).collect()
}

/// Lots in the order in which they are used: first to expire first, no last day last, then the older lot.
fn in_turn(mut lots: Vec<&Lot>) -> Vec<LotId> {
    lots.sort_by_key(|lot| (lot.expiry.is_none(), lot.expiry, lot.id));
    lots.into_iter().map(|lot| lot.id).collect()
}

/// The smallest quantity of a lot that goes at once where it goes only whole: all of a set, a hand-out unit of what is
/// unopened.
pub fn only_whole(stock: &Stock, lot: LotId) -> Result<Option<Qty>, Refusal> {
    let goods = stock.lot(lot)?;
    Ok(match goods.size {
        Some(size) => Some(size),
        None if goods.opened.is_none() => stock.part_of(lot)?.hand_out,
        None => None,
    })
}

/// The lots of a part: first to expire first, no last day last, then the older lot.
pub fn first_to_expire(stock: &Stock, part: PartId) -> Vec<LotId> {
    in_turn(
        stock
            .lots
            .values()
            .map(Arc::as_ref)
            .filter(|lot| lot.part == part)
            .collect(),
    )
}
