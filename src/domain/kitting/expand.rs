//! A bill and its choices become the needs of one engine: what goes on, what comes off, the hours and the notes.

use crate::domain::kitting::bill::{Bill, BillLine, Choices, LineKind, Per};
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
    fn times(&self, per: Per) -> Result<Decimal, Refusal> {
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
    /// What is said beside the work.
    pub notes: Vec<String>,
}

impl Expanded {
    /// All hours together.
    pub fn all_hours(&self) -> Decimal {
        self.hours.iter().map(|line| line.hours).sum()
    }
}

/// Expands a bill for an engine model; a bill that does not fit the model is refused.
pub fn expand(
    bill: &Bill,
    choices: &Choices,
    model: &Model,
    parts: &BTreeMap<PartId, Part>,
) -> Result<Expanded, Refusal> {
    if !bill.fits.contains(&model.number) {
        return Err(Refusal::Impossible {
            what: format!("{} on {}", bill.number, model.number),
            because: format!("its bill fits {}", bill.fits.join(", ")),
        });
    }
    let mut expanded = Expanded {
        needs: vec![],
        take_off: vec![],
        hours: vec![],
        notes: vec![],
    };
    for line in bill.lines.iter().filter(|line| choices.take(line)) {
        match line.kind {
            LineKind::Part => add(&mut expanded.needs, line, model, parts)?,
            LineKind::TakeOff => add(&mut expanded.take_off, line, model, parts)?,
            LineKind::Labour => {
                let hours = line.qty * model.times(line.per)?;
                expanded.hours.push(Hours {
                    work: line.text.clone().unwrap_or_default(),
                    hours,
                });
            }
            LineKind::Note => expanded.notes.extend(line.text.clone()),
        }
    }
    Ok(expanded)
}

/// Adds a line to the needs; a part that stands on two lines is needed once, with both sums behind it.
fn add(
    needs: &mut Vec<Need>,
    line: &BillLine,
    model: &Model,
    parts: &BTreeMap<PartId, Part>,
) -> Result<(), Refusal> {
    let id = line.part.ok_or_else(|| Refusal::Impossible {
        what: format!("line {}", line.n),
        because: "it names no part".to_owned(),
    })?;
    let part = parts.get(&id).ok_or(Refusal::Unread {
        what: "part",
        id: id.0,
    })?;
    let times = model.times(line.per)?;
    let exact = line.qty * times;
    let qty = in_steps(line.n, part, exact)?;
    let figure = line.qty.normalize();
    let how = match line.per {
        Per::Engine => format!("{figure} per engine"),
        per => format!("{figure} per {} × {}", per.word(), times.normalize()),
    };
    if let Some(known) = needs.iter_mut().find(|need| need.part.id == id) {
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
