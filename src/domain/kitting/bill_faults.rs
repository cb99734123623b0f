//! Every fault of bills, found together, each with its place.

use crate::domain::kitting::bill::{Bill, BillLine, LineKind, Per};
use crate::domain::kitting::expand::Model;
use crate::domain::kitting::web::{Into, Loop, Web};
use crate::domain::measure::Unit;
use crate::domain::stores::ids::{BillId, PartId};
use crate::domain::stores::part::Part;
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};

/// One fault of a bill.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BillFault {
    /// The number of the part that the bill is of.
    pub bill: String,
    /// Its revision.
    pub revision: String,
    /// The line, or none where it is a matter of the whole bill.
    pub n: Option<i64>,
    /// The part that the line names.
    pub part: Option<String>,
    /// What is wrong.
    pub what: String,
}

/// What bills are held against.
#[derive(Clone, Debug, Default)]
pub struct BillFacts {
    /// Every part that the bills name.
    pub parts: BTreeMap<PartId, Part>,
    /// What is said of parts that are no longer to be used: `obsolete`.
    pub ended: BTreeMap<PartId, String>,
    /// The engine models by number.
    pub models: BTreeMap<String, Model>,
    /// Of each bill the choices that open jobs were raised with: job, group, choice.
    pub jobs: BTreeMap<BillId, Vec<(String, String, String)>>,
}

impl BillFacts {
    /// Whether another bill names what this one is of.
    fn is_below(&self, bill: &Bill) -> bool {
        self.parts.contains_key(&bill.part)
    }
}

/// Every fault of these bills and of those below them, each told once: bill by bill, line by line.
pub fn bill_faults(bills: &[Bill], facts: &BillFacts) -> Vec<BillFault> {
    let mut faults = Vec::new();
    let (mut seen, mut rounds) = (BTreeSet::new(), BTreeSet::new());
    // The conversions first: what hangs below them is judged as they use it.
    let (below, tops): (Vec<&Bill>, Vec<&Bill>) = bills.iter().partition(|bill| facts.is_below(bill));
    for top in tops.into_iter().chain(below) {
        for bill in top.reached(|_| true) {
            if seen.insert(bill.id) {
                Judge {
                    bill,
                    top,
                    facts,
                    faults: &mut faults,
                }
                .whole();
            }
        }
        if let Some(path) =
            round(top).filter(|path| rounds.insert(path.iter().copied().collect::<BTreeSet<_>>()))
        {
            faults.push(round_fault(top, &path, facts));
        }
    }
    faults
}

/// The path of a loop that a bill leads into, whatever is chosen.
fn round(top: &Bill) -> Option<Vec<PartId>> {
    let mut all: Vec<Into> = Vec::new();
    for bill in top.reached(|_| true) {
        let parts = bill.lines.iter().filter(|line| line.kind == LineKind::Part);
        all.extend(parts.filter_map(|line| Some((bill.part, line.part?, Decimal::ONE))));
    }
    Web::new(top.part, &all).err().map(|Loop(path)| path)
}

/// The fault of a loop, told on the line that closes it.
fn round_fault(top: &Bill, path: &[PartId], facts: &BillFacts) -> BillFault {
    let number = |id: &PartId| match facts.parts.get(id) {
        _ if *id == top.part => top.number.clone(),
        Some(part) => part.number.clone(),
        None => id.0.to_string(),
    };
    let told: Vec<String> = path.iter().map(number).collect();
    let last = path.iter().rev().nth(1).copied();
    let closing = last.and_then(|part| {
        if part == top.part {
            Some(top)
        } else {
            top.subs.get(&part)
        }
    });
    let closing = closing.unwrap_or(top);
    let line = closing
        .lines
        .iter()
        .find(|line| line.kind == LineKind::Part && line.part == path.first().copied());
    BillFault {
        bill: closing.number.clone(),
        revision: closing.revision.clone(),
        n: line.map(|line| line.n),
        part: path.first().map(number),
        what: format!("goes round in a loop: {}", told.join(" > ")),
    }
}

/// One bill under judgement.
struct Judge<'a> {
    bill: &'a Bill,
    top: &'a Bill,
    facts: &'a BillFacts,
    faults: &'a mut Vec<BillFault>,
}

