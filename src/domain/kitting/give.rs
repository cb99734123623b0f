//! A part given at the hatch: picked and issued to the engine in one document, the broken one scrapped in it.

use crate::domain::kitting::job::Line;
use crate::domain::kitting::reserve::{has_pickable_place, passed_over};
use crate::domain::kitting::turn::{first_to_expire, lines_of, only_whole};
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{JobId, LineId, LotId, PartId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::posting::{Posting, Source};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::enter::Move;
use crate::domain::stores::verbs::lines::open;

/// What is given, to which job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gift {
    /// The job.
    pub job: JobId,
    /// The part.
    pub part: PartId,
    /// How much.
    pub qty: Qty,
    /// What the job has of it is broken and scrapped; otherwise the job needs more than its bill says.
    pub broken: bool,
}

/// Gives a part to a job: what is broken is scrapped off its engine or out of its kit, then as much is picked, first to
/// expire first, and issued. Where nothing is broken and the line has all it needs, its need rises.
pub fn give(stock: &Stock, head: Head, gift: Gift) -> Result<Posting, Refusal> {
    open(stock, gift.job)?;
    if !gift.qty.is_positive() {
        return Err(Refusal::Nothing);
    }
    let line = line_for(stock, gift)?;
    let head = Head {
        job: Some(gift.job),
        ..head
    };
    let mut draft = Draft::new(stock, head);
    if gift.broken {
        draft.scrap_broken(gift, line.id)?;
    } else {
        let room = (line.need - line.kitted - line.fitted).max(Qty::ZERO);
        if gift.qty > room {
            draft.set_need(line.id, line.need + gift.qty - room)?;
        }
    }
    draft.hand_over(gift, line.id)?;
    draft.finish()
}

/// The job's line of the part: the one that is short first.
fn line_for(stock: &Stock, gift: Gift) -> Result<&Line, Refusal> {
    let mut lines = lines_of(stock, gift.job);
    lines.retain(|line| line.part == gift.part && !line.dropped);
    lines.sort_by_key(|line| (!line.short().is_positive(), line.n));
    lines.first().copied().ok_or(Refusal::Unknown {
        what: "line of the job for",
        asked: stock.part(gift.part)?.number.clone(),
        near: Vec::new(),
    })
}

impl Draft {
    /// Scraps what is broken: what the engine has of the line, else what lies in the kit.
    fn scrap_broken(&mut self, gift: Gift, line: LineId) -> Result<(), Refusal> {
        let (job, of) = (self.stock.job(gift.job)?.clone(), self.stock.line(line)?.clone());
        let place = if of.fitted >= gift.qty {
            job.engine
        } else if of.kitted >= gift.qty {
            job.kit
        } else {
            return Err(Refusal::UnderLine {
                job: job.number,
                n: of.n,
            });
        };
        let mut left = gift.qty;
        for (lot, there) in self.lots_there(gift.part, place) {
            let qty = there.min(left);
            if qty.is_positive() {
                left -= qty;
                let scrap = PlaceId::of(Kind::Scrap, 1);
                self.go(&Move::new(Movement::Scrap, lot, place, scrap, qty).off(line))?;
            }
        }
        Ok(())
    }

    /// The lots of a part that lie in a place, the older first.
    fn lots_there(&self, part: PartId, place: PlaceId) -> Vec<(LotId, Qty)> {
        let of_part = |lot: &LotId| self.stock.lots.get(lot).is_some_and(|lot| lot.part == part);
        self.stock
            .balances
            .iter()
            .filter(|((lot, at), balance)| *at == place && balance.qty.is_positive() && of_part(lot))
            .map(|((lot, _), balance)| (*lot, balance.qty))
            .collect()
    }

    /// Picks what is free or reserved for the line, and issues it.
    fn hand_over(&mut self, gift: Gift, line: LineId) -> Result<(), Refusal> {
        let job = self.stock.job(gift.job)?.clone();
        let judged = self.stock.judged_for(&job);
        let mut left = gift.qty;
        for lot in first_to_expire(&self.stock, gift.part) {
            if !has_pickable_place(&self.stock, lot) || passed_over(&self.stock, line, lot, judged)?.is_some()
            {
                continue;
            }
            for (place, lying) in self.pickable_places(lot) {
                let own = self.stock.claims.of(line, Source::Lot(lot));
                let mut qty = left.min(lying).min(self.stock.position(lot)?.free() + own);
                if let Some(unit) = only_whole(&self.stock, lot)? {
                    let units = qty.millionths() / unit.millionths();
                    qty = Qty::from_millionths(units * unit.millionths());
                }
                if qty.is_positive() {
                    left -= qty;
                    self.go(&Move::new(Movement::Pick, lot, place, job.kit, qty).onto(line))?;
                    let issued = Move::new(Movement::Issue, lot, job.kit, job.engine, qty);
                    self.go(&issued.off(line).onto(line))?;
                }
            }
        }
        if left.is_zero() {
            return Ok(());
        }
        let part = self.stock.part(gift.part)?;
        Err(Refusal::Impossible {
            what: part.number.clone(),
            because: format!(
                "{} {} of it can be given, {} {} asked for; the rest is reserved, dead, on hold, not there, or goes \
                 out only whole",
                gift.qty - left,
                part.unit,
                gift.qty,
                part.unit
            ),
        })
    }

    /// Shelves and benches where some of a lot may be picked, in the order of their numbers.
    fn pickable_places(&self, lot: LotId) -> Vec<(PlaceId, Qty)> {
        self.stock
            .places_of(lot)
            .filter(|(place, balance)| {
                balance.qty.is_positive() && self.stock.counts_as_pickable(lot, *place)
            })
            .map(|(place, balance)| (place, balance.qty))
            .collect()
    }
}
