//! Stock that becomes other stock: opening, repacking, sorting, matching, breaking a set, making up.
//!
//! One document, one making: what went in are the parents of what came out, and their value goes through.

use crate::domain::measure::{Day, Money, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{LineId, LotId, PartId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::lot::{Lot, NewLot};
use crate::domain::stores::posting::{Held, Posting, Source, Why};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::enter::Move;
use crate::domain::stores::verbs::lines::fits;
use crate::domain::stores::verbs::value::share;
use std::collections::BTreeSet;

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
    inputs: &[Input],
    outputs: &[Output],
) -> Result<Posting, Refusal> {
    let first = inputs.first().ok_or(Refusal::Nothing)?;
    let put_in: Qty = inputs.iter().map(|input| input.qty).sum();
    let came_out: Qty = outputs.iter().map(|output| output.qty).sum();
    if came_out != put_in {
        return Err(Refusal::MakingUneven { put_in, came_out });
    }
    let (lot, part) = (stock.lot(first.lot)?, stock.part_of(first.lot)?);
    for other in inputs
        .iter()
        .map(|input| stock.lot(input.lot).map(|lot| lot.part))
    {
        same_part(stock, lot, other?)?;
    }
    for output in outputs {
        same_part(stock, lot, output.part)?;
    }
    if let Some(elsewhere) = inputs.iter().find(|input| input.place != first.place) {
        let code = stock.place(elsewhere.place)?.code.clone();
        return Err(Refusal::Impossible {
            what: part.number.clone(),
            because: format!("what goes in lies in one place, and {code} is another"),
        });
    }
    let mut draft = Draft::new(stock, head);
    let children = draft.make(Movement::Open, making, inputs, first.place, outputs)?;
    let parents: BTreeSet<LotId> = inputs.iter().map(|input| input.lot).collect();
    for parent in parents {
        draft.follow(parent, &children)?;
    }
    draft.finish()
}

/// What goes in and what comes out of an opening is one part.
fn same_part(stock: &Stock, lot: &Lot, other: PartId) -> Result<(), Refusal> {
    if lot.part == other {
        return Ok(());
    }
    Err(Refusal::WrongPart {
        lot: lot.number.clone(),
        part: stock.part(lot.part)?.number.clone(),
        wanted: stock.part(other)?.number.clone(),
    })
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
        self.judge_one_owner(inputs)?;
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

    /// A new lot whose parents are all that went in: it outlives none of them, escapes no hold and keeps their owner.
    fn child_of(&mut self, inputs: &[Input], output: &Output) -> Result<LotId, Refusal> {
        let mut new = output.lot.clone();
        for input in inputs {
            let parent = self.stock.lot(input.lot)?;
            let outlives = |last: &Day| output.lot.expiry.is_some_and(|day| day > *last);
            if let Some(last) = parent.expiry.filter(outlives) {
                return Err(Refusal::Outlives {
                    lot: parent.number.clone(),
                    last,
                });
            }
            new.expiry = [new.expiry, parent.expiry].into_iter().flatten().min();
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

    /// Customers' lots and the house's are not made up together, nor those of two customers.
    fn judge_one_owner(&self, inputs: &[Input]) -> Result<(), Refusal> {
        let mut owners = BTreeSet::new();
        for input in inputs {
            let lot = self.stock.lot(input.lot)?;
            owners.insert(lot.owner);
            if owners.len() > 1 {
                return Err(Refusal::MixedOwners {
                    lot: lot.number.clone(),
                });
            }
        }
        Ok(())
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

    /// Claims that the opened pack carried beyond what is left of it move to its children, where those may be used on
    /// the day; the rest is shed. Whole hand-out units leave the unopened parent, the opened children take by measure.
    fn follow(&mut self, parent: LotId, children: &[LotId]) -> Result<(), Refusal> {
        let source = Source::Lot(parent);
        for (line, claimed) in self.latest_use_first(source) {
            let position = self.stock.position(parent)?;
            let over = position.reserved - position.pickable;
            if !over.is_positive() {
                break;
            }
            let mut left = self.rounded_up(source, over)?.min(claimed);
            let mut moved = Qty::ZERO;
            for child in children {
                let free = self.stock.position(*child)?.free();
                let qty = self.whole_claim(*child, left.min(free))?;
                if qty.is_positive()
                    && fits(&self.stock, line, *child).is_ok()
                    && self.usable_for(line, *child)?
                {
                    self.claim(line, Source::Lot(*child), qty, Why::Follow)?;
                    left -= qty;
                    moved += qty;
                }
            }
            self.claim(line, source, -moved, Why::Follow)?;
            self.strip(line, source, left)?;
        }
        Ok(())
    }

    /// Whether a lot is usable for a line: on the latest of clock, document day and day of use.
    fn usable_for(&self, line: LineId, lot: LotId) -> Result<bool, Refusal> {
        let judged = self.stock.judged_for(self.stock.job_of(line)?);
        Ok(self.stock.lot(lot)?.usable_on(judged))
    }
}