impl Judge<'_> {
    fn whole(&mut self) {
        let bill = self.bill;
        for line in &bill.lines {
            match line.kind {
                LineKind::Part | LineKind::TakeOff => self.goods(line),
                LineKind::Labour => self.quantity(line),
                LineKind::Note => self.note(line),
            }
            if line.kind != LineKind::Part && !line.waste_pct.is_zero() {
                self.on(line, "only what goes on has waste");
            }
        }
        self.choices();
        self.jobs();
    }

    /// A fault on a line.
    fn on(&mut self, line: &BillLine, what: impl std::convert::Into<String>) {
        let part = line.part.and_then(|id| self.facts.parts.get(&id));
        self.faults.push(BillFault {
            bill: self.bill.number.clone(),
            revision: self.bill.revision.clone(),
            n: Some(line.n),
            part: part.map(|part| part.number.clone()),
            what: what.into(),
        });
    }

    /// A fault of the bill as a whole.
    fn of_bill(&mut self, what: String) {
        self.faults.push(BillFault {
            bill: self.bill.number.clone(),
            revision: self.bill.revision.clone(),
            n: None,
            part: None,
            what,
        });
    }

    fn goods(&mut self, line: &BillLine) {
        self.quantity(line);
        let facts = self.facts;
        let Some(id) = line.part else {
            return self.on(line, "names no part");
        };
        let Some(part) = facts.parts.get(&id) else {
            return self.on(line, "names a part that is not in the books");
        };
        let whole = (line.qty % part.step.to_decimal()).is_zero();
        if matches!(part.unit, Unit::Each | Unit::Set) && line.qty > Decimal::ZERO && !whole {
            let (figure, unit, step) = (line.qty.normalize(), part.unit, part.step);
            self.on(line, format!("{figure} of a part kept in steps of {step} {unit}"));
        }
        // What comes off an engine may well be obsolete.
        if let Some(ended) = facts.ended.get(&id).filter(|_| line.kind == LineKind::Part) {
            self.on(line, format!("the part is {ended}"));
        }
        if matches!(part.class.as_str(), "conversion" | "engine model" | "tool") {
            self.on(line, format!("{} goes into no kit", part.class));
        }
        if !(Decimal::ZERO..Decimal::ONE_HUNDRED).contains(&line.waste_pct) {
            self.on(line, "waste is 0 or more and less than 100 %");
        }
        self.below(line, part);
        self.doubled(line);
    }

    /// What a line leads to: a phantom has a bill and goes on, a sub-assembly fits what its bill fits.
    fn below(&mut self, line: &BillLine, part: &Part) {
        if part.is_phantom() && line.kind == LineKind::TakeOff {
            self.on(line, "a phantom cannot come off");
        }
        let itself = part.id == self.top.part;
        match self.top.subs.get(&part.id) {
            None if part.is_phantom() && !itself => self.on(line, "no bill of the phantom holds on the day"),
            Some(sub) if line.kind == LineKind::Part => {
                let missing = self.bill.fits.iter().find(|model| !sub.fits.contains(model));
                if let Some(model) = missing {
                    self.on(line, format!("its own bill does not fit {model}"));
                }
            }
            _ => {}
        }
    }

    /// The same part twice under the same choice: one of the two is most likely a slip.
    fn doubled(&mut self, line: &BillLine) {
        let same = |other: &&BillLine| {
            (other.kind, other.part, &other.choice) == (line.kind, line.part, &line.choice)
                && other.n < line.n
        };
        if let Some(first) = self.bill.lines.iter().find(same) {
            self.on(line, format!("stands on line {} already", first.n));
        }
    }

    /// How much, and counted by what.
    fn quantity(&mut self, line: &BillLine) {
        if line.qty <= Decimal::ZERO {
            self.on(line, format!("the quantity is {}", line.qty.normalize()));
        }
        let is_sub = self.facts.is_below(self.bill);
        if is_sub && line.per != Per::Assembly {
            self.on(
                line,
                format!("a sub-assembly counts per assembly, not per {}", line.per.word()),
            );
        }
        let (bill, facts) = (self.bill, self.facts);
        for fits in &bill.fits {
            let counts = facts.models.get(fits).map(|model| &model.counts);
            if let Some(counted) = line.per.counted_by().filter(|_| !is_sub)
                && counts.is_none_or(|counts| !counts.contains_key(counted))
            {
                self.on(line, format!("the {counted} of {fits} are not given"));
            }
        }
    }

    fn note(&mut self, line: &BillLine) {
        let about = |other: &BillLine| other.kind != LineKind::Note && other.part == line.part;
        if line.part.is_some() && !self.bill.lines.iter().any(about) {
            self.on(line, "is about a part that no line of the bill names");
        }
    }

    /// Each group leaves a choice, and each choice brings a part.
    fn choices(&mut self) {
        let mut groups: BTreeMap<&str, BTreeMap<&str, bool>> = BTreeMap::new();
        let bill = self.bill;
        for line in &bill.lines {
            if let Some((group, choice)) = &line.choice {
                let brings = groups.entry(group).or_default().entry(choice).or_default();
                *brings |= line.kind == LineKind::Part;
            }
        }
        for (group, choices) in groups {
            for (choice, _) in choices.iter().filter(|(_, brings)| !**brings) {
                self.of_bill(format!("{group}={choice} has no cover: no part goes on by it"));
            }
            let known = self.top.groups();
            let open = known
                .iter()
                .find(|(name, _)| name == group)
                .map_or(0, |(_, all)| all.len());
            if let [(only, _)] = choices.iter().collect::<Vec<_>>().as_slice()
                && open < 2
                && (self.bill.part != self.top.part || !self.facts.is_below(self.bill))
            {
                self.of_bill(format!("{group}={only} is the only choice of its group"));
            }
        }
    }

    /// A job's choice that no line names any more.
    fn jobs(&mut self) {
        let facts = self.facts;
        let groups = self.top.groups();
        for (job, group, choice) in facts.jobs.get(&self.bill.id).into_iter().flatten() {
            let named = groups
                .iter()
                .any(|(known, all)| known == group && all.contains(choice));
            if !named {
                self.of_bill(format!(
                    "{job} was raised with {group}={choice}, which no line names"
                ));
            }
        }
    }
}
