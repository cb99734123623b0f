//! What a person types where a quantity or a size is wanted: `12`, `2.5 ml`, `.032in`, `1-1/2 in`, `2 tubes`.
//!
//! Everything is kept as a fraction of whole numbers until it is brought to the unit wanted, and there it must fit
//! a millionth. What was understood is given back in words, to be shown before anything is posted.

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
}

/// What a typed text came to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Understood {
    /// The quantity, in the unit wanted.
    pub qty: Qty,
    /// What was understood, `1-1/2 in = 38.1 mm`.
    pub echo: String,
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
    /// The result lies between two millionths.
    #[error(
        "'{}' fits no millionth of {unit}: type {below} {unit} or {above} {unit}",
        shown(text)
    )]
    BetweenMillionths {
        /// The text as given.
        text: String,
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

/// A number as typed, exactly; the lower part is above zero.
#[derive(Clone, Copy)]
struct Fraction {
    upper: i128,
    lower: i128,
}

/// Reads a quantity of a part kept in `unit`: bare, in a unit of the same dimension, or by a name of its own.
///
/// A name of the part's own goes before any other and may stand in the plural. `m` is a metre and never a minute;
/// a bare `oz` is mass where the part is kept by mass, and asked about everywhere else.
pub fn typed_qty(text: &str, unit: Unit, own: &[OwnFactor]) -> Result<Understood, TypedFault> {
    let (figure, word) = parted(text);
    let number = fraction(figure)?;
    let named = own
        .iter()
        .find(|factor| !word.is_empty() && is_called(word, &factor.name));
    if let Some(factor) = named {
        let held = Fraction {
            upper: factor.holds.millionths().into(),
            lower: IN_ONE.into(),
        };
        let qty = in_millionths(text, number.times(held), unit.symbol())?;
        return Ok(echoed(figure, word, qty, unit.symbol()));
    }
    let names: Vec<&str> = own.iter().map(|factor| factor.name.as_str()).collect();
    let Some(to) = Scale::of(unit).filter(|_| !word.is_empty()) else {
        let qty = in_millionths(text, Some(number), unit.symbol())?;
        return Ok(echoed(figure, unit.symbol(), qty, unit.symbol()));
    };
    let from = chosen(word, to, &names)?;
    // Each and set share a dimension, but only the part itself could say how many make a set.
    if from.dimension == Dimension::Count && from != to {
        return Err(unknown(word, to.dimension, &names));
    }
    let qty = converted(text, number, from, to)?;
    Ok(echoed(figure, from.symbol, qty, to.symbol))
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
    let qty = converted(text, number, from, to)?;
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
    let echo = if from == to && !figure.contains('/') {
        format!("{qty} {to}")
    } else {
        format!("{figure} {from} = {qty} {to}")
    };
    Understood { qty, echo }
}

/// A figure brought from one scale to another, fitting a millionth.
fn converted(text: &str, number: Fraction, from: &Scale, to: &Scale) -> Result<Qty, TypedFault> {
    let turned = number
        .times(Fraction::of(from.factor()))
        .and_then(|base| base.over(Fraction::of(to.factor())));
    in_millionths(text, turned, to.symbol)
}

/// The millionths of a fraction, or its two neighbours.
fn in_millionths(text: &str, number: Option<Fraction>, unit: &str) -> Result<Qty, TypedFault> {
    let too_large = || TypedFault::TooLarge {
        text: text.to_owned(),
    };
    let number = number.ok_or_else(too_large)?;
    let upper = number.upper.checked_mul(IN_ONE.into()).ok_or_else(too_large)?;
    let below = i64::try_from(upper.div_euclid(number.lower)).map_err(|_| too_large())?;
    if upper.rem_euclid(number.lower) == 0 {
        return Ok(Qty::from_millionths(below));
    }
    let above = below.checked_add(1).ok_or_else(too_large)?;
    Err(TypedFault::BetweenMillionths {
        text: text.to_owned(),
        unit: unit.to_owned(),
        below: Qty::from_millionths(below),
        above: Qty::from_millionths(above),
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

impl Fraction {
    /// A decimal as a fraction.
    fn of(number: Decimal) -> Fraction {
        let number = number.normalize();
        // A decimal has 28 decimals at most, so ten to their number always fits.
        Fraction {
            upper: number.mantissa(),
            lower: 10_i128.pow(number.scale()),
        }
    }

    /// The two multiplied, in lowest terms; `None` where it outgrows 128 bits.
    fn times(self, by: Fraction) -> Option<Fraction> {
        let (one, other) = (reduced(self.upper, by.lower), reduced(by.upper, self.lower));
        Some(Fraction {
            upper: one.0.checked_mul(other.0)?,
            lower: one.1.checked_mul(other.1)?,
        })
    }

    /// The quotient; `None` where it outgrows 128 bits or the divisor is not above zero.
    fn over(self, by: Fraction) -> Option<Fraction> {
        let turned = Fraction {
            upper: by.lower,
            lower: by.upper,
        };
        (by.upper > 0).then(|| self.times(turned)).flatten()
    }
}

/// Two numbers without their common divisor; the second is above zero.
fn reduced(upper: i128, lower: i128) -> (i128, i128) {
    let (mut a, mut b) = (upper.unsigned_abs(), lower.unsigned_abs());
    while b > 0 {
        (a, b) = (b, a % b);
    }
    match i128::try_from(a) {
        Ok(common) if common > 0 => (upper / common, lower / common),
        _ => (upper, lower),
    }
}
