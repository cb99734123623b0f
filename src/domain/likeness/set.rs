//! Matched sets: pieces measured one by one, and how far apart they may be.

use crate::domain::likeness::fault::LikenessFault;
use crate::domain::likeness::size::{Size, Sized};
use crate::domain::measure::Qty;

/// Behind the name of what is measured, the size that says how far apart the pieces of a set may be: in the unit of
/// the size itself, or in grams.
const SPREADS: [&str; 2] = ["_spread", "_spread_grams"];

/// Whether a size says how far apart the pieces of a set may be.
pub fn is_spread(name: &str) -> bool {
    SPREADS.iter().any(|spread| name.ends_with(spread))
}

/// How far apart the pieces of a set may be in something that is measured.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Limit {
    /// What is measured: `weight`, `thickness`.
    pub name: String,
    /// The most that the largest may be above the smallest.
    pub most: Qty,
    /// The unit of both: `mm`, `g`.
    pub unit: String,
}

/// Every limit on record among a part's sizes.
pub fn limits(sizes: &[Size]) -> Vec<Limit> {
    let limit = |size: &Size| {
        let (name, unit) = match size.name.strip_suffix("_spread_grams") {
            Some(name) => (name, "g".to_owned()),
            None => (
                size.name.strip_suffix("_spread")?,
                size.unit.clone().unwrap_or_default(),
            ),
        };
        Some(Limit {
            name: name.to_owned(),
            most: size.value,
            unit,
        })
    };
    sizes.iter().filter_map(limit).collect()
}

/// The largest figure less the smallest; nothing where nothing was measured.
pub fn spread(figures: &[Qty]) -> Option<Qty> {
    Some(*figures.iter().max()? - *figures.iter().min()?)
}

/// Refuses pieces that are further apart than the limit; gives how far apart they are.
pub fn judge(part: &str, limit: &Limit, figures: &[Qty]) -> Result<Qty, LikenessFault> {
    let apart = spread(figures).unwrap_or_default();
    if apart <= limit.most {
        return Ok(apart);
    }
    let (name, unit, most) = (&limit.name, &limit.unit, limit.most);
    Err(LikenessFault::Apart {
        part: part.to_owned(),
        name: limit.name.clone(),
        because: format!(
            "{name} {} {unit} is {apart} {unit} apart, {most} {unit} allowed",
            told(figures)
        ),
    })
}

/// The figures as they were measured: `512, 513.5`.
pub fn told(figures: &[Qty]) -> String {
    let told: Vec<String> = figures.iter().map(Qty::to_string).collect();
    told.join(", ")
}

/// Pieces of two parts make no set, whatever they measure.
pub fn one_part(first: &Sized, other: &Sized) -> Result<(), LikenessFault> {
    if first.part.id == other.part.id {
        return Ok(());
    }
    Err(LikenessFault::TwoParts {
        one: format!("{} ({})", first.part.number, first.told()),
        other: format!("{} ({})", other.part.number, other.told()),
    })
}
