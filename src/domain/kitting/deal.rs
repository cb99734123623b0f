//! Dealing out what is there: the lines of jobs in order of need, each from the lots of its part, first to expire first.
//!
//! Who gets what is decided here for the whole plan at once, on facts laid out flat: the lots of a part side by side, a
//! line with nothing but what decides. The law itself judges each claim again when it is written.

use crate::domain::kitting::job::{Job, Line};
use crate::domain::kitting::turn::{lots_in_turn, only_whole};
use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{JobId, LineId, LotId, PartId, PlaceId};
use crate::domain::stores::stock::Stock;
use std::collections::BTreeMap;
use std::ops::Range;

/// What one line is given of one lot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Share {
    /// The line.
    pub line: LineId,
    /// The lot.
    pub lot: LotId,
    /// How much of it.
    pub qty: Qty,
}

/// A lot on the table.
#[derive(Clone, Copy)]
struct Goods {
    lot: LotId,
    /// Millionths that nobody has reserved.
    free: i64,
    /// Millionths that go at once: a whole one, or a step.
    unit: i64,
    /// Whether a line that is short of less takes a whole one all the same.
    whole: bool,
    last: Option<Day>,
    owner: Option<PlaceId>,
    condition: usize,
}

/// A line that is short.
#[derive(Clone, Copy)]
struct Wanted {
    line: LineId,
    /// The lots of its part: from here to there.
    from: usize,
    to: usize,
    /// Millionths it is short of, and that may still stand on it.
    short: i64,
    room: i64,
    judged: Day,
    customer: Option<PlaceId>,
    /// Which lists of conditions it takes.
    allows: usize,
}

/// Words numbered as they are met.
#[derive(Default)]
struct Words {
    numbers: BTreeMap<String, usize>,
    words: Vec<String>,
}

impl Words {
    fn number(&mut self, word: &str) -> usize {
        if let Some(number) = self.numbers.get(word) {
            return *number;
        }
        self.numbers.insert(word.to_owned(), self.words.len());
        self.words.push(word.to_owned());
        self.words.len() - 1
    }
}

/// Lots and lines laid out for dealing.
pub struct Deal {
    goods: Vec<Goods>,
    wanted: Vec<Wanted>,
    /// Whether a list of conditions takes a condition: a row of `conditions` answers for each list.
    takes: Vec<bool>,
    conditions: usize,
}

impl Deal {
    /// Lays out what is free, and the lines of these jobs that are short, in this order of jobs.
    pub fn lay(stock: &Stock, jobs: &[JobId]) -> Result<Deal, Refusal> {
        let (mut conditions, mut lists) = (Words::default(), Words::default());
        let lots = lots_in_turn(stock);
        let mut laid: BTreeMap<PartId, Range<usize>> = BTreeMap::new();
        let (mut goods, mut wanted) = (Vec::new(), Vec::new());
        let mut allows = ("", 0);
        for (job, lines) in short_lines(stock, jobs)? {
            let judged = stock.judged_for(job);
            for line in lines {
                let lots = match laid.get(&line.part) {
                    Some(lots) => lots.clone(),
                    None => {
                        let (from, of) = (goods.len(), lots.get(&line.part));
                        lay_goods(stock, of.map_or(&[], Vec::as_slice), &mut conditions, &mut goods)?;
                        laid.insert(line.part, from..goods.len());
                        from..goods.len()
                    }
                };
                if allows.0 != line.allows {
                    allows = (&line.allows, lists.number(&line.allows));
                }
                wanted.push(Wanted::of(line, job, judged, lots, allows.1));
            }
        }
        let takes = lists.words.iter().flat_map(|list| {
            let takes = |condition: &String| list.split(',').any(|one| !one.is_empty() && one == condition);
            conditions.words.iter().map(takes)
        });
        Ok(Deal {
            takes: takes.collect(),
            conditions: conditions.words.len(),
            goods,
            wanted,
        })
    }

    /// How many lines are short before anything is dealt.
    pub fn wanted(&self) -> usize {
        self.wanted.len()
    }

