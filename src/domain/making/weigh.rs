//! Weighing back: how much is left on a spool or in a tube, from gross less tare by what one unit of the part weighs.

use crate::domain::making::fault::OutFault;
use crate::domain::measure::Qty;
use crate::domain::measure::rounding::{Rule, divide};
use crate::domain::measure::scale::Scale;
use crate::domain::measure::unit::Dimension;
use crate::domain::refusal::Refusal;
use crate::domain::stores::part::Part;

/// A millionth is the smallest quantity there is.
const IN_ONE: i128 = 1_000_000;

/// What the scale said, in grams.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Weighed {
    /// Goods with their spool, tube or tin.
    pub gross_g: Qty,
    /// The empty spool, tube or tin.
    pub tare_g: Qty,
    /// What one unit of the part weighs.
    pub grams_per_unit: Qty,
}

/// What one unit of a part weighs in grams: by its own record, or by its unit where it is kept by mass.
///
/// Refused where neither says.
pub fn grams_per_unit(part: &Part, recorded: Option<Qty>) -> Result<Qty, Refusal> {
    let by_mass = Scale::of(part.unit).filter(|scale| scale.dimension == Dimension::Mass);
    let grams = by_mass.and_then(|scale| Qty::from_decimal(scale.factor()));
    grams
        .or(recorded)
        .filter(|grams| grams.is_positive())
        .ok_or_else(|| {
            Refusal::Outgoing(OutFault::NoWeight {
                part: part.number.clone(),
                unit: part.unit.to_string(),
            })
        })
}

/// How much of a part is left by weight, to the nearest step in which it moves; never less than nothing.
pub fn left_by_weight(part: &Part, lot: &str, weighed: Weighed) -> Result<Qty, Refusal> {
    if weighed.tare_g < Qty::ZERO || weighed.gross_g < weighed.tare_g {
        return Err(Refusal::Outgoing(OutFault::BelowTare {
            lot: lot.to_owned(),
            gross_g: weighed.gross_g,
            tare_g: weighed.tare_g,
        }));
    }
    Ok(in_steps(
        part,
        weighed.gross_g - weighed.tare_g,
        weighed.grams_per_unit,
    ))
}

/// How much of a part one gram is, to the step in which it moves, upwards: no weighing to the gram is nearer than that.
pub fn one_gram(part: &Part, grams_per_unit: Qty) -> Qty {
    let nearest = in_steps(part, Qty::whole(1), grams_per_unit);
    nearest.max(part.step)
}

/// So many grams of a part, in whole steps.
fn in_steps(part: &Part, grams: Qty, grams_per_unit: Qty) -> Qty {
    let step = part.step.millionths().max(1);
    let one = i128::from(grams_per_unit.millionths().max(1)) * i128::from(step);
    let steps = divide(i128::from(grams.millionths()) * IN_ONE, one, Rule::HalfAway);
    // More than fits the books is more than any bin holds, and is refused there.
    let millionths = i64::try_from(steps * i128::from(step)).unwrap_or(i64::MAX);
    Qty::from_millionths(millionths)
}
