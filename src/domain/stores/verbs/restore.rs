//! The claims of a document that is undone: those it made go, those it ended come back as far as they can be borne.

use crate::domain::kitting::job::JobState;
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::LineId;
use crate::domain::stores::posting::{Claim, Source, Why};
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::lines::fits;
use std::collections::BTreeMap;

impl Draft {
    /// Claims it made go as far as they still stand; claims it ended come back as far as lot, line and day bear them.
    pub(super) fn reverse_claims(&mut self, claims: &[Claim]) -> Result<(), Refusal> {
        let mut net: BTreeMap<(LineId, Source), Qty> = BTreeMap::new();
        for claim in claims {
            *net.entry((claim.line, claim.source)).or_default() += claim.qty;
        }
        for ((line, source), made) in net.iter().filter(|(_, qty)| qty.is_positive()) {
            let standing = self.stock.claims.of(*line, *source);
            self.claim(*line, *source, -(*made).min(standing), Why::Undo)?;
        }
        self.settle()?;
        for ((line, source), ended) in net.iter().filter(|(_, qty)| **qty < Qty::ZERO) {
            let back = self.bearable(*line, *source, -*ended)?;
            self.claim(*line, *source, back, Why::Undo)?;
        }
        Ok(())
    }

    /// How much of a claim that was ended can be borne again, judged on the day of use only.
    fn bearable(&self, line: LineId, source: Source, ended: Qty) -> Result<Qty, Refusal> {
        let (wanted, job) = (self.stock.line(line)?, self.stock.job_of(line)?);
        let room = (wanted.most - wanted.stands()).max(Qty::ZERO);
        if job.state != JobState::Open {
            return Ok(Qty::ZERO);
        }
        match source {
            Source::Lot(lot) => {
                let goods = self.stock.lot(lot)?;
                let fit = fits(&self.stock, line, lot).is_ok();
                let free = self.stock.position(lot)?.free().max(Qty::ZERO);
                if !fit || !goods.usable_on(job.use_day) {
                    return Ok(Qty::ZERO);
                }
                self.whole_claim(lot, ended.min(room).min(free))
            }
            Source::Order(order) => {
                let supply = self.stock.order(order)?;
                let coming = (supply.still_coming() - supply.pegged).max(Qty::ZERO);
                let up_to = ended.min(room).min(coming);
                let unit = self
                    .stock
                    .part(supply.part)?
                    .hand_out
                    .unwrap_or(Qty::from_millionths(1));
                Ok(Qty::from_millionths(
                    up_to.millionths() / unit.millionths() * unit.millionths(),
                ))
            }
        }
    }
}
