//! The pick list in walking order, its confirmation as listed, and the issue of a kit to its engine.

use crate::domain::kitting::reserve::judge_numbers;
use crate::domain::kitting::turn::lines_of;
use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{JobId, LineId, LotId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::posting::{Posting, Source};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::enter::Move;
use crate::domain::stores::verbs::lines::open;
use crate::domain::stores::verbs::moves::post_moves;
use std::collections::{BTreeMap, BTreeSet};

/// One line of a pick list; its printed number is its handle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PickLine {
    /// The printed number.
    pub n: i64,
    /// The job line it serves.
    pub line: LineId,
    /// The lot to take.
    pub lot: LotId,
    /// From which bin.
    pub place: PlaceId,
    /// How much is still to be taken.
    pub qty: Qty,
    /// Its last day, where that lies before the day it is judged on: not to be picked.
    pub dead: Option<Day>,
}

/// What was picked already from the list that holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Picked {
    /// For which job line.
    pub line: LineId,
    /// Which lot.
    pub lot: LotId,
    /// From which bin.
    pub place: PlaceId,
    /// How much.
    pub qty: Qty,
}

/// One line of the paper answered in pencil.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PickAnswer {
    /// The printed number.
    pub n: i64,
    /// How much was taken; none is as listed, nothing where the bin was bare.
    pub qty: Option<Qty>,
    /// The lot that was taken instead of the one listed.
    pub lot: Option<LotId>,
    /// The bin has no more of the lot: whatever the book still says is there is lost, and the head says why.
    pub missing: bool,
}

/// What a line of the paper came to.
struct Taken {
    line: PickLine,
    instead: Option<LotId>,
    missing: bool,
}

/// A paper that comes back: which list it is, what was picked from it before, and what is answered.
#[derive(Clone, Copy, Debug)]
pub struct Confirmation<'a> {
    /// The number that the paper bears.
    pub list: i64,
    /// What was picked from it before.
    pub picked: &'a [Picked],
    /// The lines answered; none is the whole paper as listed.
    pub answers: Option<&'a [PickAnswer]>,
}

/// How much of each lot each line takes from which bin.
type Spread = BTreeMap<(LineId, LotId, PlaceId), Qty>;

/// What is reserved for a job and not yet picked, in the order in which a clerk walks. A line keeps its number until the
/// list does not hold any more: what was picked from the list before is counted in, then left out. Only goods that were
/// moved from bin to bin in between are numbered anew.
pub fn pick_list(stock: &Stock, job: JobId, picked: &[Picked]) -> Result<Vec<PickLine>, Refusal> {
    let judged = stock.judged_for(stock.job(job)?);
    let mut whole: Vec<((LineId, LotId, PlaceId), Qty)> = spread(stock, job, picked)?.into_iter().collect();
    whole.sort_by_key(|((line, lot, place), _)| {
        let (walk, code) = walking_order(stock, *place);
        (walk, code, *line, *lot)
    });
    let mut lines = Vec::new();
    for (n, ((line, lot, place), listed)) in (1_i64..).zip(whole) {
        let gone: Qty = picked
            .iter()
            .filter(|one| (one.line, one.lot, one.place) == (line, lot, place))
            .map(|one| one.qty)
            .sum();
        let qty = listed - gone;
        if qty.is_positive() {
            let goods = stock.lot(lot)?;
            let dead = goods.expiry.filter(|_| !goods.usable_on(judged));
            lines.push(PickLine {
                n,
                line,
                lot,
                place,
                qty,
                dead,
            });
        }
    }
    Ok(lines)
}

/// What is reserved for a job, with what was picked already laid back in its bins, over the bins in walking order.
fn spread(stock: &Stock, job: JobId, picked: &[Picked]) -> Result<Spread, Refusal> {
    let mut there: BTreeMap<(LotId, PlaceId), Qty> = BTreeMap::new();
    for one in picked {
        *there.entry((one.lot, one.place)).or_default() += one.qty;
    }
    let mut whole = Spread::new();
    for line in lines_of(stock, job) {
        for (lot, reserved) in wanted(stock, line.id, picked) {
            let mut left = reserved;
            for place in walk(stock, lot, picked) {
                // What this line or an earlier one takes from the bin is no longer there for the next.
                let laid_back = there.entry((lot, place)).or_default();
                let lying = if stock.counts_as_pickable(lot, place) {
                    stock.balance(lot, place).qty
                } else {
                    Qty::ZERO
                };
                let qty = (lying + *laid_back).min(left);
                if qty.is_positive() {
                    *laid_back -= qty;
                    left -= qty;
                    whole.insert((line.id, lot, place), qty);
                }
            }
        }
    }
    Ok(whole)
}

