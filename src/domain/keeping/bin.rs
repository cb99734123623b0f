//! What a bin bears: one lot only, a band of temperature, so many litres of flammables.
//!
//! ```text
//! limits = limit [ "; " limit ]
//! limit  = NUMBER ".." NUMBER " C" | NUMBER " l flammable"
//! ```
//!
//! Flammables are those whose label bears H224, H225 or H226; a cabinet in the workroom holds 50 l (DSEAR guidance), a
//! figure that the shop writes down itself.

use super::fault::KeepingFault;
use crate::domain::measure::numeral::shown;
use crate::domain::measure::{Qty, Unit};
use crate::domain::stores::ids::LotId;
use std::fmt;
use thiserror::Error;

/// Temperatures from one to another, both included, in degrees Celsius.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Band {
    /// The lowest.
    pub from_c: Qty,
    /// The highest.
    pub to_c: Qty,
}

/// What a bin's record states.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Limits {
    /// The temperatures it keeps.
    pub band: Option<Band>,
    /// The most litres of flammables.
    pub flammable_l: Option<Qty>,
}

/// A text that states no limits.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("'{}' is no limit of a bin: type 2..8 C, 50 l flammable, or both with ; between", shown(.0))]
pub struct LimitsFault(String);

/// A bin, as far as it matters what it bears.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bin {
    /// Its code.
    pub code: String,
    /// Whether it takes one lot only.
    pub one_lot: bool,
    /// What its record states.
    pub limits: Limits,
}

/// How a part wants to be kept.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Keeps {
    /// The hazard statement on its label where it is flammable: 224, 225 or 226.
    pub hazard: Option<i64>,
    /// How many litres one holds, where it is kept by count.
    pub litres_each: Option<Qty>,
    /// Its temperatures.
    pub band: Option<Band>,
}

/// A lot that lies in the bin before a document or after it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lying {
    /// Under which number the books keep it.
    pub lot: LotId,
    /// Its lot number.
    pub number: String,
    /// The part's number.
    pub part: String,
    /// The unit that the part is kept in.
    pub unit: Unit,
    /// How the part wants to be kept.
    pub keeps: Keeps,
    /// How much lies there before.
    pub before: Qty,
    /// How much lies there after.
    pub after: Qty,
}

/// The hazard statements of flammable liquids.
pub const FLAMMABLE: [i64; 3] = [224, 225, 226];

impl Band {
    /// Reads `2..8 C`; the lower first.
    fn parse(text: &str) -> Option<Band> {
        let (from, to) = text.strip_suffix(" C")?.split_once("..")?;
        let (from_c, to_c) = (Qty::parse(from).ok()?, Qty::parse(to).ok()?);
        (from_c <= to_c).then_some(Band { from_c, to_c })
    }

    /// Whether every temperature of another lies in it.
    pub(super) fn holds(self, other: Band) -> bool {
        self.from_c <= other.from_c && other.to_c <= self.to_c
    }
}

impl fmt::Display for Band {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}..{} C", self.from_c, self.to_c)
    }
}

impl Limits {
    /// Reads `2..8 C`, `50 l flammable`, or both with `; ` between.
    pub fn parse(text: &str) -> Result<Limits, LimitsFault> {
        let fault = || LimitsFault(text.to_owned());
        let mut limits = Limits::default();
        for limit in text.split("; ") {
            if let Some(litres) = limit.strip_suffix(" l flammable") {
                let litres = Qty::parse(litres).ok().filter(|litres| !litres.is_negative());
                let earlier = limits.flammable_l.replace(litres.ok_or_else(fault)?);
                earlier.map_or(Ok(()), |_| Err(fault()))?;
            } else {
                let earlier = limits.band.replace(Band::parse(limit).ok_or_else(fault)?);
                earlier.map_or(Ok(()), |_| Err(fault()))?;
            }
        }
        Ok(limits)
    }
}

impl fmt::Display for Limits {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let band = self.band.map(|band| band.to_string());
        let litres = self.flammable_l.map(|litres| format!("{litres} l flammable"));
        let all: Vec<String> = band.into_iter().chain(litres).collect();
        f.write_str(&all.join("; "))
    }
}

