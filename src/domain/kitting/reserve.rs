//! Reserving: jobs in order of need, lots first to expire first, each lot judged on the day of use.

use crate::domain::kitting::deal::Deal;
use crate::domain::kitting::turn::{Sorted, in_order_of_need, lines_of, only_whole};
use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{JobId, LineId, LotId};
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
    let jobs = in_order_of_need(stock, jobs)?;
    let mut draft = Draft::new(stock, head);
    let mut short = Vec::new();
    for job in &jobs {
        open(stock, *job)?;
        for line in sorted.lines(*job) {
            give_up_stale(&mut draft, *line)?;
            if draft.stock.line(*line)?.short().is_positive() {
                short.push(*line);
            }
        }
    }
    let mut reserved: BTreeMap<LineId, Vec<(LotId, Qty)>> = BTreeMap::new();
    for share in Deal::lay(&draft.stock, &jobs)?.deal() {
        draft.reserve(share.line, share.lot, share.qty)?;
        reserved
            .entry(share.line)
            .or_default()
            .push((share.lot, share.qty));
    }
    let outcome = |line: LineId| {
        let lots = sorted.lots(draft.stock.line(line)?.part);
        LineOutcome::of(
            &draft.stock,
            line,
            reserved.remove(&line).unwrap_or_default(),
            lots,
        )
    };
    let lines = short.into_iter().map(outcome).collect::<Result<_, Refusal>>()?;
    let posting = draft.finish()?;
    let written = !posting.claims.is_empty();
    Ok(Outcome {
        posting: written.then_some(posting),
        lines,
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

impl LineOutcome {
    /// What became of a line, and why the lots of its part that lie there did not serve it.
    fn of(
        stock: &Stock,
        line: LineId,
        reserved: Vec<(LotId, Qty)>,
        lots: &[LotId],
    ) -> Result<LineOutcome, Refusal> {
        let judged = stock.judged_for(stock.job_of(line)?);
        let mut outcome = LineOutcome {
            line,
            reserved,
            short: stock.line(line)?.short(),
            passed_over: vec![],
        };
        for &lot in lots {
            if has_pickable_place(stock, lot)
                && let Some(why) = passed_over(stock, line, lot, judged)?
            {
                outcome.passed_over.push((lot, why));
            }
        }
        if outcome.short.is_positive() {
            let left = left_standing(stock, line, lots, &outcome.passed_over)?;
            outcome.passed_over.extend(left);
        }
        Ok(outcome)
    }
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