/// What a line has reserved of each lot, with what was picked from the list before.
fn wanted(stock: &Stock, line: LineId, picked: &[Picked]) -> BTreeMap<LotId, Qty> {
    let mut lots: BTreeMap<LotId, Qty> = BTreeMap::new();
    for (source, reserved) in stock.claims.for_line(line) {
        if let Source::Lot(lot) = source {
            *lots.entry(lot).or_default() += reserved;
        }
    }
    for one in picked.iter().filter(|one| one.line == line) {
        *lots.entry(one.lot).or_default() += one.qty;
    }
    lots
}

/// Where a place stands on the walk: one without a number comes last.
fn walking_order(stock: &Stock, id: PlaceId) -> ((bool, Option<i64>), Option<String>) {
    let place = stock.places.get(&id);
    let walk = place.and_then(|place| place.walk);
    ((walk.is_none(), walk), place.map(|place| place.code.clone()))
}

/// The bins of a lot that are on no hold, and those that the list took it from before, in walking order.
fn walk(stock: &Stock, lot: LotId, picked: &[Picked]) -> Vec<PlaceId> {
    let lying = stock
        .places_of(lot)
        .filter(|(place, balance)| balance.qty.is_positive() && stock.counts_as_pickable(lot, *place))
        .map(|(place, _)| place);
    let before = picked.iter().filter(|one| one.lot == lot).map(|one| one.place);
    let places: BTreeSet<PlaceId> = lying.chain(before).collect();
    let mut places: Vec<PlaceId> = places.into_iter().collect();
    places.sort_by_key(|place| walking_order(stock, *place));
    places
}

/// Books a list that comes back, whole or the lines answered; what was picked from it before is taken only once. More
/// than is listed is refused; so are a dead lot and a paper that does not hold any more.
pub fn pick_as_listed(
    stock: &Stock,
    head: Head,
    job: JobId,
    paper: Confirmation<'_>,
) -> Result<Option<Posting>, Refusal> {
    open(stock, job)?;
    let (kit, now, number) = {
        let job = stock.job(job)?;
        (job.kit, job.list, job.number.clone())
    };
    if paper.list != now {
        return Err(Refusal::OldList {
            job: number,
            answered: paper.list,
            now,
        });
    }
    let listed = pick_list(stock, job, paper.picked)?;
    let called = format!("list {now} of {number}");
    let taken = match paper.answers {
        None => listed.into_iter().map(as_it_stands).collect(),
        Some(answers) => answered(&listed, last_number(stock, job, paper.picked)?, answers, &called)?,
    };
    let moves = moves_of(stock, kit, &taken)?;
    if moves.is_empty() {
        return Ok(None);
    }
    let head = Head {
        list: Some(now),
        job: Some(job),
        ..head
    };
    let (lost, picked): (Vec<Move>, Vec<Move>) = moves
        .into_iter()
        .partition(|moved| moved.movement == Movement::Loss);
    let mut draft = Draft::new(stock, head);
    for moved in &picked {
        draft.go(moved)?;
    }
    // What was picked was chosen and is judged so; only then comes what has happened, which strips instead.
    draft.settle()?;
    draft.chosen_lots.clear();
    for moved in &lost {
        draft.go(moved)?;
    }
    draft.finish().map(Some)
}

/// The last number on the paper, picked lines included.
fn last_number(stock: &Stock, job: JobId, picked: &[Picked]) -> Result<i64, Refusal> {
    Ok(spread(stock, job, picked)?.len() as i64)
}

fn as_it_stands(line: PickLine) -> Taken {
    Taken {
        line,
        instead: None,
        missing: false,
    }
}

