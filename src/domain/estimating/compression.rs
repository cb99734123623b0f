//! Compression after a conversion, by spacers under the barrels or by other pistons.
//!
//! A spacer adds clearance over the same bore as the stroke sweeps, so the bore cancels and the route is decided
//! in decimals; only volumes need pi and floating point. Limits and procedures are the approved manual's alone.

use super::sum_fault::{LENGTH_MOST_MM, RATIO_MOST, SumFault};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::f64::consts::PI;

/// What must print with every sum on the spacer route; short enough for 80 cells behind "caution: ".
///
/// Common practice, from memory; whatever the approved manual says goes before any of it.
pub const SPACER_CAUTIONS: &[&str] = &[
    "the approved manual rules: its ratio, parts, torques and procedure",
    "pushrod length, rocker angle and lifter preload change with the spacer",
    "deck height and squish are lost; detonation margin may go either way",
    "check stud length, stretch and engagement; longer studs stretch more",
    "the base joint is doubled: two faces, two seals; check the oil return",
    "pushrod tubes, baffles, induction and exhaust flanges move outward",
    "never stack spacers; only a matched set keeps the cylinders equal",
    "ignition timing and boost limit come from the approved manual only",
    "this is an alteration; have it approved before the work is begun",
];

/// What must print with every sum on the piston route; short enough for 80 cells behind "caution: ".
///
/// Common practice, from memory; whatever the approved manual says goes before any of it.
pub const PISTON_CAUTIONS: &[&str] = &[
    "the approved manual rules: its ratio, parts, torques and procedure",
    "mind the sign: a dish adds clearance, a dome takes it away",
    "weigh the pistons: they are one matched set",
    "check ring lands, valve pockets and squish before anything turns",
    "ignition timing and boost limit come from the approved manual only",
    "this is an alteration; have it approved before the work is begun",
];

/// What must print where the cylinders of one engine would differ.
pub const UNEQUAL_CAUTION: &str = "unequal compression between cylinders; spacers are one matched set";

/// Cubic millimetres in a cubic centimetre.
const MM3_PER_CM3: f64 = 1_000.0;

/// A compression ratio: cylinder volume with the piston at the bottom to that at the top; 8.5 stands for 8.5 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Ratio(
    /// Invariant: more than 1, at most [`RATIO_MOST`].
    Decimal,
);

/// The stocked spacer that keeps a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SpacerChoice {
    /// The size to take, in mm.
    pub thickness_mm: Decimal,
    /// The ratio it gives.
    pub ratio: Ratio,
    /// The next thinner stocked size, in mm, and its ratio, which breaks the limit.
    pub next_thinner: Option<(Decimal, Ratio)>,
    /// The least thickness that keeps the limit, stocked or not, in mm.
    pub wanted_mm: Decimal,
}

/// The ratios of an engine's cylinders and how far apart they lie.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spread {
    /// One ratio a cylinder, in the order of the thicknesses given.
    pub ratios: Vec<Ratio>,
    /// Highest ratio less lowest; 0 where all are equal.
    pub spread: Decimal,
}

impl Ratio {
    /// A ratio from the figure before "to 1"; it must be more than 1 and at most 100.
    pub fn new(figure: Decimal) -> Result<Ratio, SumFault> {
        if figure <= Decimal::ONE {
            Err(SumFault::NotAboveOne(figure))
        } else if figure > RATIO_MOST {
            Err(SumFault::RatioTooHigh(figure))
        } else {
            Ok(Ratio(figure))
        }
    }

    /// The figure before "to 1".
    #[must_use]
    pub fn figure(self) -> Decimal {
        self.0
    }

    /// Swept volume as a multiple of clearance volume.
    fn swept(self) -> Decimal {
        self.0 - Decimal::ONE
    }
}

/// The ratio with a spacer of this thickness under the barrel; 0 mm leaves it as it is.
///
/// (S + h + t) / (h + t) with clearance height h = S / (CR - 1), brought to one division.
pub fn with_spacer(stroke_mm: Decimal, ratio: Ratio, thickness_mm: Decimal) -> Result<Ratio, SumFault> {
    check_stroke(stroke_mm)?;
    check_length(
        "thickness of the spacer",
        thickness_mm,
        "0 or more",
        thickness_mm >= Decimal::ZERO,
    )?;
    let added = thickness_mm * ratio.swept();
    Ratio::new((stroke_mm * ratio.0 + added) / (stroke_mm + added))
}

