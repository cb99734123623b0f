//! Why a bench sum has no answer, or one that must not be used, in words that say what to do.

use crate::domain::measure::rounding::{Rule, round};
use rust_decimal::Decimal;
use thiserror::Error;

/// The largest length any sum here takes, in mm; beyond it a slip in the unit is certain.
pub(super) const LENGTH_MOST_MM: Decimal = Decimal::from_parts(1_000, 0, 0, false, 0);

/// The largest compression ratio any sum here takes; beyond it a slip of the point is certain.
pub(super) const RATIO_MOST: Decimal = Decimal::ONE_HUNDRED;

/// Why a compression sum has no answer, or an answer that must not be used.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum SumFault {
    /// Swept volume is never nothing, so a ratio is more than 1.
    #[error("a compression ratio is more than 1 and {0} is not; write 8.5 for 8.5 to 1")]
    NotAboveOne(Decimal),
    /// A ratio no piston engine has.
    #[error("a compression ratio of {0} is more than any engine's ({RATIO_MOST}); check the decimal point")]
    RatioTooHigh(Decimal),
    /// A length outside what the sum can mean, in mm.
    #[error(
        "the {what} is {given} mm and must be {least} and at most {LENGTH_MOST_MM} mm; check figure and unit"
    )]
    Length {
        /// What was measured.
        what: &'static str,
        /// The figure given, in mm.
        given: Decimal,
        /// The lower bound in words.
        least: &'static str,
    },
    /// A spacer can only lower the ratio.
    #[error(
        "a spacer only lowers compression: the target {target} is not below the present {present}; \
         choose a lower target"
    )]
    TargetNotBelow {
        /// The ratio wanted.
        target: Decimal,
        /// The ratio the engine has.
        present: Decimal,
    },
    /// The engine already keeps the limit.
    #[error("the present compression {present} already keeps the limit of {limit}; no spacer is needed")]
    AlreadyWithin {
        /// The ratio the engine has.
        present: Decimal,
        /// The highest ratio allowed.
        limit: Decimal,
    },
    /// The minimum stands above the maximum.
    #[error("the lowest compression allowed, {least}, is above the highest, {most}; look both up again")]
    LimitsCrossed {
        /// The lowest ratio allowed.
        least: Decimal,
        /// The highest ratio allowed.
        most: Decimal,
    },
    /// No stocked size is thick enough, and spacers are never stacked.
    #[error(
        "no stocked spacer is thick enough: {} mm or more is wanted, {}; order a thicker one, \
         spacers are never stacked",
        rounded_up(*.wanted_mm), thickest_in_words(*.thickest_mm)
    )]
    NoneThickEnough {
        /// The least thickness that keeps the limit, in mm.
        wanted_mm: Decimal,
        /// The thickest size in stock, in mm.
        thickest_mm: Option<Decimal>,
    },
    /// The thinnest spacer that keeps the maximum falls below the minimum.
    #[error(
        "the {thickness_mm} mm spacer gives {}, below the lowest allowed {least}; \
         a size of {} mm or a little more is wanted",
        rounded_down(*.ratio), rounded_up(*.wanted_mm)
    )]
    UnderMinimum {
        /// The thickness the maximum asks for among the stocked sizes, in mm.
        thickness_mm: Decimal,
        /// The ratio it would give.
        ratio: Decimal,
        /// The lowest ratio allowed.
        least: Decimal,
        /// The least thickness that keeps the maximum, in mm.
        wanted_mm: Decimal,
    },
    /// The change would leave no volume above the piston, or less.
    #[error("this piston leaves {0:.3} cm3 above it at the top; check dish (+), dome (-) and height cut")]
    NoClearance(f64),
    /// A volume that is not more than nothing, in cm3.
    #[error("the {what} is {given} cm3 and must be more than 0; measure it again")]
    Volume {
        /// Which volume.
        what: &'static str,
        /// The figure given, in cm3.
        given: f64,
    },
    /// Spacer and other pistons are alternatives.
    #[error("spacers and other pistons are alternatives; both together would give {ratio}:1: choose one")]
    BothRoutes {
        /// The ratio that both together would give.
        ratio: Decimal,
    },
    /// No cylinder to compare.
    #[error("there is no spacer to compare; give one thickness for each cylinder")]
    NoCylinders,
}

/// A wanted thickness for a message: three decimals, never less than it is.
fn rounded_up(thickness_mm: Decimal) -> Decimal {
    round(thickness_mm, Decimal::new(1, 3), Rule::Up).normalize()
}

/// A ratio under a minimum for a message: four decimals, never more than it is.
fn rounded_down(ratio: Decimal) -> Decimal {
    round(ratio, Decimal::new(1, 4), Rule::Down).normalize()
}

/// The thickest stocked size for a message.
fn thickest_in_words(thickest_mm: Option<Decimal>) -> String {
    thickest_mm.map_or("none is in stock".to_owned(), |thickest| {
        format!("the thickest is {thickest} mm")
    })
}