/// What was taken goes into the kit, other lots after those listed; what the book says is left in a bare bin is lost.
fn moves_of(stock: &Stock, kit: PlaceId, taken: &[Taken]) -> Result<Vec<Move>, Refusal> {
    let scales = PlaceId::of(Kind::Counted, 1);
    let (mut moves, mut others) = (Vec::new(), Vec::new());
    for Taken { line, instead, .. } in taken.iter().filter(|taken| taken.line.qty.is_positive()) {
        let (into, lot, from) = match instead {
            None => (&mut moves, line.lot, line.place),
            Some(lot) => (&mut others, *lot, bin_of_other(stock, *lot, line)?),
        };
        into.push(Move::new(Movement::Pick, lot, from, kit, line.qty).onto(line.line));
    }
    moves.append(&mut others);
    let bare: BTreeSet<(LotId, PlaceId)> = taken
        .iter()
        .filter(|taken| taken.missing)
        .map(|taken| (taken.line.lot, taken.line.place))
        .collect();
    for (lot, place) in bare {
        let gone = moves
            .iter()
            .filter(|moved| (moved.lot, moved.from) == (lot, place));
        let missing = stock.balance(lot, place).qty - gone.map(|moved| moved.qty).sum();
        if missing.is_positive() {
            moves.push(Move::new(Movement::Loss, lot, place, scales, missing));
        }
    }
    Ok(moves)
}

/// The bin that another lot was taken from: the one listed if it lies there too, else the first on the walk with enough.
fn bin_of_other(stock: &Stock, lot: LotId, line: &PickLine) -> Result<PlaceId, Refusal> {
    let bins = walk(stock, lot, &[]);
    let enough = |place: &PlaceId| stock.balance(lot, *place).qty >= line.qty;
    let found = bins
        .iter()
        .find(|place| **place == line.place && enough(place))
        .or_else(|| bins.iter().find(|place| enough(place)))
        .or_else(|| bins.first());
    found.copied().ok_or_else(|| Refusal::Impossible {
        what: format!(
            "lot {}",
            stock.lots.get(&lot).map_or("", |lot| lot.number.as_str())
        ),
        because: "none of it lies on a shelf or the bench where it could be taken".to_owned(),
    })
}

/// The lines answered with the quantities taken; each number once, on the paper, and no more than is left of it.
fn answered(
    listed: &[PickLine],
    last: i64,
    answers: &[PickAnswer],
    called: &str,
) -> Result<Vec<Taken>, Refusal> {
    let mut seen = BTreeSet::new();
    let mut taken = Vec::new();
    for &PickAnswer { n, qty, lot, missing } in answers {
        if !(1..=last).contains(&n) {
            return Err(Refusal::Unknown {
                what: "line",
                asked: format!("{n} on {called}"),
                near: vec![],
            });
        }
        if !seen.insert(n) {
            return Err(Refusal::Doubled {
                what: "an answer to line",
                name: format!("{n} of {called}"),
            });
        }
        let line = listed.iter().find(|line| line.n == n);
        let left = line.map_or(Qty::ZERO, |line| line.qty);
        let asked = qty.unwrap_or(left);
        if asked > left || asked.is_negative() {
            return Err(Refusal::Impossible {
                what: format!("line {n} of {called}"),
                because: format!("{asked} answered, {left} left to pick"),
            });
        }
        taken.extend(line.map(|line| Taken {
            line: PickLine {
                qty: asked,
                ..line.clone()
            },
            instead: lot.filter(|lot| *lot != line.lot),
            missing,
        }));
    }
    Ok(taken)
}

/// Issues what lies in the kit to the engine: all of it, or what some lines have.
pub fn issue(stock: &Stock, head: Head, job: JobId, numbers: &[i64]) -> Result<Option<Posting>, Refusal> {
    open(stock, job)?;
    judge_numbers(stock, job, numbers)?;
    let (kit, engine) = (stock.job(job)?.kit, stock.job(job)?.engine);
    let mut left: BTreeMap<LotId, Qty> = stock
        .balances
        .iter()
        .filter(|((_, place), balance)| *place == kit && balance.qty.is_positive())
        .map(|((lot, _), balance)| (*lot, balance.qty))
        .collect();
    let mut moves = Vec::new();
    for line in lines_of(stock, job) {
        let mut wanted = line.kitted;
        for (lot, there) in &mut left {
            let qty = wanted.min(*there);
            if stock.lot(*lot)?.part == line.part && qty.is_positive() {
                wanted -= qty;
                *there -= qty;
                if numbers.is_empty() || numbers.contains(&line.n) {
                    moves.push(
                        Move::new(Movement::Issue, *lot, kit, engine, qty)
                            .off(line.id)
                            .onto(line.id),
                    );
                }
            }
        }
    }
    if moves.is_empty() {
        return Ok(None);
    }
    post_moves(
        stock,
        Head {
            job: Some(job),
            ..head
        },
        &moves,
    )
    .map(Some)
}