    /// Deals: what each line is given, in the order in which it is given.
    pub fn deal(mut self) -> Vec<Share> {
        let mut shares = Vec::with_capacity(self.wanted.len());
        for mut line in std::mem::take(&mut self.wanted) {
            let goods = self.goods.get_mut(line.from..line.to).unwrap_or_default();
            for lot in goods {
                let allowed = self.takes.get(line.allows * self.conditions + lot.condition);
                let fits = lot.owner.is_none() || lot.owner == line.customer;
                let usable = lot.last.is_none_or(|last| line.judged <= last);
                if lot.free <= 0 || !fits || !usable || allowed != Some(&true) {
                    continue;
                }
                let qty = lot.claimable(line.short, line.room);
                if qty > 0 {
                    shares.push(Share {
                        line: line.line,
                        lot: lot.lot,
                        qty: Qty::from_millionths(qty),
                    });
                    lot.free -= qty;
                    line.short -= qty;
                    line.room -= qty;
                }
                if line.short <= 0 {
                    break;
                }
            }
        }
        shares
    }
}

/// The lines of each job that are short, by number, in this order of jobs: one pass through the lines of the books.
fn short_lines<'a>(stock: &'a Stock, jobs: &[JobId]) -> Result<Vec<(&'a Job, Vec<&'a Line>)>, Refusal> {
    let mut found = Vec::with_capacity(jobs.len());
    let mut ranks = BTreeMap::new();
    for (rank, id) in jobs.iter().enumerate() {
        found.push((stock.job(*id)?, Vec::new()));
        ranks.insert(*id, rank);
    }
    // The lines of a job mostly stand side by side, so its rank is looked up once.
    let mut last = (None, None);
    for line in stock.lines.values() {
        if last.0 != Some(line.job) {
            last = (Some(line.job), ranks.get(&line.job));
        }
        if let Some((_, lines)) = last.1.and_then(|rank| found.get_mut(*rank))
            && line.short().is_positive()
        {
            lines.push(line);
        }
    }
    for (_, lines) in &mut found {
        lines.sort_by_key(|line| line.n);
    }
    Ok(found)
}

/// Lays the lots of a part out, first to expire first; what nobody may have now is left off.
fn lay_goods(
    stock: &Stock,
    lots: &[LotId],
    conditions: &mut Words,
    goods: &mut Vec<Goods>,
) -> Result<(), Refusal> {
    for id in lots {
        let position = stock.position(*id)?;
        // Of a held lot nothing may be picked, so nothing of it is free.
        if !position.free().is_positive() {
            continue;
        }
        let (lot, part) = (stock.lot(*id)?, stock.part_of(*id)?);
        let whole = only_whole(stock, *id)?;
        let unit = whole.unwrap_or(part.step);
        // A set that is no whole number of hand-out units goes nowhere unopened.
        let parts = |hand_out: &Qty| unit.millionths() % hand_out.millionths() != 0;
        if whole.is_some() && lot.opened.is_none() && part.hand_out.as_ref().is_some_and(parts) {
            continue;
        }
        goods.push(Goods {
            lot: *id,
            free: position.free().millionths(),
            unit: unit.millionths().max(1),
            whole: whole.is_some(),
            last: lot.expiry,
            owner: lot.owner,
            condition: conditions.number(&lot.condition),
        });
    }
    Ok(())
}

impl Wanted {
    fn of(line: &Line, job: &Job, judged: Day, lots: Range<usize>, allows: usize) -> Wanted {
        Wanted {
            line: line.id,
            from: lots.start,
            to: lots.end,
            short: line.short().millionths(),
            room: (line.most - line.stands()).millionths(),
            judged,
            customer: job.customer,
            allows,
        }
    }
}

impl Goods {
    /// How much of it a line that is short of this much may have: whole ones of what goes out only whole, never beyond
    /// what may stand on the line; by measure only whole steps, for a rest of less cannot be picked.
    fn claimable(&self, short: i64, room: i64) -> i64 {
        let wished = if self.whole {
            short.saturating_add(self.unit - 1) / self.unit * self.unit
        } else {
            short
        };
        let most = wished.min(self.free).min(room);
        most - most % self.unit
    }
}
