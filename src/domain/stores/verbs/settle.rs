//! The end of a document: claims that its goods can no longer bear are stripped or refuse it, and the sums are proved.

use crate::domain::kitting::job::JobState;
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{LineId, LotId, OrderLineId};
use crate::domain::stores::law::Movement;
use crate::domain::stores::posting::{Claim, Field, Posting, Source, Why};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::claims::reserved_for_others;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::lines::fits;

impl Draft {
    /// Settles the claims, proves the sums and hands over the posting.
    pub fn finish(self) -> Result<Posting, Refusal> {
        Ok(self.finish_with_stock()?.0)
    }

    /// The same, with the facts as they stand after it.
    pub fn finish_with_stock(mut self) -> Result<(Posting, Stock), Refusal> {
        self.settle()?;
        self.prove()?;
        Ok((self.posting, self.stock))
    }

    /// Strips what can no longer be borne, in this order: dead or unfit claims, lines, lots, order lines.
    pub fn settle(&mut self) -> Result<(), Refusal> {
        for (line, source, qty) in self.unfit_claims()? {
            self.strip(line, source, qty)?;
        }
        for line in self.touched_lines.clone() {
            self.settle_line(line)?;
        }
        for lot in self.touched_lots.clone() {
            self.settle_lot(lot)?;
        }
        for order in self.touched_orders.clone() {
            self.settle_order(order)?;
        }
        Ok(())
    }

    /// Claims on goods that are dead on the day of use, of another part, owner or condition than the line takes, or
    /// for a job that was given up.
    fn unfit_claims(&self) -> Result<Vec<(LineId, Source, Qty)>, Refusal> {
        let mut unfit = Vec::new();
        for line in &self.touched_lines {
            for (source, qty) in self.stock.claims.for_line(*line) {
                if self.unfit(*line, source)? {
                    unfit.push((*line, source, qty));
                }
            }
        }
        for lot in &self.touched_lots {
            for (line, qty) in self.stock.claims.on(Source::Lot(*lot)) {
                if !self.touched_lines.contains(&line) && self.unfit(line, Source::Lot(*lot))? {
                    unfit.push((line, Source::Lot(*lot), qty));
                }
            }
        }
        Ok(unfit)
    }

    /// Whether a claim no longer fits its line; passing time alone writes nothing, so only the day of use counts.
    fn unfit(&self, line: LineId, source: Source) -> Result<bool, Refusal> {
        let job = self.stock.job_of(line)?;
        if job.state != JobState::Open {
            return Ok(true);
        }
        Ok(match source {
            Source::Lot(lot) => {
                !self.stock.lot(lot)?.usable_on(job.use_day) || fits(&self.stock, line, lot).is_err()
            }
            Source::Order(order) => self.stock.order(order)?.part != self.stock.line(line)?.part,
        })
    }

    /// A line that has more than it may take gives up pegs first, then the lot that expires last.
    fn settle_line(&mut self, line: LineId) -> Result<(), Refusal> {
        let mut claims = self.stock.claims.for_line(line);
        claims.sort_by_key(|(source, _)| {
            let expiry = match source {
                Source::Lot(lot) => self.stock.lot(*lot).ok().and_then(|lot| lot.expiry),
                Source::Order(_) => None,
            };
            let is_lot = matches!(source, Source::Lot(_));
            (is_lot, std::cmp::Reverse((expiry.is_none(), expiry, *source)))
        });
        for (source, qty) in claims {
            let over = self.stock.line(line)?.stands() - self.stock.line(line)?.most;
            if over.is_positive() {
                let gone = self.rounded_up(source, over)?.min(qty);
                self.strip(line, source, gone)?;
            }
        }
        Ok(())
    }

    /// A lot of which more is reserved than may be picked refuses what is chosen, and sheds for what has happened.
    fn settle_lot(&mut self, lot: LotId) -> Result<(), Refusal> {
        let position = self.stock.position(lot)?;
        if position.reserved <= position.pickable {
            return Ok(());
        }
        if self.chosen_lots.contains(&lot) {
            return Err(self.refuse_reserved(lot)?);
        }
        for (line, qty) in self.latest_use_first(Source::Lot(lot)) {
            let position = self.stock.position(lot)?;
            let over = position.reserved - position.pickable;
            if over.is_positive() {
                let gone = self.rounded_up(Source::Lot(lot), over)?.min(qty);
                self.strip(line, Source::Lot(lot), gone)?;
            }
        }
        Ok(())
    }

    /// The refusal of a chosen movement of goods that others have reserved.
    fn refuse_reserved(&self, lot: LotId) -> Result<Refusal, Refusal> {
        let position = self.stock.position(lot)?;
        let asked: Qty = self
            .posting
            .entries
            .iter()
            .filter(|entry| entry.lot == lot && entry.movement.respects_claims() && entry.from.pickable())
            .map(|entry| entry.qty)
            .sum();
        reserved_for_others(&self.stock, lot, asked, position.free() + asked, None)
    }

    /// An order line of which more is promised than is still to come sheds its pegs.
    fn settle_order(&mut self, order: OrderLineId) -> Result<(), Refusal> {
        for (line, qty) in self.latest_use_first(Source::Order(order)) {
            let supply = self.stock.order(order)?;
            let over = supply.pegged - supply.still_coming();
            if over.is_positive() {
                let gone = self.rounded_up(Source::Order(order), over)?.min(qty);
                self.strip(line, Source::Order(order), gone)?;
            }
        }
        Ok(())
    }

