//! What a person types where a quantity or a size is wanted: `12`, `2.5 ml`, `.032in`, `1-1/2 in`, `2 tubes`.
//!
//! Everything is kept as a fraction of whole numbers until it is brought to the unit wanted, and there it must fit
//! a millionth, or the step in which the part moves. What was understood is given back in words, to be shown before anything is posted.

use super::fraction::Fraction;
use super::millionths::{DECIMALS, IN_ONE};
use super::numeral::{self, NumeralFault, shown};
use super::qty::Qty;
use super::scale::{SCALES, Scale, scales_called};
use super::unit::{Dimension, Unit};
use rust_decimal::Decimal;
use thiserror::Error;

/// A name of the part's own for so many of its stock unit: a box of 100 each, a tube of 50 ml.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OwnFactor {
    /// What one is called, in the singular.
    pub name: String,
    /// How many of the stock unit one holds.
    pub holds: Qty,
    /// Whose word it is: a supplier's code, or what the house calls it.
    pub whose: String,
}

/// How a part is kept, as far as a typed quantity needs it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// The unit it is kept in.
    pub unit: Unit,
    /// The smallest quantity that may move, in that unit.
    pub step: Qty,
    /// The names of its own for so many of it.
    pub own: Vec<OwnFactor>,
    /// The grams that one of its unit weighs, where it may be weighed instead of measured.
    pub grams_per_unit: Option<Qty>,
}

impl Kept {
    /// A part of which only the unit is known: it moves by the millionth and has no names of its own.
    pub fn plainly(unit: Unit) -> Kept {
        Kept {
            unit,
            step: Qty::from_millionths(1),
            own: Vec::new(),
            grams_per_unit: None,
        }
    }
}

/// What a typed text came to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Understood {
    /// The quantity, in the unit wanted.
    pub qty: Qty,
    /// What was understood, `1-1/2 in = 38.1 mm`.
    pub echo: String,
    /// Whether the figure was typed as it is kept, so that nothing had to be understood.
    pub literal: bool,
}

/// Why a typed quantity or size is not taken, and what to type instead.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum TypedFault {
    /// The figure is no number.
    #[error("{0}")]
    Number(#[from] NumeralFault),
    /// A fraction that is not whole numbers over a number above zero.
    #[error("'{}' is no fraction: type whole numbers, such as 1-1/2", shown(text))]
    Fraction {
        /// The figure as given.
        text: String,
    },
    /// Nobody knows the unit.
    #[error("'{}' is no unit known here: type one of {known}", shown(text))]
    Unknown {
        /// The unit as given.
        text: String,
        /// What would be taken.
        known: String,
    },
    /// The unit may mean two things.
    #[error("'{}' may mean {}: type the one meant", shown(text), readings.join(" or "))]
    TwoFold {
        /// The unit as given.
        text: String,
        /// The ways to write it plainly.
        readings: Vec<&'static str>,
    },
    /// A metre where time is wanted.
    #[error("'{}' is a metre here and never a minute: type min for minutes", shown(text))]
    NotMinutes {
        /// The text as given.
        text: String,
    },
    /// The unit measures something else.
    #[error("{symbol} measures {is}, and {wanted} is wanted: type one of {known}")]
    OtherDimension {
        /// The unit as printed.
        symbol: &'static str,
        /// What it measures.
        is: Dimension,
        /// What is wanted.
        wanted: Dimension,
        /// What would be taken.
        known: String,
    },
    /// A name of the part's own that holds now so many, now so many.
    #[error("'{}' may be {}: type the number itself", shown(text), readings.join(" or "))]
    SeveralPacks {
        /// The text as given.
        text: String,
        /// What it may be, `100 each (box of QUO)`.
        readings: Vec<String>,
    },
    /// The result lies between two steps in which the part moves, or between two millionths.
    #[error("'{}' fits no {} of {unit}: type {below} {unit} or {above} {unit}", shown(text), step_told(*step))]
    BetweenSteps {
        /// The text as given.
        text: String,
        /// The step, in the unit wanted.
        step: Qty,
        /// The unit wanted.
        unit: String,
        /// The nearest quantity below.
        below: Qty,
        /// The nearest quantity above.
        above: Qty,
    },
    /// The result is too large to keep.
    #[error("'{}' is too large: check figure and unit", shown(text))]
    TooLarge {
        /// The text as given.
        text: String,
    },
}

