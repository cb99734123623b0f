//! Reserving: jobs in order of need, lots first to expire first, each lot judged on the day of use.

use crate::domain::kitting::job::Line;
use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{JobId, LineId, LotId, PartId};
use crate::domain::stores::lot::Lot;
use crate::domain::stores::posting::{Held, Posting, Source};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::lines::{fits, open};
use std::collections::{BTreeMap, BTreeSet};

/// Why a lot was passed over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PassedOver {
    /// Its last day lies before the day it is judged on.
    Dead {
        /// Its last day.
        last: Day,
        /// The day it is judged on.
        judged: Day,
    },
    /// A hold lies on it.
    OnHold(Vec<String>),
    /// It does not fit: owner or condition.
    Unfit(String),
    /// Other jobs have reserved it, at most one more than are named; told only where the line stays short.
    ReservedFor(Vec<JobId>),
    /// What is free of it goes out only whole, this many at once; told only where the line stays short.
    OnlyWhole(Qty),
}

/// What became of one line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineOutcome {
    /// The line, as it stood before.
    pub line: LineId,
    /// What was reserved now, lot by lot.
    pub reserved: Vec<(LotId, Qty)>,
    /// What it is still short of.
    pub short: Qty,
    /// Lots with something on shelf or bench that were passed over, and why.
    pub passed_over: Vec<(LotId, PassedOver)>,
}

