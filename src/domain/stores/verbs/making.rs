//! Stock that becomes other stock: opening, repacking, sorting, matching, breaking a set, making up.
//!
//! One document, one making: what went in are the parents of what came out, and their value goes through.

use crate::domain::measure::{Money, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{LineId, LotId, PartId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::lot::NewLot;
use crate::domain::stores::posting::{Held, Posting, Source, Why};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::enter::Move;
use crate::domain::stores::verbs::value::share;

/// Goods that go into a making.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Input {
    /// Which lot.
    pub lot: LotId,
    /// Where it lies.
    pub place: PlaceId,
    /// How much.
    pub qty: Qty,
    /// The job line whose kit it lies in.
    pub line: Option<LineId>,
}

/// A lot that comes out of a making.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Output {
    /// Which part.
    pub part: PartId,
    /// How much.
    pub qty: Qty,
    /// What is to be said of the lot; owner and expiry are bounded by what went in.
    pub lot: NewLot,
}

/// Opens, repacks, sorts, matches, breaks or re-identifies: the same part comes out where it lay, as much as went in.
pub fn open(
    stock: &Stock,
    head: Head,
    making: PlaceId,
    input: Input,
    outputs: &[Output],
) -> Result<Posting, Refusal> {
    let came_out: Qty = outputs.iter().map(|output| output.qty).sum();
    if came_out != input.qty {
        return Err(Refusal::MakingUneven {
            put_in: input.qty,
            came_out,
        });
    }
    let part = stock.lot(input.lot)?.part;
    if let Some(other) = outputs.iter().find(|output| output.part != part) {
        let lot = stock.lot(input.lot)?.number.clone();
        let (part, wanted) = (
            stock.part(part)?.number.clone(),
            stock.part(other.part)?.number.clone(),
        );
        return Err(Refusal::WrongPart { lot, part, wanted });
    }
    let mut draft = Draft::new(stock, head);
    let children = draft.make(Movement::Open, making, &[input], input.place, outputs)?;
    draft.follow(input.lot, &children)?;
    draft.finish()
}

/// Makes up one lot out of others; it waits in receiving to be accepted.
pub fn make_up(
    stock: &Stock,
    head: Head,
    making: PlaceId,
    inputs: &[Input],
    receiving: PlaceId,
    output: Output,
) -> Result<Posting, Refusal> {
    let mut draft = Draft::new(stock, head);
    draft.make(Movement::MakeUp, making, inputs, receiving, &[output])?;
    draft.finish()
}

impl Draft {
    /// Carries goods into making and new lots out of it, with parents, holds, owner, life and value handed on.
    fn make(
        &mut self,
        movement: Movement,
        making: PlaceId,
        inputs: &[Input],
        to: PlaceId,
        outputs: &[Output],
    ) -> Result<Vec<LotId>, Refusal> {
        self.one_owner(inputs)?;
        for input in inputs {
            let asked = Move::new(movement, input.lot, input.place, making, input.qty);
            self.enter(Move {
                from_line: input.line,
                ..asked
            })?;
        }
        let line = inputs
            .first()
            .and_then(|input| input.line)
            .filter(|_| to.is(Kind::Kit));
        let mut left: Money = self
            .posting
            .entries
            .iter()
            .filter(|e| e.to == making)
            .map(|e| e.value)
            .sum();
        let mut uncovered: Qty = outputs.iter().map(|output| output.qty).sum();
        let mut children = Vec::new();
        for output in outputs {
            let child = self.child_of(inputs, output)?;
            let owned = self.stock.lot(child)?.owner.is_some();
            let value = share(left, uncovered, output.qty);
            if owned && !value.is_zero() {
                return Err(Refusal::OwnedValue {
                    lot: self.stock.lot(child)?.number.clone(),
                });
            }
            left -= value;
            uncovered -= output.qty;
            let born = Move::new(movement, child, making, to, output.qty).at(value);
            self.enter(Move {
                to_line: line,
                ..born
            })?;
            children.push(child);
        }
        Ok(children)
    }

    /// Goods of different owners are not made up together, whosever the result would be.
    fn one_owner(&self, inputs: &[Input]) -> Result<(), Refusal> {
        for pair in inputs.windows(2) {
            if let [one, next] = pair {
                let (one, next) = (self.stock.lot(one.lot)?, self.stock.lot(next.lot)?);
                if one.owner != next.owner {
                    let lot = next.number.clone();
                    return Err(Refusal::MixedOwners { lot });
                }
            }
        }
        Ok(())
    }

    /// A new lot whose parents are all that went in: it outlives none of them, escapes no hold and keeps their owner.
    fn child_of(&mut self, inputs: &[Input], output: &Output) -> Result<LotId, Refusal> {
        let mut new = output.lot.clone();
        for input in inputs {
            let parent = self.stock.lot(input.lot)?;
            if let Some(last) = parent.expiry {
                match new.expiry {
                    Some(day) if day > last => {
                        return Err(Refusal::Outlives {
                            lot: parent.number.clone(),
                            last,
                        });
                    }
                    Some(_) => {}
                    None => new.expiry = Some(last),
                }
            }
            if parent.owner != new.owner {
                self.judge_owner(parent.owner, new.owner, &parent.number)?;
            }
        }
        let child = self.new_lot(output.part, new, true)?;
        for input in inputs {
            if !self.posting.parents.contains(&(child, input.lot)) {
                self.posting.parents.push((child, input.lot));
                self.stock.children.entry(input.lot).or_default().push(child);
                for cause in self.stock.causes(Held::Lot(input.lot)) {
                    self.hold_row(Held::Lot(child), &cause, None)?;
                }
            }
        }
        Ok(child)
    }

    /// House stock may become a customer's at value 0; a customer's lot becomes ours only with his word.
    fn judge_owner(&self, was: Option<PlaceId>, now: Option<PlaceId>, lot: &str) -> Result<(), Refusal> {
        match (was, now) {
            (None, Some(_)) => Ok(()),
            (Some(_), None) if self.posting.head.owner_word.is_some() => Ok(()),
            (Some(owner), None) => Err(Refusal::OwnersWord {
                lot: lot.to_owned(),
                owner: self.stock.place(owner)?.name.clone(),
            }),
            _ => Err(Refusal::MixedOwners { lot: lot.to_owned() }),
        }
    }

    /// Claims that the opened pack carried beyond what is left of it move to its children, where those last until the
    /// day of use; the rest is shed when the document is settled.
    fn follow(&mut self, parent: LotId, children: &[LotId]) -> Result<(), Refusal> {
        let mut over = {
            let position = self.stock.position(parent)?;
            position.reserved - position.pickable
        };
        let mut claims = self.stock.claims.on(Source::Lot(parent));
        claims.sort_by_key(|(line, _)| (self.stock.job_of(*line).map(|job| job.use_day).ok(), *line));
        for (line, claimed) in claims.into_iter().rev() {
            for child in children {
                let free = self.stock.position(*child)?.free();
                let left = self.stock.claims.of(line, Source::Lot(parent)).min(claimed);
                let up_to = self.whole_claim(parent, left.min(over).min(free))?;
                let qty = self.whole_claim(*child, up_to)?;
                let job = self.stock.job_of(line)?;
                let good = self.stock.lot(*child)?.usable_on(job.use_day)
                    && crate::domain::stores::verbs::lines::fits(&self.stock, line, *child).is_ok();
                if good && qty.is_positive() {
                    self.claim(line, Source::Lot(parent), -qty, Why::Follow)?;
                    self.claim(line, Source::Lot(*child), qty, Why::Follow)?;
                    over -= qty;
                }
            }
        }
        Ok(())
    }
}