/// The thickness in mm that brings the ratio down to the target: S / (target - 1) - S / (CR - 1).
pub fn spacer_for(stroke_mm: Decimal, ratio: Ratio, target: Ratio) -> Result<Decimal, SumFault> {
    check_stroke(stroke_mm)?;
    if target >= ratio {
        return Err(SumFault::TargetNotBelow {
            target: target.0,
            present: ratio.0,
        });
    }
    // A target a hair above 1 asks for more than any number holds; the length check would refuse it anyhow.
    let wanted_mm = stroke_mm
        .checked_div(target.swept())
        .map_or(Decimal::MAX, |clearance_mm| {
            clearance_mm - stroke_mm / ratio.swept()
        });
    check_length("spacer wanted", wanted_mm, "more than 0", true)?;
    Ok(wanted_mm)
}

/// The thinnest stocked spacer that keeps the ratio at or under `max` and not under `min`.
///
/// The limit is a maximum, so the thickness is rounded up to a stocked size, never to the nearest; sizes are
/// never added together. Both limits are compared without division, exactly for figures of up to six decimals.
pub fn choose_spacer(
    stroke_mm: Decimal,
    ratio: Ratio,
    max: Ratio,
    min: Option<Ratio>,
    stocked: &[Decimal],
) -> Result<SpacerChoice, SumFault> {
    check_stroke(stroke_mm)?;
    if let Some(least) = min.filter(|least| *least > max) {
        return Err(SumFault::LimitsCrossed {
            least: least.0,
            most: max.0,
        });
    }
    if ratio <= max {
        return Err(SumFault::AlreadyWithin {
            present: ratio.0,
            limit: max.0,
        });
    }
    let wanted_mm = spacer_for(stroke_mm, ratio, max)?;
    let mut sizes = stocked.to_vec();
    for size in &sizes {
        check_length("stocked spacer", *size, "more than 0", *size > Decimal::ZERO)?;
    }
    sizes.sort_unstable();
    let (too_thin, enough): (Vec<Decimal>, Vec<Decimal>) =
        sizes.iter().partition(|size| over(stroke_mm, ratio, **size, max));
    let Some(thickness_mm) = enough.first().copied() else {
        return Err(SumFault::NoneThickEnough {
            wanted_mm,
            thickest_mm: sizes.last().copied(),
        });
    };
    let chosen = with_spacer(stroke_mm, ratio, thickness_mm)?;
    if let Some(least) = min.filter(|least| under(stroke_mm, ratio, thickness_mm, *least)) {
        return Err(SumFault::UnderMinimum {
            thickness_mm,
            ratio: chosen.0,
            least: least.0,
            wanted_mm,
        });
    }
    let with_ratio = |size: Decimal| with_spacer(stroke_mm, ratio, size).map(|thinner| (size, thinner));
    let next_thinner = too_thin.last().copied().map(with_ratio).transpose()?;
    Ok(SpacerChoice {
        thickness_mm,
        ratio: chosen,
        next_thinner,
        wanted_mm,
    })
}

/// The ratio of each cylinder under its own spacer, and how far they lie apart.
pub fn unequal(stroke_mm: Decimal, ratio: Ratio, thicknesses_mm: &[Decimal]) -> Result<Spread, SumFault> {
    let ratios: Vec<Ratio> = thicknesses_mm
        .iter()
        .map(|thickness_mm| with_spacer(stroke_mm, ratio, *thickness_mm))
        .collect::<Result<_, _>>()?;
    match (ratios.iter().max(), ratios.iter().min()) {
        (Some(highest), Some(lowest)) => Ok(Spread {
            spread: highest.0 - lowest.0,
            ratios,
        }),
        _ => Err(SumFault::NoCylinders),
    }
}

