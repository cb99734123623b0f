//! Stock units and the conversions that hold for every part alike.

use super::numeral::shown;
use super::qty::Qty;
use std::fmt;
use thiserror::Error;

/// A unit stock is kept in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unit {
    /// One thing, `each`.
    Each,
    /// A set, of as many as the part says, `set`.
    Set,
    /// `mm`.
    Millimetre,
    /// `m`.
    Metre,
    /// `ml`.
    Millilitre,
    /// `l`.
    Litre,
    /// `g`.
    Gram,
    /// `kg`.
    Kilogram,
    /// `h`.
    Hour,
}

/// What a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Dimension {
    /// Things counted.
    Count,
    /// Length.
    Length,
    /// Volume.
    Volume,
    /// Mass.
    Mass,
    /// Time.
    Time,
    /// Torque; nothing in stock is kept by it.
    Torque,
    /// Pressure; nothing in stock is kept by it.
    Pressure,
}

/// Why a unit is unknown or a quantity cannot be turned from one unit into another.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum UnitFault {
    /// No such unit.
    #[error(
        "'{}' is no unit kept here: type one of each, set, mm, m, ml, l, g, kg, h",
        shown(text)
    )]
    Unknown {
        /// The text as given.
        text: String,
    },
    /// The two units measure different things.
    #[error("{from} is a unit of {}, {to} of {}: give the quantity in a unit of {}", from.dimension(),
        to.dimension(), to.dimension())]
    OtherDimension {
        /// Unit of the quantity.
        from: Unit,
        /// Unit asked for.
        to: Unit,
    },
    /// Each and set: how many make a set is the part's own matter.
    #[error("how many each make a set differs from part to part: give the quantity in {to}")]
    NoFixedFactor {
        /// Unit of the quantity.
        from: Unit,
        /// Unit asked for.
        to: Unit,
    },
    /// The result lies between two millionths.
    #[error("{qty} {from} fits no millionth of {to}: give {below} {to} or {above} {to}")]
    BetweenMillionths {
        /// The quantity as given.
        qty: Qty,
        /// Its unit.
        from: Unit,
        /// Unit asked for.
        to: Unit,
        /// The nearest quantity below, in the unit asked for.
        below: Qty,
        /// The nearest quantity above, in the unit asked for.
        above: Qty,
    },
    /// The result is too large to keep.
    #[error("{qty} {from} is too large to be kept in {to}: give a smaller quantity")]
    TooLarge {
        /// The quantity as given.
        qty: Qty,
        /// Its unit.
        from: Unit,
        /// Unit asked for.
        to: Unit,
    },
}

impl Unit {
    /// Every unit there is.
    pub const ALL: [Self; 9] = [
        Self::Each,
        Self::Set,
        Self::Millimetre,
        Self::Metre,
        Self::Millilitre,
        Self::Litre,
        Self::Gram,
        Self::Kilogram,
        Self::Hour,
    ];

    /// Reads a unit by its symbol, whose case counts.
    pub fn parse(text: &str) -> Result<Self, UnitFault> {
        let known = Self::ALL.into_iter().find(|unit| unit.symbol() == text);
        known.ok_or_else(|| UnitFault::Unknown {
            text: text.to_owned(),
        })
    }

    /// The symbol it is written with.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Each => "each",
            Self::Set => "set",
            Self::Millimetre => "mm",
            Self::Metre => "m",
            Self::Millilitre => "ml",
            Self::Litre => "l",
            Self::Gram => "g",
            Self::Kilogram => "kg",
            Self::Hour => "h",
        }
    }

    /// What it measures.
    pub const fn dimension(self) -> Dimension {
        match self {
            Self::Each | Self::Set => Dimension::Count,
            Self::Millimetre | Self::Metre => Dimension::Length,
            Self::Millilitre | Self::Litre => Dimension::Volume,
            Self::Gram | Self::Kilogram => Dimension::Mass,
            Self::Hour => Dimension::Time,
        }
    }

    /// How many of the smallest unit of its dimension it holds (SI prefixes).
    const fn smallest_units(self) -> i64 {
        match self {
            Self::Metre | Self::Litre | Self::Kilogram => 1000,
            Self::Each | Self::Set | Self::Millimetre | Self::Millilitre | Self::Gram | Self::Hour => 1,
        }
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.symbol())
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Count => "count",
            Self::Length => "length",
            Self::Volume => "volume",
            Self::Mass => "mass",
            Self::Time => "time",
            Self::Torque => "torque",
            Self::Pressure => "pressure",
        })
    }
}

/// Turns a quantity into another unit of the same dimension, exactly or not at all.
pub fn convert(qty: Qty, from: Unit, to: Unit) -> Result<Qty, UnitFault> {
    if from == to {
        return Ok(qty);
    }
    if from.dimension() != to.dimension() {
        return Err(UnitFault::OtherDimension { from, to });
    }
    if from.dimension() == Dimension::Count {
        return Err(UnitFault::NoFixedFactor { from, to });
    }
    let smallest = i128::from(qty.millionths()) * i128::from(from.smallest_units());
    let per_unit = i128::from(to.smallest_units());
    let below =
        i64::try_from(smallest.div_euclid(per_unit)).map_err(|_| UnitFault::TooLarge { qty, from, to })?;
    if smallest.rem_euclid(per_unit) == 0 {
        return Ok(Qty::from_millionths(below));
    }
    let (below, above) = (Qty::from_millionths(below), Qty::from_millionths(below + 1));
    Err(UnitFault::BetweenMillionths {
        qty,
        from,
        to,
        below,
        above,
    })
}
