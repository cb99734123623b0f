//! A bill and its choices become the needs of one engine: what goes on, what comes off, the hours and the notes.
//!
//! A part of class `phantom` lies on no shelf: its bill is driven through to what it lists. Any other part with a bill
//! is made here and is needed as itself; what goes into it is shown, and is a matter of the making.
//!
//! One rule of waste: it is added to a line's quantity; lines of a part add up exactly, and the sum is rounded up once
//! to the part's step.

use crate::domain::kitting::bill::{Bill, BillLine, Choices, LineKind, Per};
use crate::domain::kitting::tree::{Role, Step, tree};
use crate::domain::kitting::web::{Into, Loop, Web};
use crate::domain::measure::Qty;
use crate::domain::measure::rounding::{Rule, round};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::PartId;
use crate::domain::stores::part::Part;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// An engine model as far as quantities need it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Model {
    /// Its part number.
    pub number: String,
    /// What it has of what is counted: cylinders, carburettors.
    pub counts: BTreeMap<String, Qty>,
}

impl Model {
    /// How often a quantity per something is wanted.
    pub fn times(&self, per: Per) -> Result<Decimal, Refusal> {
        let Some(counted) = per.counted_by() else {
            return Ok(Decimal::ONE);
        };
        self.counts
            .get(counted)
            .map(|count| count.to_decimal())
            .ok_or_else(|| Refusal::Impossible {
                what: format!("quantity per {}", per.word()),
                because: format!("the {counted} of {} are not given", self.number),
            })
    }
}

/// What one engine needs of a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Need {
    /// The part.
    pub part: Part,
    /// How much, the lines' exact sum.
    pub exact: Decimal,
    /// The same, rounded up to the part's step.
    pub qty: Qty,
    /// The sum behind it: `2 per cylinder × 4`.
    pub how: String,
    /// The choice it hangs on, `route=spacer`; common needs hang on none.
    pub choice: Option<String>,
    /// What is said beside it.
    pub text: Option<String>,
    /// What the notes about this part say.
    pub beside: Vec<String>,
}

impl Need {
    /// In how many whole hand-out units unopened stock of it goes out, and how much one is.
    pub fn handed_out(&self) -> Option<(Decimal, Qty)> {
        let unit = self.part.hand_out.filter(|unit| unit.is_positive())?;
        let wholes = round(self.qty.to_decimal() / unit.to_decimal(), Decimal::ONE, Rule::Up);
        Some((wholes.normalize(), unit))
    }
}

/// Hours of one kind of work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hours {
    /// Which work.
    pub work: String,
    /// How many.
    pub hours: Decimal,
}

/// A bill expanded for one engine by one choice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Expanded {
    /// What goes on, each part once, in the order of the bill.
    pub needs: Vec<Need>,
    /// What comes off.
    pub take_off: Vec<Need>,
    /// The hours.
    pub hours: Vec<Hours>,
    /// What is said beside the work and about no part of it.
    pub notes: Vec<String>,
    /// Every line on its level.
    pub tree: Vec<Step>,
}

impl Expanded {
    /// All hours together.
    pub fn all_hours(&self) -> Decimal {
        self.hours.iter().map(|line| line.hours).sum()
    }

    /// Whether anything hangs below a line of the conversion's own bill.
    pub fn has_levels(&self) -> bool {
        self.tree.iter().any(|step| step.level > 1)
    }
}

/// What an expansion works on.
#[derive(Clone, Copy)]
pub struct Given<'a> {
    /// The bill, with those below it.
    pub bill: &'a Bill,
    /// The choices made.
    pub choices: &'a Choices,
    /// The engine model.
    pub model: &'a Model,
    /// Every part that the bills name.
    pub parts: &'a BTreeMap<PartId, Part>,
}