/// What a reserving did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outcome {
    /// The document, if there is anything to write.
    pub posting: Option<Posting>,
    /// Every line that was short before, in order of need.
    pub lines: Vec<LineOutcome>,
}

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
        let mut lots: BTreeMap<PartId, Vec<&Lot>> = BTreeMap::new();
        for lot in stock.lots.values() {
            lots.entry(lot.part).or_default().push(lot);
        }
        let by_number = |mut of: Vec<&Line>| {
            of.sort_by_key(|line| line.n);
            of.into_iter().map(|line| line.id).collect()
        };
        Sorted {
            lines: lines.into_iter().map(|(job, of)| (job, by_number(of))).collect(),
            lots: lots.into_iter().map(|(part, of)| (part, in_turn(of))).collect(),
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

/// Lots in the order in which they are used: first to expire first, no last day last, then the older lot.
fn in_turn(mut lots: Vec<&Lot>) -> Vec<LotId> {
    lots.sort_by_key(|lot| (lot.expiry.is_none(), lot.expiry, lot.id));
    lots.into_iter().map(|lot| lot.id).collect()
}

/// Refuses numbers that no line of the job bears.
pub fn judge_numbers(stock: &Stock, job: JobId, numbers: &[i64]) -> Result<(), Refusal> {
    let known: Vec<i64> = lines_of(stock, job).iter().map(|line| line.n).collect();
    match numbers.iter().find(|n| !known.contains(n)) {
        None => Ok(()),
        Some(n) => Err(Refusal::Unknown {
            what: "line",
            asked: format!("{n} of {}", stock.job(job)?.number),
            near: vec![],
        }),
    }
}

/// Reserves for jobs that are open; what is short stays short and is told.
pub fn reserve(stock: &Stock, head: Head, jobs: &[JobId]) -> Result<Outcome, Refusal> {
    let sorted = Sorted::of(stock);
    let mut draft = Draft::new(stock, head);
    let mut outcomes = Vec::new();
    for job in in_order_of_need(stock, jobs)? {
        open(stock, job)?;
        for &line in sorted.lines(job) {
            give_up_stale(&mut draft, line)?;
            let wanted = draft.stock.line(line)?;
            if wanted.short().is_positive() {
                let lots = sorted.lots(wanted.part);
                outcomes.push(reserve_line(&mut draft, line, lots)?);
            }
        }
    }
    let posting = draft.finish()?;
    let written = !posting.claims.is_empty();
    Ok(Outcome {
        posting: written.then_some(posting),
        lines: outcomes,
    })
}

/// A claim on a lot that has died since is given up, so that another lot can take its place.
fn give_up_stale(draft: &mut Draft, line: LineId) -> Result<(), Refusal> {
    let judged = draft.stock.judged_for(draft.stock.job_of(line)?);
    for (source, _) in draft.stock.claims.for_line(line) {
        if let Source::Lot(lot) = source
            && !draft.stock.lot(lot)?.usable_on(judged)
        {
            draft.free(line, source, None)?;
        }
    }
    Ok(())
}

/// Reserves for one line, first to expire first.
fn reserve_line(draft: &mut Draft, line: LineId, lots: &[LotId]) -> Result<LineOutcome, Refusal> {
    let judged = draft.stock.judged_for(draft.stock.job_of(line)?);
    let mut outcome = LineOutcome {
        line,
        reserved: vec![],
        short: Qty::ZERO,
        passed_over: vec![],
    };
    for &lot in lots {
        if !has_pickable_place(&draft.stock, lot) {
            continue;
        }
        if let Some(why) = passed_over(&draft.stock, line, lot, judged)? {
            outcome.passed_over.push((lot, why));
            continue;
        }
        let short = draft.stock.line(line)?.short();
        let qty = claimable(draft, line, lot, short)?;
        if short.is_positive() && qty.is_positive() {
            draft.reserve(line, lot, qty)?;
            outcome.reserved.push((lot, qty));
        }
    }
    outcome.short = draft.stock.line(line)?.short();
    if outcome.short.is_positive() {
        let left = left_standing(&draft.stock, line, lots, &outcome.passed_over)?;
        outcome.passed_over.extend(left);
    }
    Ok(outcome)
}

/// Why a line that stays short did not get the rest of lots that fit it.
fn left_standing(
    stock: &Stock,
    line: LineId,
    lots: &[LotId],
    told: &[(LotId, PassedOver)],
) -> Result<Vec<(LotId, PassedOver)>, Refusal> {
    let mut left = Vec::new();
    for &lot in lots {
        if told.iter().any(|(known, _)| *known == lot) || !has_pickable_place(stock, lot) {
            continue;
        }
        let jobs = others_with_claims(stock, line, lot)?;
        if !jobs.is_empty() {
            left.push((lot, PassedOver::ReservedFor(jobs)));
        }
        let causes = causes_of_places(stock, lot);
        if !causes.is_empty() {
            left.push((lot, PassedOver::OnHold(causes)));
        }
        if stock.position(lot)?.free().is_positive()
            && let Some(unit) = only_whole(stock, lot)?
        {
            left.push((lot, PassedOver::OnlyWhole(unit)));
        }
    }
    Ok(left)
}

/// How many jobs are named that have a lot reserved, before it says that there are others.
pub const JOBS_NAMED: usize = 3;

/// Other jobs that have something of a lot reserved, in order of number: those that are named, and one more if there is
/// one, for a lot may serve hundreds.
fn others_with_claims(stock: &Stock, line: LineId, lot: LotId) -> Result<Vec<JobId>, Refusal> {
    let own = stock.line(line)?.job;
    let mut jobs = BTreeSet::new();
    for (other, _) in stock.claims.each_on(Source::Lot(lot)) {
        let job = stock.line(other)?.job;
        if job != own && jobs.insert(job) && jobs.len() > JOBS_NAMED {
            break;
        }
    }
    Ok(jobs.into_iter().collect())
}

/// The causes of the holds on the shelves and benches where some of a lot lies.
fn causes_of_places(stock: &Stock, lot: LotId) -> Vec<String> {
    stock
        .places_of(lot)
        .filter(|(place, balance)| place.pickable() && balance.qty.is_positive())
        .flat_map(|(place, _)| stock.causes(Held::Place(place)))
        .collect()
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
    in_turn(stock.lots.values().filter(|lot| lot.part == part).collect())
}

/// Whether anything of the lot lies on a shelf or the bench.
pub fn has_pickable_place(stock: &Stock, lot: LotId) -> bool {
    stock
        .places_of(lot)
        .any(|(place, balance)| place.pickable() && balance.qty.is_positive())
}

/// Why a lot is not for this line, if it is not.
pub fn passed_over(
    stock: &Stock,
    line: LineId,
    lot: LotId,
    judged: Day,
) -> Result<Option<PassedOver>, Refusal> {
    let goods = stock.lot(lot)?;
    if let Err(refusal) = fits(stock, line, lot) {
        return Ok(Some(PassedOver::Unfit(refusal.to_string())));
    }
    if let Some(last) = goods.expiry.filter(|_| !goods.usable_on(judged)) {
        return Ok(Some(PassedOver::Dead { last, judged }));
    }
    if stock.position(lot)?.held > 0 {
        return Ok(Some(PassedOver::OnHold(stock.causes(Held::Lot(lot)))));
    }
    Ok(None)
}

/// How much of a lot a line that is short of this much may claim: whole hand-out units of what is unopened, a set
/// whole, never beyond what may stand on the line; by measure only whole steps, for a rest of less cannot be picked.
fn claimable(draft: &Draft, line: LineId, lot: LotId, short: Qty) -> Result<Qty, Refusal> {
    let free = draft.stock.position(lot)?.free();
    let wanted = draft.stock.line(line)?;
    let room = wanted.most - wanted.stands();
    let Some(unit) = only_whole(&draft.stock, lot)? else {
        let step = draft.stock.part_of(lot)?.step.millionths();
        let steps = short.min(free).min(room).millionths() / step;
        return Ok(Qty::from_millionths(steps * step));
    };
    let units = (short.millionths() + unit.millionths() - 1) / unit.millionths();
    let up = Qty::from_millionths(units * unit.millionths());
    draft.whole_claim(lot, up.min(free).min(room))
}

/// Gives up what a job has reserved, or what some of its lines have; returns what was freed.
pub fn free(stock: &Stock, head: Head, job: JobId, numbers: &[i64]) -> Result<Option<Posting>, Refusal> {
    judge_numbers(stock, job, numbers)?;
    let mut draft = Draft::new(stock, head);
    for line in lines_of(stock, job) {
        if numbers.is_empty() || numbers.contains(&line.n) {
            for (source, _) in stock.claims.for_line(line.id) {
                draft.free(line.id, source, None)?;
            }
        }
    }
    let posting = draft.finish()?;
    Ok((!posting.claims.is_empty()).then_some(posting))
}
