//! The whole sum of one engine's compression as an estimator asks for it: as it is, then by one route or the other.

use super::compression::{
    Ratio, Spread, clearance_cm3, displacement_cm3, ratio_from_volumes, unequal, with_piston, with_spacer,
};
use super::sum_fault::SumFault;
use crate::domain::measure::rounding::{Rule, round};
use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive, ToPrimitive};

/// What an engine's sum starts from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cylinder {
    /// The cylinder's bore, in mm.
    pub bore_mm: Decimal,
    /// The stroke, in mm.
    pub stroke_mm: Decimal,
    /// The ratio as it is.
    pub ratio: Ratio,
}

/// What is to be done to the compression.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Change {
    /// Thickness of the spacer under each barrel, in mm: one for all, or one a cylinder; empty for none.
    pub spacers_mm: Vec<Decimal>,
    /// How far a spacer may be off either way, in mm.
    pub tolerance_mm: Decimal,
    /// The new piston's dish less the old one's, in cm3; a dome counts below 0.
    pub dish_cm3: Option<Decimal>,
    /// How much lower the new crown stands, in mm.
    pub height_cut_mm: Option<Decimal>,
}

/// What spacers make of an engine.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spaced {
    /// The ratio of each cylinder.
    pub each: Spread,
    /// Lowest and highest ratio that the tolerance allows any cylinder; none where no tolerance was given.
    pub within: Option<(Ratio, Ratio)>,
}

/// What the change comes to.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// Nothing changes.
    AsItIs,
    /// Spacers under the barrels.
    Spacers(Spaced),
    /// Other pistons: added clearance in cm3, and the ratio.
    Pistons {
        /// Added clearance of one cylinder, in cm3.
        added_cm3: f64,
        /// The ratio.
        ratio: f64,
    },
}

impl Cylinder {
    /// From a clearance volume in cm3, as a burette gives it.
    pub fn from_clearance(
        bore_mm: Decimal,
        stroke_mm: Decimal,
        clearance_cm3: Decimal,
    ) -> Result<Cylinder, SumFault> {
        let left_cm3 = clearance_cm3.to_f64().unwrap_or(f64::NAN);
        let figure = ratio_from_volumes(displacement_cm3(bore_mm, stroke_mm), left_cm3)?;
        let ratio = Ratio::new(figured(figure, 10))?;
        Ok(Cylinder {
            bore_mm,
            stroke_mm,
            ratio,
        })
    }

    /// Swept volume of one cylinder, in cm3.
    pub fn swept_cm3(&self) -> f64 {
        displacement_cm3(self.bore_mm, self.stroke_mm)
    }

    /// Clearance volume of one cylinder, in cm3.
    pub fn clearance_cm3(&self) -> f64 {
        clearance_cm3(self.bore_mm, self.stroke_mm, self.ratio)
    }

    /// What a change comes to; spacers and other pistons at once are refused with the ratio they would give.
    pub fn after(&self, change: &Change) -> Result<Outcome, SumFault> {
        // The bore and stroke are judged first, by the piston route that stays as it is.
        with_piston(
            self.bore_mm,
            self.stroke_mm,
            self.ratio,
            Decimal::ZERO,
            Decimal::ZERO,
        )?;
        let pistons = change.dish_cm3.is_some() || change.height_cut_mm.is_some();
        match (change.spacers_mm.as_slice(), pistons) {
            ([], false) => Ok(Outcome::AsItIs),
            ([], true) => {
                let (added_cm3, ratio) = self.with_pistons(change, Decimal::ZERO)?;
                Ok(Outcome::Pistons { added_cm3, ratio })
            }
            (spacers, false) => self.spaced(spacers, change.tolerance_mm).map(Outcome::Spacers),
            (spacers, true) => {
                let thickest_mm = spacers.iter().copied().max().unwrap_or_default();
                let (_, ratio) = self.with_pistons(change, thickest_mm)?;
                Err(SumFault::BothRoutes {
                    ratio: figured(ratio, 4).normalize(),
                })
            }
        }
    }

    /// Added clearance and ratio with other pistons over a spacer, which adds as much as the same height cut.
    fn with_pistons(&self, change: &Change, spacer_mm: Decimal) -> Result<(f64, f64), SumFault> {
        let (dish_cm3, cut_mm) = (
            change.dish_cm3.unwrap_or_default(),
            change.height_cut_mm.unwrap_or_default(),
        );
        with_piston(
            self.bore_mm,
            self.stroke_mm,
            self.ratio,
            dish_cm3,
            cut_mm + spacer_mm,
        )
    }

    fn spaced(&self, spacers_mm: &[Decimal], tolerance_mm: Decimal) -> Result<Spaced, SumFault> {
        let each = unequal(self.stroke_mm, self.ratio, spacers_mm)?;
        if tolerance_mm < Decimal::ZERO {
            return Err(SumFault::Length {
                what: "tolerance",
                given: tolerance_mm,
                least: "0 or more",
            });
        }
        let ends = spacers_mm.iter().max().zip(spacers_mm.iter().min());
        let within = match ends.filter(|_| tolerance_mm > Decimal::ZERO) {
            None => None,
            Some((thickest_mm, thinnest_mm)) => Some((
                with_spacer(self.stroke_mm, self.ratio, thickest_mm + tolerance_mm)?,
                with_spacer(self.stroke_mm, self.ratio, thinnest_mm - tolerance_mm)?,
            )),
        };
        Ok(Spaced { each, within })
    }
}

/// A figure as a decimal of so many decimals, half away from zero.
pub fn figured(real: f64, decimals: u32) -> Decimal {
    let exact = Decimal::from_f64(real).unwrap_or_default();
    round(exact, Decimal::new(1, decimals), Rule::HalfAway)
}