impl Given<'_> {
    /// The part that a line names.
    pub fn part_of(&self, line: &BillLine) -> Result<&Part, Refusal> {
        let id = line.part.ok_or_else(|| Refusal::Impossible {
            what: format!("line {}", line.n),
            because: "it names no part".to_owned(),
        })?;
        self.parts.get(&id).ok_or(Refusal::Unread {
            what: "part",
            id: id.0,
        })
    }

    /// How much of a line goes to one of what its bill is of, waste included.
    pub fn for_one(&self, line: &BillLine) -> Result<Decimal, Refusal> {
        Ok(line.with_waste() * self.model.times(line.per)?)
    }

    /// Whether a bill's lines reach the kit: the conversion's own, and those of phantoms.
    fn reaches_kit(&self, bill: &Bill) -> bool {
        bill.part == self.bill.part || self.parts.get(&bill.part).is_some_and(Part::is_phantom)
    }

    /// The number of a part, for a path.
    fn number(&self, id: PartId) -> String {
        match self.parts.get(&id) {
            _ if id == self.bill.part => self.bill.number.clone(),
            Some(part) => part.number.clone(),
            None => id.0.to_string(),
        }
    }

    /// What goes into what by the choices made, of all bills or of those that reach the kit.
    fn web(&self, kit_only: bool) -> Result<Web, Refusal> {
        let mut all: Vec<Into> = Vec::new();
        for bill in self.bill.reached(|line| self.choices.take(line)) {
            let goes_on = |line: &&BillLine| line.kind == LineKind::Part && self.choices.take(line);
            for line in bill.lines.iter().filter(goes_on) {
                if !kit_only || self.reaches_kit(bill) {
                    all.push((bill.part, self.part_of(line)?.id, self.for_one(line)?));
                }
            }
        }
        Web::new(self.bill.part, &all).map_err(|Loop(path)| Refusal::Impossible {
            what: self.bill.number.clone(),
            because: format!(
                "it goes round in a loop: {}",
                path.iter()
                    .map(|id| self.number(*id))
                    .collect::<Vec<String>>()
                    .join(" > ")
            ),
        })
    }

    /// How much of each part one engine takes, exactly.
    fn totals(&self) -> Result<BTreeMap<PartId, Decimal>, Refusal> {
        // Loops in a making are faults too, though nothing of it is added up here.
        self.web(false)?;
        let web = self.web(true)?;
        let totals = web.totals().ok_or_else(|| Refusal::Impossible {
            what: self.bill.number.clone(),
            because: "a quantity has more digits than a figure can hold".to_owned(),
        })?;
        Ok(web.parts().iter().copied().zip(totals).collect())
    }

    /// Refuses a bill, or one below it, that does not fit the engine or counts by what it cannot.
    fn judge(&self) -> Result<(), Refusal> {
        for bill in self.bill.reached(|line| self.choices.take(line)) {
            if !bill.fits.contains(&self.model.number) {
                return Err(Refusal::Impossible {
                    what: format!("{} on {}", bill.number, self.model.number),
                    because: format!("its bill fits {}", bill.fits.join(", ")),
                });
            }
            let elsewhere = |line: &&BillLine| line.kind != LineKind::Note && line.per != Per::Assembly;
            if bill.part != self.bill.part
                && let Some(line) = bill.lines.iter().find(elsewhere)
            {
                return Err(Refusal::Impossible {
                    what: format!("line {} of {}", line.n, bill.number),
                    because: format!("a sub-assembly counts per assembly, not per {}", line.per.word()),
                });
            }
        }
        Ok(())
    }
}

/// Expands a bill for an engine model; a bill that does not fit the model, or goes round in a loop, is refused.
pub fn expand(
    bill: &Bill,
    choices: &Choices,
    model: &Model,
    parts: &BTreeMap<PartId, Part>,
) -> Result<Expanded, Refusal> {
    let given = Given {
        bill,
        choices,
        model,
        parts,
    };
    given.judge()?;
    let totals = given.totals()?;
    let mut expanded = Expanded {
        needs: vec![],
        take_off: vec![],
        hours: vec![],
        notes: vec![],
        tree: tree(&given)?,
    };
    let of_kit = |bill: &&Bill| given.reaches_kit(bill);
    for bill in bill.reached(|line| choices.take(line)).into_iter().filter(of_kit) {
        // A phantom that only a making leads to is none of the kit's.
        let Some(many) = totals.get(&bill.part).copied() else {
            continue;
        };
        for line in bill.lines.iter().filter(|line| choices.take(line)) {
            expanded.take(&given, bill, line, many)?;
        }
    }
    expanded.in_order_of_tree();
    expanded.put_notes_beside(&given);
    Ok(expanded)
}

