//! A bill level by level: every line below what it goes into.

use crate::domain::kitting::bill::{Bill, BillLine, LineKind};
use crate::domain::kitting::expand::Given;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::PartId;
use crate::domain::stores::part::Part;
use rust_decimal::Decimal;
use std::collections::BTreeSet;

/// What becomes of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// Goes into the kit.
    GoesOn,
    /// Lies on no shelf; what it lists goes into the kit.
    Phantom,
    /// Goes into the kit and is made here.
    Made,
    /// Goes into what is made, not into the kit.
    InMaking,
    /// Comes off.
    ComesOff,
}

impl Role {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Role::GoesOn => "goes on",
            Role::Phantom => "phantom",
            Role::Made => "made here",
            Role::InMaking => "in its making",
            Role::ComesOff => "comes off",
        }
    }
}

/// One line on its level.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// Its level; the lines of the conversion's own bill are on 1.
    pub level: usize,
    /// The part.
    pub part: Part,
    /// How much of it for one engine along this path, exactly and with waste.
    pub exact: Decimal,
    /// What becomes of it.
    pub role: Role,
    /// Whether its own lines stand under an earlier line already.
    pub as_above: bool,
}

/// Where the walk goes next: a line of a bill, its level, how many of what it goes into, and whether that is made.
struct Ahead<'a> {
    line: &'a BillLine,
    level: usize,
    many: Decimal,
    in_making: bool,
}

/// Every line by the choices made, each below what it goes into. The bill must have no loop. The lines of a
/// sub-assembly stand under the first line that names it, so that the list grows no faster than the bills.
pub fn tree(given: &Given<'_>) -> Result<Vec<Step>, Refusal> {
    let mut steps = Vec::new();
    let mut shown: BTreeSet<PartId> = BTreeSet::new();
    let mut ahead: Vec<Ahead<'_>> = Vec::new();
    push(&mut ahead, given, given.bill, 1, Decimal::ONE, false);
    while let Some(next) = ahead.pop() {
        let part = given.part_of(next.line)?;
        let exact = given.for_one(next.line)? * next.many;
        let goes_on = next.line.kind == LineKind::Part;
        let sub = given.bill.subs.get(&part.id).filter(|_| goes_on);
        let role = match next.line.kind {
            LineKind::TakeOff => Role::ComesOff,
            _ if next.in_making => Role::InMaking,
            _ if part.is_phantom() => Role::Phantom,
            _ if sub.is_some() => Role::Made,
            _ => Role::GoesOn,
        };
        if part.is_phantom() && goes_on && sub.is_none() {
            return Err(Refusal::Impossible {
                what: part.number.clone(),
                because: "a phantom lies on no shelf, and no bill of it holds on the day".to_owned(),
            });
        }
        let first = sub.filter(|_| shown.insert(part.id));
        steps.push(Step {
            level: next.level,
            part: part.clone(),
            exact,
            role,
            as_above: sub.is_some() && first.is_none(),
        });
        if let Some(sub) = first {
            let in_making = next.in_making || role == Role::Made;
            push(&mut ahead, given, sub, next.level + 1, exact, in_making);
        }
    }
    Ok(steps)
}

/// Puts a bill's lines ahead, the first on top.
fn push<'a>(
    ahead: &mut Vec<Ahead<'a>>,
    given: &Given<'_>,
    bill: &'a Bill,
    level: usize,
    many: Decimal,
    in_making: bool,
) {
    let of_parts = |line: &&BillLine| matches!(line.kind, LineKind::Part | LineKind::TakeOff);
    let lines = bill.lines.iter().filter(of_parts).rev();
    for line in lines.filter(|line| given.choices.take(line)) {
        ahead.push(Ahead {
            line,
            level,
            many,
            in_making,
        });
    }
}
