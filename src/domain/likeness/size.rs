//! Sizes of parts, and the range in which somebody looks for one.

use crate::domain::likeness::set::is_spread;
use crate::domain::measure::typed::{Kept, TypedFault, parted, typed_qty, typed_size};
use crate::domain::measure::{Qty, Unit, scale};
use crate::domain::stores::part::Part;
use std::fmt;
use thiserror::Error;

/// Sizes that are no dimensions: what acceptance asks of a part.
const NO_DIMENSIONS: [&str; 1] = ["least_life_percent"];

/// One size of a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Size {
    /// What is measured: `thickness`, `hole`, `flow_cm3_per_minute`.
    pub name: String,
    /// How much, in the unit.
    pub value: Qty,
    /// The symbol of the unit; none for a plain number.
    pub unit: Option<String>,
}

impl Size {
    /// Whether it tells parts apart.
    pub fn is_dimension(&self) -> bool {
        !NO_DIMENSIONS.contains(&self.name.as_str()) && !is_spread(&self.name)
    }

    /// The figure with its unit: `2.5 mm`.
    pub fn figure(&self) -> String {
        figure(self.value, self.unit.as_deref())
    }
}

impl fmt::Display for Size {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.name, self.figure())
    }
}

/// A part with the sizes that tell it apart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sized {
    /// The part.
    pub part: Part,
    /// Its sizes by name.
    pub sizes: Vec<Size>,
}

impl Sized {
    /// The size of this name.
    pub fn size(&self, name: &str) -> Option<&Size> {
        self.sizes.iter().find(|size| size.name == name)
    }

    /// All its sizes in words: `bore 100 mm, thickness 2 mm`.
    pub fn told(&self) -> String {
        let told: Vec<String> = self.sizes.iter().map(Size::to_string).collect();
        told.join(", ")
    }
}

/// The size that is looked for: a name, and from how much to how much as it was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SizeAsked {
    /// What is measured.
    pub name: String,
    lowest: String,
    highest: String,
    /// The unit as typed; blank for a plain number.
    unit: String,
}

/// A range in the unit in which some parts have the size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Range {
    /// The smallest that will do.
    pub lowest: Qty,
    /// The largest that will do.
    pub highest: Qty,
    /// The unit of both.
    pub unit: Option<String>,
}

/// Why a size cannot be looked for.
// The fields are named for what they are; the sentence says them.
#[allow(missing_docs)]
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum SizeFault {
    /// Not a name, an equals sign and figures.
    #[error("{text} names no size and how much")]
    Shape { text: String },
    /// No part has a size of this name.
    #[error("no part has a size called {name}; there are {}", known.join(", "))]
    Unknown { name: String, known: Vec<String> },
    /// The size has a unit, and none was typed.
    #[error("{name} is measured in {unit}, and no unit was typed")]
    NoUnit { name: String, unit: String },
    /// The size is a plain number, and a unit was typed.
    #[error("{name} is a plain number, and {unit} was typed")]
    PlainNumber { name: String, unit: String },
    /// The first figure is above the second.
    #[error("{name}: {lowest} is more than {highest}")]
    Backwards { name: String, lowest: Qty, highest: Qty },
    /// The figure or its unit will not do.
    #[error("{name}: {fault}")]
    Typed { name: String, fault: TypedFault },
}

impl SizeAsked {
    /// Reads `thickness=2.0..2.5mm`, or one figure for exactly that much; the unit may stand at either figure.
    pub fn read(text: &str) -> Result<SizeAsked, SizeFault> {
        let shape = || SizeFault::Shape {
            text: text.to_owned(),
        };
        let (name, figures) = text.split_once('=').ok_or_else(shape)?;
        let (low, high) = figures.split_once("..").unwrap_or((figures, figures));
        let ((lowest, low_unit), (highest, high_unit)) = (parted(low), parted(high));
        let name = name.trim().to_lowercase().replace([' ', '-'], "_");
        let units_differ = !low_unit.is_empty() && !high_unit.is_empty() && low_unit != high_unit;
        if name.is_empty() || lowest.is_empty() || highest.is_empty() || units_differ {
            return Err(shape());
        }
        let unit = if high_unit.is_empty() { low_unit } else { high_unit };
        Ok(SizeAsked {
            name,
            lowest: lowest.to_owned(),
            highest: highest.to_owned(),
            unit: unit.to_owned(),
        })
    }

    /// The range in one of the units that parts have this size in; `units` has each once.
    pub fn ranges(&self, units: &[Option<String>]) -> Result<Vec<Range>, SizeFault> {
        let mut ranges = Vec::new();
        let mut faults = Vec::new();
        for unit in units {
            match self.range(unit.as_deref()) {
                Ok(range) => ranges.push(range),
                Err(fault) => faults.push(fault),
            }
        }
        match (ranges.is_empty(), faults.into_iter().next()) {
            (true, Some(fault)) => Err(fault),
            _ => Ok(ranges),
        }
    }

    fn range(&self, unit: Option<&str>) -> Result<Range, SizeFault> {
        let name = self.name.clone();
        let read = |figure: &str| match unit {
            Some(symbol) if self.unit.is_empty() => Err(SizeFault::NoUnit {
                name: self.name.clone(),
                unit: symbol.to_owned(),
            }),
            None if !self.unit.is_empty() => Err(SizeFault::PlainNumber {
                name: self.name.clone(),
                unit: self.unit.clone(),
            }),
            _ => in_unit(figure, &self.unit, unit).map_err(|fault| SizeFault::Typed {
                name: self.name.clone(),
                fault,
            }),
        };
        let (lowest, highest) = (read(&self.lowest)?, read(&self.highest)?);
        if lowest > highest {
            return Err(SizeFault::Backwards {
                name,
                lowest,
                highest,
            });
        }
        Ok(Range {
            lowest,
            highest,
            unit: unit.map(str::to_owned),
        })
    }
}

/// A figure in the unit wanted.
fn in_unit(figure: &str, typed: &str, wanted: Option<&str>) -> Result<Qty, TypedFault> {
    let scale = wanted.and_then(|symbol| scale::SCALES.iter().find(|scale| scale.symbol == symbol));
    let read = match scale {
        Some(scale) => typed_size(&format!("{figure} {typed}"), scale),
        None => typed_qty(figure, &Kept::plainly(Unit::Each)),
    };
    read.map(|understood| understood.qty)
}

impl Range {
    /// Whether a size lies in it; one in another unit is another size.
    pub fn holds(&self, size: &Size) -> bool {
        size.unit == self.unit && size.value >= self.lowest && size.value <= self.highest
    }

    /// How far a size lies from it.
    pub fn distance(&self, size: &Size) -> Option<Qty> {
        let below = self.lowest - size.value;
        let above = size.value - self.highest;
        (size.unit == self.unit).then(|| below.max(above).max(Qty::ZERO))
    }
}

impl fmt::Display for Range {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let highest = figure(self.highest, self.unit.as_deref());
        if self.lowest == self.highest {
            return write!(f, "{highest}");
        }
        write!(f, "{} to {highest}", self.lowest)
    }
}

fn figure(value: Qty, unit: Option<&str>) -> String {
    unit.map_or_else(|| value.to_string(), |unit| format!("{value} {unit}"))
}