/// Reads a quantity of a part: bare, in a unit of the same dimension, by a name of its own, or by its weight.
///
/// A name of the part's own goes before any other and may stand in the plural; where it holds now this, now that, it
/// is asked about. `m` is a metre and never a minute; a bare `oz` is mass where the part is kept by mass, and asked
/// about everywhere else. A decimal of the unit itself is taken as it is, whether it fits a step or not.
pub fn typed_qty(text: &str, kept: &Kept) -> Result<Understood, TypedFault> {
    let (figure, word) = parted(text);
    let number = fraction(figure)?;
    let unit = kept.unit.symbol();
    if let Some(held) = held_by(text, figure, word, kept)? {
        let qty = in_steps(text, number.times(held), (kept.step, unit))?;
        return Ok(echoed(figure, word, qty, unit));
    }
    let step = if figure.contains('/') {
        kept.step
    } else {
        Qty::from_millionths(1)
    };
    let Some(to) = Scale::of(kept.unit).filter(|_| !word.is_empty()) else {
        let qty = in_steps(text, Some(number), (step, unit))?;
        return Ok(echoed(figure, unit, qty, unit));
    };
    if let Some((from, grams)) = weighed(word, to, kept) {
        let turned = number
            .times(Fraction::of(from.factor()))
            .and_then(|weight| weight.over(of_qty(grams)));
        let qty = in_steps(text, turned, (kept.step, unit))?;
        return Ok(echoed(figure, from.symbol, qty, unit));
    }
    let names: Vec<&str> = kept.own.iter().map(|factor| factor.name.as_str()).collect();
    let from = chosen(word, to, &names)?;
    // Each and set share a dimension, but only the part itself could say how many make a set.
    if from.dimension == Dimension::Count && from != to {
        return Err(unknown(word, to.dimension, &names));
    }
    let step = if from == to { step } else { kept.step };
    let qty = converted(text, number, (from, to), step)?;
    Ok(echoed(figure, from.symbol, qty, to.symbol))
}

/// How many of the stock unit one of what the word names holds; none where the part has no such name.
fn held_by(text: &str, figure: &str, word: &str, kept: &Kept) -> Result<Option<Fraction>, TypedFault> {
    let named: Vec<&OwnFactor> = kept
        .own
        .iter()
        .filter(|factor| !word.is_empty() && is_called(word, &factor.name))
        .collect();
    let same = named
        .windows(2)
        .all(|pair| matches!(pair, [one, other] if one.holds == other.holds));
    match named.first() {
        Some(one) if same => Ok(Some(of_qty(one.holds))),
        None => Ok(None),
        Some(_) => Err(TypedFault::SeveralPacks {
            text: text.trim().to_owned(),
            readings: named.iter().map(|one| reading(figure, one, kept)).collect(),
        }),
    }
}

/// What a typed figure comes to by one of several names of the part's own, `200 each (box of QUO holds 100)`.
fn reading(figure: &str, named: &OwnFactor, kept: &Kept) -> String {
    let (whose, holds, unit) = (&named.whose, named.holds, kept.unit.symbol());
    let comes = fraction(figure)
        .ok()
        .and_then(|number| in_steps(figure, number.times(of_qty(holds)), (kept.step, unit)).ok());
    match comes {
        Some(comes) => format!("{comes} {unit} ({} of {whose} holds {holds})", named.name),
        None => format!("a {} of {whose}, {holds} {unit}", named.name),
    }
}

/// The unit of mass that a word means where the part is kept otherwise but may be weighed, and what one weighs.
fn weighed(word: &str, to: &Scale, kept: &Kept) -> Option<(&'static Scale, Qty)> {
    let grams = kept
        .grams_per_unit
        .filter(|grams| grams.is_positive() && to.dimension != Dimension::Mass)?;
    match scales_called(word).as_slice() {
        [only] if only.dimension == Dimension::Mass => Some((*only, grams)),
        _ => None,
    }
}

/// A quantity as a fraction.
fn of_qty(qty: Qty) -> Fraction {
    Fraction {
        upper: qty.millionths().into(),
        lower: IN_ONE.into(),
    }
}

/// A step in words: a millionth, or so much of the unit.
fn step_told(step: Qty) -> String {
    if step == Qty::from_millionths(1) {
        "millionth".to_owned()
    } else {
        format!("step of {step}")
    }
}

/// Reads a size in a unit of the same dimension; a bare number is taken to be in it already.
pub fn typed_size(text: &str, to: &'static Scale) -> Result<Understood, TypedFault> {
    let (figure, word) = parted(text);
    let number = fraction(figure)?;
    let from = if word.is_empty() {
        to
    } else {
        chosen(word, to, &[])?
    };
    let qty = converted(text, number, (from, to), Qty::from_millionths(1))?;
    Ok(echoed(figure, from.symbol, qty, to.symbol))
}

/// The exact factor by which figures in one scale become figures in the other, where it is a decimal.
pub fn value_in(figure: Decimal, from: &Scale, to: &Scale) -> Option<Decimal> {
    figure.checked_mul(from.factor())?.checked_div(to.factor())
}

