//! Claims: what is reserved of a lot, or promised of an order line, for a line of a job.

use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{LineId, LotId, OrderLineId};
use crate::domain::stores::posting::{Held, Source, Why};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::enter::Move;
use crate::domain::stores::verbs::lines::{fits, open, whole_hand_out};

impl Draft {
    /// Reserves a quantity of a lot for a line that is short; what is chosen is refused where it does not fit.
    pub fn reserve(&mut self, line: LineId, lot: LotId, qty: Qty) -> Result<(), Refusal> {
        self.judge_claim(line, qty)?;
        fits(&self.stock, line, lot)?;
        self.judge_source(line, lot)?;
        let goods = self.stock.lot(lot)?;
        if let Some(size) = goods.size
            && qty != size
        {
            return Err(Refusal::Whole {
                lot: goods.number.clone(),
                size,
            });
        }
        whole_hand_out(&self.stock, lot, qty)?;
        let free = self.stock.position(lot)?.free();
        if qty > free {
            return Err(reserved_for_others(&self.stock, lot, qty, free, None)?);
        }
        self.claim(line, Source::Lot(lot), qty, Why::Reserve)
    }

    /// Promises a quantity that is still to come on an order line to a line that is short.
    pub fn peg(&mut self, line: LineId, order: OrderLineId, qty: Qty) -> Result<(), Refusal> {
        self.judge_claim(line, qty)?;
        let (supply, wanted) = (self.stock.order(order)?, self.stock.line(line)?);
        let part = self.stock.part(supply.part)?;
        if supply.part != wanted.part {
            let wanted = self.stock.part(wanted.part)?.number.clone();
            return Err(Refusal::WrongPart {
                lot: supply.order.clone(),
                part: part.number.clone(),
                wanted,
            });
        }
        if part
            .hand_out
            .is_some_and(|unit| qty.millionths() % unit.millionths() != 0)
        {
            let hand_out = part.hand_out.unwrap_or(Qty::ZERO);
            let (part, unit) = (part.number.clone(), part.unit.to_string());
            return Err(Refusal::HandOut {
                part,
                hand_out,
                asked: qty,
                unit,
            });
        }
        let coming = supply.still_coming() - supply.pegged;
        if qty > coming {
            return Err(Refusal::OrderLineFull {
                order: supply.order.clone(),
                asked: qty,
                coming,
            });
        }
        self.claim(line, Source::Order(order), qty, Why::Reserve)
    }

    /// Gives up what a line has on a source, or as much of it as is named.
    pub fn free(&mut self, line: LineId, source: Source, qty: Option<Qty>) -> Result<Qty, Refusal> {
        let has = self.stock.claims.of(line, source);
        let gone = qty.unwrap_or(has).min(has);
        self.claim(line, source, -gone, Why::Free)?;
        Ok(gone)
    }

    /// Ends the line's own claim on a lot as it is picked; the rest must be free.
    pub fn end_claim_by_picking(&mut self, asked: &Move, line: LineId) -> Result<(), Refusal> {
        let source = Source::Lot(asked.lot);
        let own = self.stock.claims.of(line, source).min(asked.qty);
        let free = self.stock.position(asked.lot)?.free();
        if asked.qty - own > free {
            return Err(reserved_for_others(
                &self.stock,
                asked.lot,
                asked.qty,
                free + own,
                Some(line),
            )?);
        }
        self.claim(line, source, -own, Why::Pick)
    }

    /// An open job, a line that is short, a quantity that stays within what the line may take.
    fn judge_claim(&self, line: LineId, qty: Qty) -> Result<(), Refusal> {
        let wanted = self.stock.line(line)?;
        open(&self.stock, wanted.job)?;
        if !qty.is_positive() {
            return Err(Refusal::Nothing);
        }
        let job = self.stock.job(wanted.job)?.number.clone();
        if !wanted.short().is_positive() {
            return Err(Refusal::NotShort { job, n: wanted.n });
        }
        let room = wanted.most - wanted.stands();
        if qty > room {
            let unit = self.stock.part(wanted.part)?.unit.to_string();
            return Err(Refusal::OverLine {
                job,
                n: wanted.n,
                asked: qty,
                room,
                unit,
            });
        }
        Ok(())
    }

    /// The lot is on no hold and usable on the latest of clock, document day and day of use.
    fn judge_source(&self, line: LineId, lot: LotId) -> Result<(), Refusal> {
        let goods = self.stock.lot(lot)?;
        if self.stock.position(lot)?.held > 0 {
            let causes = self.stock.causes(Held::Lot(lot));
            return Err(Refusal::OnHold {
                what: format!("lot {}", goods.number),
                causes,
            });
        }
        let judged = self.stock.judged_for(self.stock.job_of(line)?);
        match goods.expiry {
            Some(last) if !goods.usable_on(judged) => {
                let part = self.stock.part(goods.part)?.number.clone();
                Err(Refusal::Dead {
                    lot: goods.number.clone(),
                    part,
                    last,
                    judged,
                })
            }
            _ => Ok(()),
        }
    }

    /// Turns pegs of an order line into claims on a lot accepted from it, in order of day of use, as far as the lot
    /// is free, fits the line and is usable for it.
    pub fn arrive(&mut self, order: OrderLineId, lot: LotId, accepted: Qty) -> Result<(), Refusal> {
        let mut waiting = self.stock.claims.on(Source::Order(order));
        waiting.sort_by_key(|(line, _)| (self.stock.job_of(*line).map(|job| job.use_day).ok(), *line));
        let mut left = accepted;
        for (line, pegged) in waiting {
            let free = self.stock.position(lot)?.free();
            let qty = self.whole_claim(lot, pegged.min(left).min(free))?;
            let good = fits(&self.stock, line, lot).is_ok() && self.judge_source(line, lot).is_ok();
            if good && qty.is_positive() {
                self.claim(line, Source::Order(order), -qty, Why::Arrive)?;
                self.claim(line, Source::Lot(lot), qty, Why::Arrive)?;
                left -= qty;
            }
        }
        Ok(())
    }

    /// The largest quantity up to this one that may be claimed of a lot: whole hand-out units, a whole set.
    pub fn whole_claim(&self, lot: LotId, up_to: Qty) -> Result<Qty, Refusal> {
        let (goods, part) = (self.stock.lot(lot)?, self.stock.part_of(lot)?);
        let unit = match (goods.size, part.hand_out) {
            (Some(size), _) => size,
            (None, Some(unit)) if goods.opened.is_none() => unit,
            _ => return Ok(up_to),
        };
        Ok(Qty::from_millionths(
            up_to.millionths() / unit.millionths() * unit.millionths(),
        ))
    }
}

/// The refusal of goods that are reserved for others, naming the jobs.
pub fn reserved_for_others(
    stock: &Stock,
    lot: LotId,
    asked: Qty,
    free: Qty,
    but: Option<LineId>,
) -> Result<Refusal, Refusal> {
    let mut jobs = Vec::new();
    for (line, _) in stock.claims.on(Source::Lot(lot)) {
        let job = stock.job_of(line)?;
        let name = job
            .tag
            .as_ref()
            .map_or(job.number.clone(), |tag| format!("{} ({tag})", job.number));
        if Some(line) != but && !jobs.contains(&name) {
            jobs.push(name);
        }
    }
    Ok(Refusal::Reserved {
        lot: stock.lot(lot)?.number.clone(),
        asked,
        free,
        unit: stock.part_of(lot)?.unit.to_string(),
        jobs,
    })
}