    /// What stands on a source, the latest day of use first, then the highest line.
    pub(super) fn latest_use_first(&self, source: Source) -> Vec<(LineId, Qty)> {
        let mut claims = self.stock.claims.on(source);
        claims.sort_by_key(|(line, _)| {
            std::cmp::Reverse((self.stock.job_of(*line).map(|job| job.use_day).ok(), *line))
        });
        claims
    }

    /// How much must go so that at least this much goes: whole hand-out units of what is unopened, all of a set.
    pub(super) fn rounded_up(&self, source: Source, qty: Qty) -> Result<Qty, Refusal> {
        let unit = match source {
            Source::Order(order) => self.stock.part(self.stock.order(order)?.part)?.hand_out,
            Source::Lot(lot) => match self.stock.lot(lot)? {
                goods if goods.size.is_some() => goods.size,
                goods if goods.opened.is_none() => self.stock.part_of(lot)?.hand_out,
                _ => None,
            },
        };
        Ok(unit.map_or(qty, |unit| {
            let units = (qty.millionths() + unit.millionths() - 1) / unit.millionths();
            Qty::from_millionths(units * unit.millionths())
        }))
    }

    /// Ends a claim because it can no longer be borne, and remembers to say so.
    pub(super) fn strip(&mut self, line: LineId, source: Source, qty: Qty) -> Result<(), Refusal> {
        if qty.is_positive() {
            self.claim(line, source, -qty, Why::Shed)?;
            self.posting.stripped.push(Claim {
                line,
                source,
                qty,
                why: Why::Shed,
            });
        }
        Ok(())
    }

    /// Proves what the CHECKs of the books prove: nothing below zero, no value without quantity, claims within bounds.
    fn prove(&self) -> Result<(), Refusal> {
        self.prove_owners()?;
        for entry in &self.posting.entries {
            for place in [entry.from, entry.to] {
                self.prove_balance(entry.lot, place)?;
            }
            if let Some(layer) = entry.layer.and_then(|id| self.stock.layers.get(id)) {
                let bare = layer.qty.is_zero() && !layer.value.is_zero();
                if layer.qty < Qty::ZERO || layer.value.millionths() < 0 || bare {
                    return Err(self.unbalanced(entry.lot, "its cost layer has since been drawn on"));
                }
            }
        }
        Ok(())
    }

    /// Proves that what is not ours carries no value: neither what was moved nor what became a customer's as a record.
    fn prove_owners(&self) -> Result<(), Refusal> {
        let moved = self.posting.entries.iter().filter(|entry| !entry.value.is_zero());
        let owned = self.posting.changes.iter();
        let owned =
            owned.filter(|change| change.field == Field::LotOwner && self.carries_value(LotId(change.id)));
        let lots = moved
            .map(|entry| entry.lot)
            .chain(owned.map(|change| LotId(change.id)));
        for lot in lots {
            let lot = self.stock.lot(lot)?;
            if lot.owner.is_some() {
                return Err(Refusal::OwnedValue {
                    lot: lot.number.clone(),
                });
            }
        }
        Ok(())
    }

    /// Whether a lot carries value in the house, on an engine or on the shelf by its own layer.
    pub(super) fn carries_value(&self, lot: LotId) -> bool {
        let own = self.stock.layers.own(lot);
        let mut places = self.stock.places_of(lot);
        own.is_some_and(|layer| !layer.value.is_zero())
            || places.any(|(place, balance)| !place.may_be_owed() && !balance.value.is_zero())
    }

    /// Proves one balance that the document touched.
    fn prove_balance(&self, lot: LotId, place: crate::domain::stores::ids::PlaceId) -> Result<(), Refusal> {
        let balance = self.stock.balance(lot, place);
        if !place.may_be_owed() {
            let code = self.stock.place(place)?.code.clone();
            if balance.qty < Qty::ZERO {
                return Err(self.unbalanced(lot, &format!("the goods are no longer in {code}")));
            }
            if balance.value.is_negative() {
                return Err(self.unbalanced(lot, &format!("they carry less than that in {code}")));
            }
            if balance.qty.is_zero() && !balance.value.is_zero() {
                return Err(self.unbalanced(lot, &format!("{code} would keep value without goods")));
            }
        }
        match self.stock.lot(lot)?.size {
            Some(size) if ![Qty::ZERO, size, -size].contains(&balance.qty) => Err(Refusal::Whole {
                lot: self.stock.lot(lot)?.number.clone(),
                size,
            }),
            _ => Ok(()),
        }
    }

    /// The refusal of a document that would leave a sum wrong; for an undo it names what stands in the way.
    fn unbalanced(&self, lot: LotId, because: &str) -> Refusal {
        let number = self
            .stock
            .lots
            .get(&lot)
            .map_or(lot.to_string(), |lot| lot.number.clone());
        match self.posting.head.contra {
            Some(undone) => Refusal::Later {
                document: undone.to_string(),
                because: format!("lot {number}: {because}"),
                later: Vec::new(),
                instead: None,
            },
            None => Refusal::Impossible {
                what: self
                    .posting
                    .entries
                    .first()
                    .map_or("document", |e| Movement::word(e.movement))
                    .to_owned(),
                because: format!("lot {number}: {because}"),
            },
        }
    }
}