/// The one scale that a word means where `to` is wanted.
pub fn chosen(word: &str, to: &Scale, own: &[&str]) -> Result<&'static Scale, TypedFault> {
    let called = scales_called(word);
    let fitting: Vec<&'static Scale> = called
        .iter()
        .copied()
        .filter(|scale| scale.dimension == to.dimension)
        .collect();
    match (called.as_slice(), fitting.as_slice()) {
        ([], _) => Err(unknown(word, to.dimension, own)),
        (_, [only]) => Ok(only),
        ([metre], []) if metre.symbol == "m" && to.dimension == Dimension::Time => {
            Err(TypedFault::NotMinutes {
                text: word.to_owned(),
            })
        }
        ([other], []) => Err(TypedFault::OtherDimension {
            symbol: other.symbol,
            is: other.dimension,
            wanted: to.dimension,
            known: known(to.dimension, own),
        }),
        _ => Err(TypedFault::TwoFold {
            text: word.to_owned(),
            readings: called.iter().map(|scale| scale.symbol).collect(),
        }),
    }
}

/// Parts a text into its figure and the unit behind it, each without blanks around it.
pub fn parted(text: &str) -> (&str, &str) {
    let text = text.trim();
    let end = text
        .find(|c: char| c.is_alphabetic() || c == '°')
        .unwrap_or(text.len());
    let (figure, word) = text.split_at_checked(end).unwrap_or((text, ""));
    (figure.trim_end(), word.trim())
}

/// What is to be typed where a dimension is wanted.
fn known(dimension: Dimension, own: &[&str]) -> String {
    let scales = SCALES
        .iter()
        .filter(|scale| scale.dimension == dimension)
        .map(|scale| scale.symbol);
    own.iter().copied().chain(scales).collect::<Vec<_>>().join(", ")
}

fn unknown(word: &str, dimension: Dimension, own: &[&str]) -> TypedFault {
    TypedFault::Unknown {
        text: word.to_owned(),
        known: known(dimension, own),
    }
}

/// Whether a word is a name or its plural, in whatever letters.
fn is_called(word: &str, name: &str) -> bool {
    let (word, name) = (word.to_lowercase(), name.to_lowercase());
    word == name || word == format!("{name}s") || word == format!("{name}es")
}

/// What was understood, in words: the result alone where nothing was turned into anything.
fn echoed(figure: &str, from: &str, qty: Qty, to: &str) -> Understood {
    let literal = from == to && !figure.contains('/');
    let echo = if literal {
        format!("{qty} {to}")
    } else {
        format!("{figure} {from} = {qty} {to}")
    };
    Understood { qty, echo, literal }
}

/// A figure brought from one scale to another, fitting a step.
fn converted(
    text: &str,
    number: Fraction,
    (from, to): (&Scale, &Scale),
    step: Qty,
) -> Result<Qty, TypedFault> {
    let turned = number
        .times(Fraction::of(from.factor()))
        .and_then(|base| base.over(Fraction::of(to.factor())));
    in_steps(text, turned, (step, to.symbol))
}

/// The quantity that a fraction is, in whole steps of a unit, or its two neighbours.
fn in_steps(text: &str, number: Option<Fraction>, (step, unit): (Qty, &str)) -> Result<Qty, TypedFault> {
    let too_large = || TypedFault::TooLarge {
        text: text.to_owned(),
    };
    let number = number.ok_or_else(too_large)?;
    let step_millionths = i128::from(step.millionths().max(1));
    let upper = number.upper.checked_mul(IN_ONE.into()).ok_or_else(too_large)?;
    let lower = number.lower.checked_mul(step_millionths).ok_or_else(too_large)?;
    let of_steps = |steps: i128| {
        let millionths = steps.checked_mul(step_millionths).ok_or_else(too_large)?;
        i64::try_from(millionths)
            .map(Qty::from_millionths)
            .map_err(|_| too_large())
    };
    let steps = upper.div_euclid(lower);
    let below = of_steps(steps)?;
    if upper.rem_euclid(lower) == 0 {
        return Ok(below);
    }
    Err(TypedFault::BetweenSteps {
        text: text.trim().to_owned(),
        step,
        unit: unit.to_owned(),
        below,
        above: of_steps(steps + 1)?,
    })
}

/// Reads a figure: a strict numeral, one that begins with its point, a fraction, or a whole number and a fraction.
fn fraction(figure: &str) -> Result<Fraction, TypedFault> {
    let Some((before, lower)) = figure.split_once('/') else {
        let led = figure.strip_prefix('.').map(|decimals| format!("0.{decimals}"));
        let number = numeral::parse(led.as_deref().unwrap_or(figure), DECIMALS)?;
        return Ok(Fraction::of(number));
    };
    let fault = || TypedFault::Fraction {
        text: figure.to_owned(),
    };
    let (whole, upper) = before.trim().split_once(['-', ' ']).unwrap_or(("0", before));
    let number = |text: &str| -> Option<i128> {
        let text = text.trim();
        let plain = (1..=9).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
        text.parse().ok().filter(|_| plain)
    };
    let (whole, upper, lower) = number(whole)
        .zip(number(upper))
        .zip(number(lower).filter(|lower| *lower > 0))
        .map(|((whole, upper), lower)| (whole, upper, lower))
        .ok_or_else(fault)?;
    Ok(Fraction {
        upper: whole * lower + upper,
        lower,
    })
}