impl Lying {
    fn comes(&self) -> bool {
        self.after > self.before
    }

    /// How many litres a quantity is of what is flammable; none where that is not known.
    fn litres(&self, qty: Qty) -> Option<Qty> {
        let qty = qty.to_decimal();
        let litres = match self.unit {
            Unit::Litre => qty,
            Unit::Millilitre => qty * Qty::from_millionths(1_000).to_decimal(),
            _ => qty * self.keeps.litres_each?.to_decimal(),
        };
        Qty::from_decimal(litres.round_dp(6))
    }
}

/// What is to be said of goods that come into a bin; refused where it takes one lot only, or where its litres of
/// flammables would be passed and nobody said that it shall be so.
pub fn bears(bin: &Bin, lying: &[Lying], over_limit: bool) -> Result<Vec<String>, KeepingFault> {
    let coming: Vec<&Lying> = lying.iter().filter(|one| one.comes()).collect();
    one_lot(bin, lying, &coming)?;
    let mut said = Vec::new();
    for one in &coming {
        said.extend(one.keeps.band.and_then(|band| wrong_band(bin, one, band)));
        said.extend(hazard(bin, one));
    }
    said.extend(cabinet(bin, lying, &coming, over_limit)?);
    Ok(said)
}

/// A second lot into a bin of one.
fn one_lot(bin: &Bin, lying: &[Lying], coming: &[&Lying]) -> Result<(), KeepingFault> {
    let second = coming.iter().find(|one| bin.one_lot && one.before.is_zero());
    let Some(second) = second else { return Ok(()) };
    let first = lying
        .iter()
        .find(|one| one.lot != second.lot && one.after.is_positive());
    first.map_or(Ok(()), |first| {
        Err(KeepingFault::SecondLot {
            bin: bin.code.clone(),
            lot: second.number.clone(),
            there: format!("{} of {}", first.number, first.part),
        })
    })
}

/// A bin that does not keep the part's temperatures.
fn wrong_band(bin: &Bin, one: &Lying, wanted: Band) -> Option<String> {
    let what = format!("WARNING: lot {} of {} keeps at {wanted}", one.number, one.part);
    match bin.limits.band {
        None => Some(format!("{what}, and {} keeps no temperature", bin.code)),
        Some(band) if !wanted.holds(band) => Some(format!("{what}, and {} keeps {band}", bin.code)),
        Some(_) => None,
    }
}

/// What is flammable in a bin that is no cabinet for it, or nobody knows how much.
fn hazard(bin: &Bin, one: &Lying) -> Option<String> {
    let hazard = one.keeps.hazard?;
    let what = format!(
        "WARNING: lot {} of {} is flammable, H{hazard}",
        one.number, one.part
    );
    if bin.limits.flammable_l.is_none() {
        return Some(format!("{what}, and {} is no cabinet for flammables", bin.code));
    }
    let unknown = one.litres(one.after).is_none();
    unknown.then(|| format!("{what}, and how many litres is not known: give its size litres_each"))
}

/// The running total of a cabinet for flammables into which some come.
fn cabinet(
    bin: &Bin,
    lying: &[Lying],
    coming: &[&Lying],
    over_limit: bool,
) -> Result<Option<String>, KeepingFault> {
    let Some(limit) = bin.limits.flammable_l else {
        return Ok(None);
    };
    if !coming.iter().any(|one| one.keeps.hazard.is_some()) {
        return Ok(None);
    }
    let flammable = lying.iter().filter(|one| one.keeps.hazard.is_some());
    let litres: Qty = flammable.filter_map(|one| one.litres(one.after)).sum();
    if litres <= limit {
        return Ok(Some(format!(
            "{}: {litres} l of flammables of {limit} l",
            bin.code
        )));
    }
    if over_limit {
        let code = &bin.code;
        return Ok(Some(format!(
            "{code}: OVER ITS LIMIT, {litres} l of flammables of {limit} l"
        )));
    }
    Err(KeepingFault::OverLimit {
        bin: bin.code.clone(),
        litres,
        limit,
    })
}