impl Expanded {
    /// Takes a line of a bill, of whose part so many are wanted.
    fn take(
        &mut self,
        given: &Given<'_>,
        bill: &Bill,
        line: &BillLine,
        many: Decimal,
    ) -> Result<(), Refusal> {
        match line.kind {
            LineKind::Part if given.part_of(line)?.is_phantom() => Ok(()),
            LineKind::Part => add(&mut self.needs, given, bill, line, many),
            LineKind::TakeOff => add(&mut self.take_off, given, bill, line, many),
            LineKind::Labour => {
                self.hours.push(Hours {
                    work: line.text.clone().unwrap_or_default(),
                    hours: line.qty * given.model.times(line.per)? * many,
                });
                Ok(())
            }
            LineKind::Note => Ok(()),
        }
    }

    /// Puts the needs in the order in which the levelled list first names them.
    fn in_order_of_tree(&mut self) {
        let mut places: BTreeMap<PartId, usize> = BTreeMap::new();
        for (place, step) in self.tree.iter().enumerate() {
            if step.role != Role::InMaking {
                places.entry(step.part.id).or_insert(place);
            }
        }
        self.needs
            .sort_by_key(|need| places.get(&need.part.id).copied().unwrap_or(usize::MAX));
    }

    /// Puts each note beside the part it is about; the others stand by themselves.
    fn put_notes_beside(&mut self, given: &Given<'_>) {
        for bill in given.bill.reached(|line| given.choices.take(line)) {
            let notes = bill.lines.iter().filter(|line| line.kind == LineKind::Note);
            for line in notes.filter(|line| given.choices.take(line)) {
                let Some(text) = line.text.clone() else { continue };
                let needs = self.needs.iter_mut().chain(&mut self.take_off);
                match line
                    .part
                    .and_then(|id| needs.into_iter().find(|need| need.part.id == id))
                {
                    Some(need) => need.beside.push(text),
                    None => self.notes.push(text),
                }
            }
        }
    }
}

/// The sum behind a line: `2 per cylinder × 4 × 1.05 (5 % waste)`, `2 per assembly × 4 JOINT-SET`.
fn told(given: &Given<'_>, bill: &Bill, line: &BillLine, many: Decimal) -> Result<String, Refusal> {
    let figure = line.qty.normalize();
    let mut told = format!("{figure} per {}", line.per.word());
    if line.per.counted_by().is_some() {
        told += &format!(" × {}", given.model.times(line.per)?.normalize());
    }
    if bill.part != given.bill.part {
        told += &format!(" × {} {}", many.normalize(), bill.number);
    }
    if !line.waste_pct.is_zero() {
        let factor = Decimal::ONE + line.waste_pct / Decimal::ONE_HUNDRED;
        told += &format!(
            " × {} ({} % waste)",
            factor.normalize(),
            line.waste_pct.normalize()
        );
    }
    Ok(told)
}

/// Adds a line to the needs; a part that stands on two lines is needed once, with both sums behind it.
fn add(
    needs: &mut Vec<Need>,
    given: &Given<'_>,
    bill: &Bill,
    line: &BillLine,
    many: Decimal,
) -> Result<(), Refusal> {
    let part = given.part_of(line)?;
    let exact = given.for_one(line)? * many;
    let qty = in_steps(line.n, part, exact)?;
    let how = told(given, bill, line, many)?;
    if let Some(known) = needs.iter_mut().find(|need| need.part.id == part.id) {
        known.exact += exact;
        known.qty = in_steps(line.n, part, known.exact)?;
        known.how = format!("{} + {how}", known.how);
        return Ok(());
    }
    let choice = line
        .choice
        .as_ref()
        .map(|(group, choice)| format!("{group}={choice}"));
    needs.push(Need {
        part: part.clone(),
        exact,
        qty,
        how,
        choice,
        text: line.text.clone(),
        beside: vec![],
    });
    Ok(())
}

/// An exact quantity rounded up to the part's step; rounded once, so that drops on several lines add up first.
fn in_steps(n: i64, part: &Part, exact: Decimal) -> Result<Qty, Refusal> {
    let rounded = Qty::from_decimal(round(exact, part.step.to_decimal(), Rule::Up));
    rounded
        .filter(|qty| qty.is_positive())
        .ok_or_else(|| Refusal::Impossible {
            what: format!("line {n} of {}", part.number),
            because: format!("{exact} is no quantity"),
        })
}