/// Added clearance in cm3 and the ratio with another piston.
///
/// `extra_dish_cm3` is the new dish less the old (a dome counts below 0); `height_cut_mm` is how much lower the
/// new crown stands (below 0 where it stands higher).
pub fn with_piston(
    bore_mm: Decimal,
    stroke_mm: Decimal,
    ratio: Ratio,
    extra_dish_cm3: Decimal,
    height_cut_mm: Decimal,
) -> Result<(f64, f64), SumFault> {
    check_length("bore", bore_mm, "more than 0", bore_mm > Decimal::ZERO)?;
    check_stroke(stroke_mm)?;
    check_length(
        "height cut",
        height_cut_mm,
        "-1000 or more",
        height_cut_mm >= -LENGTH_MOST_MM,
    )?;
    let added_cm3 = real(extra_dish_cm3) + displacement_cm3(bore_mm, height_cut_mm);
    let left_cm3 = clearance_cm3(bore_mm, stroke_mm, ratio) + added_cm3;
    if left_cm3 <= 0.0 {
        return Err(SumFault::NoClearance(left_cm3));
    }
    Ok((
        added_cm3,
        ratio_from_volumes(displacement_cm3(bore_mm, stroke_mm), left_cm3)?,
    ))
}

/// Volume in cm3 of a cylinder of this bore and height: swept by one stroke, or added by one spacer.
#[must_use]
pub fn displacement_cm3(bore_mm: Decimal, stroke_mm: Decimal) -> f64 {
    PI / 4.0 * real(bore_mm).powi(2) * real(stroke_mm) / MM3_PER_CM3
}

/// Volume in cm3 left above the piston at the top of its stroke; a burette gives it better than a plate ratio.
#[must_use]
pub fn clearance_cm3(bore_mm: Decimal, stroke_mm: Decimal, ratio: Ratio) -> f64 {
    displacement_cm3(bore_mm, stroke_mm) / real(ratio.swept())
}

/// The ratio from swept and clearance volume of one cylinder, in any one unit.
pub fn ratio_from_volumes(swept_cm3: f64, clearance_cm3: f64) -> Result<f64, SumFault> {
    for (what, given) in [("swept volume", swept_cm3), ("clearance volume", clearance_cm3)] {
        if !(given.is_finite() && given > 0.0) {
            return Err(SumFault::Volume { what, given });
        }
    }
    Ok((swept_cm3 + clearance_cm3) / clearance_cm3)
}

/// Whether a spacer leaves the ratio above the limit: S·CR + t·(CR-1) > max·(S + t·(CR-1)).
fn over(stroke_mm: Decimal, ratio: Ratio, thickness_mm: Decimal, max: Ratio) -> bool {
    clearance_gap(stroke_mm, ratio, thickness_mm, max) < Decimal::ZERO
}

/// Whether a spacer brings the ratio below the limit.
fn under(stroke_mm: Decimal, ratio: Ratio, thickness_mm: Decimal, min: Ratio) -> bool {
    clearance_gap(stroke_mm, ratio, thickness_mm, min) > Decimal::ZERO
}

/// t·(limit-1)·(CR-1) - S·(CR-limit): below 0 where the ratio stays above the limit, 0 where it meets it.
fn clearance_gap(stroke_mm: Decimal, ratio: Ratio, thickness_mm: Decimal, limit: Ratio) -> Decimal {
    thickness_mm * limit.swept() * ratio.swept() - stroke_mm * (ratio.0 - limit.0)
}

/// Refuses a stroke that no engine has.
fn check_stroke(stroke_mm: Decimal) -> Result<(), SumFault> {
    check_length("stroke", stroke_mm, "more than 0", stroke_mm > Decimal::ZERO)
}

/// Refuses a length that fails its lower bound or is beyond any engine.
fn check_length(what: &'static str, given: Decimal, least: &'static str, kept: bool) -> Result<(), SumFault> {
    if kept && given <= LENGTH_MOST_MM {
        Ok(())
    } else {
        Err(SumFault::Length { what, given, least })
    }
}

/// The nearest floating-point number; every decimal has one.
fn real(exact: Decimal) -> f64 {
    exact.to_f64().unwrap_or(f64::NAN)
}
