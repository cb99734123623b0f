//! The strict grammar of numbers typed or read from a file: `^[+-]?\d+([.]\d+)?$`, and nothing guessed.

use rust_decimal::Decimal;
use thiserror::Error;

/// The most digits a number may have; a `Decimal` holds every number of 28 digits exactly.
pub const DIGITS_MAX: usize = 28;

/// Why a text is no number, and what to type instead.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum NumeralFault {
    /// Nothing, or only spaces.
    #[error("nothing stands where a number is wanted: type a number such as 12 or 2.5")]
    Empty,
    /// A NUL character.
    #[error("'{}' holds a NUL character: type the number again", shown(text))]
    Nul {
        /// The text as given.
        text: String,
    },
    /// Space of any kind, before, within or after.
    #[error(
        "'{}' has a space in it: type {}",
        shown(text),
        or_without(plain, "the number without spaces")
    )]
    Space {
        /// The text as given.
        text: String,
        /// The same without spaces, where that is a number.
        plain: Option<String>,
    },
    /// An underscore between digits.
    #[error(
        "'{}' has an underscore in it: type {}",
        shown(text),
        or_without(plain, "the number without it")
    )]
    Underscore {
        /// The text as given.
        text: String,
        /// The same without underscores, where that is a number.
        plain: Option<String>,
    },
    /// A comma, which half the world takes for thousands and half for decimals.
    #[error("'{}' has a comma in it: {}", shown(text), readings_named(readings))]
    Comma {
        /// The text as given.
        text: String,
        /// The numbers it may mean, thousands first.
        readings: Vec<String>,
    },
    /// A number with an exponent.
    #[error(
        "'{}' has an exponent: type {}",
        shown(text),
        or_without(plain, "the number written out")
    )]
    Exponent {
        /// The text as given.
        text: String,
        /// The number written out, where it is short enough.
        plain: Option<String>,
    },
    /// More decimals than are kept.
    #[error("'{}' has too many decimals, {}: type {below} or {above}", shown(text),
        kept_named(*decimals_max))]
    TooManyDecimals {
        /// The text as given.
        text: String,
        /// How many are kept.
        decimals_max: u32,
        /// The nearest number below that is kept.
        below: Decimal,
        /// The nearest number above that is kept.
        above: Decimal,
    },
    /// More digits than any number here can have.
    #[error(
        "'{}' is too large, with more than {DIGITS_MAX} digits: type a shorter number",
        shown(text)
    )]
    TooLong {
        /// The text as given.
        text: String,
    },
    /// Beyond the limit of what is being measured, on either side of zero.
    #[error("'{}' is too large: type a number from -{limit} to {limit}", shown(text))]
    TooLarge {
        /// The text as given.
        text: String,
        /// The largest number taken.
        limit: Decimal,
    },
    /// A point with no digit before or after it.
    #[error("'{}' has a point without a digit on each side: type {plain}", shown(text))]
    BarePoint {
        /// The text as given.
        text: String,
        /// The number it stands for.
        plain: String,
    },
    /// More than one point.
    #[error(
        "'{}' has more than one point: type the number with a single point before its decimals",
        shown(text)
    )]
    Points {
        /// The text as given.
        text: String,
    },
    /// A sign or a point alone.
    #[error("'{}' has no digits: type a number such as 12 or 2.5", shown(text))]
    NoDigits {
        /// The text as given.
        text: String,
    },
    /// Some other character.
    #[error("'{}' is no number, for '{}' is no digit: type {}", shown(text), visible(*found),
        or_without(plain, "digits alone, such as 12 or 2.5"))]
    NotDigit {
        /// The text as given.
        text: String,
        /// The first character that does not belong.
        found: char,
        /// The number with a typed minus, where a printed one was the only fault.
        plain: Option<String>,
    },
}

/// A text in pieces that obey the grammar.
struct Pieces<'a> {
    negative: bool,
    whole: &'a str,
    decimals: &'a str,
}

/// Reads a number with at most `decimals_max` decimals (28 at most); surplus zeros are no fault.
pub fn parse(text: &str, decimals_max: u32) -> Result<Decimal, NumeralFault> {
    match split(text) {
        Some(pieces) => value(text, &pieces, decimals_max),
        None => Err(fault_of(text)),
    }
}

/// A text fit to stand in a message: nothing that moves the cursor or turns the line, and not too long.
pub(in crate::domain) fn shown(text: &str) -> String {
    const CHARACTERS_MAX: usize = 40;
    let mut out: String = text.chars().take(CHARACTERS_MAX).map(visible).collect();
    if text.chars().nth(CHARACTERS_MAX).is_some() {
        out.push('…');
    }
    out
}

fn visible(c: char) -> String {
    if matches!(c, '\'' | '"' | '\\') {
        c.to_string()
    } else {
        c.escape_debug().to_string()
    }
}

fn all_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

fn is_numeral(text: &str) -> bool {
    split(text).is_some()
}

/// Some only where the whole text obeys the grammar.
fn split(text: &str) -> Option<Pieces<'_>> {
    let unsigned = text.strip_prefix(['+', '-']).unwrap_or(text);
    let (whole, decimals) = match unsigned.split_once('.') {
        Some((whole, decimals)) if all_digits(decimals) => (whole, decimals),
        Some(_) => return None,
        None => (unsigned, ""),
    };
    all_digits(whole).then_some(Pieces {
        negative: text.starts_with('-'),
        whole,
        decimals,
    })
}

fn value(text: &str, pieces: &Pieces<'_>, decimals_max: u32) -> Result<Decimal, NumeralFault> {
    let too_long = || NumeralFault::TooLong {
        text: text.to_owned(),
    };
    let decimals_max = decimals_max.min(Decimal::MAX_SCALE);
    let kept_len = pieces.decimals.len().min(decimals_max as usize);
    let (kept, surplus) = pieces.decimals.split_at(kept_len);
    let cut = magnitude(pieces.whole, kept).ok_or_else(too_long)?;
    let signed = |x: Decimal| if pieces.negative && !x.is_zero() { -x } else { x };
    if surplus.bytes().all(|byte| byte == b'0') {
        return Ok(signed(cut));
    }
    let next = cut
        .checked_add(Decimal::new(1, decimals_max))
        .ok_or_else(too_long)?;
    let (cut, next) = (signed(cut.normalize()), signed(next.normalize()));
    let (below, above) = (cut.min(next), cut.max(next));
    Err(NumeralFault::TooManyDecimals {
        text: text.to_owned(),
        decimals_max,
        below,
        above,
    })
}

/// The number without its sign; `None` where it has too many digits.
fn magnitude(whole: &str, decimals: &str) -> Option<Decimal> {
    let whole = whole.trim_start_matches('0');
    if whole.len() + decimals.len() > DIGITS_MAX {
        return None;
    }
    let digits = whole.bytes().chain(decimals.bytes());
    let mantissa = digits.fold(0_i128, |sum, digit| sum * 10 + i128::from(digit - b'0'));
    Decimal::try_from_i128_with_scale(mantissa, u32::try_from(decimals.len()).ok()?).ok()
}

/// Names the fault of a text that does not obey the grammar.
fn fault_of(text: &str) -> NumeralFault {
    let owned = text.to_owned();
    let without =
        |unwanted: fn(char) -> bool| Some(text.replace(unwanted, "")).filter(|plain| is_numeral(plain));
    if text.contains('\0') {
        NumeralFault::Nul { text: owned }
    } else if text.trim().is_empty() {
        NumeralFault::Empty
    } else if text.contains(char::is_whitespace) {
        NumeralFault::Space {
            text: owned,
            plain: without(char::is_whitespace),
        }
    } else if text.contains('_') {
        NumeralFault::Underscore {
            text: owned,
            plain: without(|c| c == '_'),
        }
    } else if text.contains(',') {
        NumeralFault::Comma {
            readings: comma_readings(text),
            text: owned,
        }
    } else if let Some((mantissa, exponent)) = exponent_parts(text) {
        NumeralFault::Exponent {
            plain: written_out(mantissa, exponent),
            text: owned,
        }
    } else {
        misplaced(text)
    }
}

/// The fault of a text with nothing worse than a point or a character out of place.
fn misplaced(text: &str) -> NumeralFault {
    let owned = text.to_owned();
    let unsigned = text.strip_prefix(['+', '-']).unwrap_or(text);
    if let Some(found) = unsigned.chars().find(|c| !c.is_ascii_digit() && *c != '.') {
        let typed_minus = text.replace(['\u{2212}', '\u{2013}', '\u{2010}', '\u{2011}'], "-");
        let plain = Some(typed_minus).filter(|plain| is_numeral(plain));
        return NumeralFault::NotDigit {
            text: owned,
            found,
            plain,
        };
    }
    if !unsigned.contains(|c: char| c.is_ascii_digit()) {
        return NumeralFault::NoDigits { text: owned };
    }
    let sign = if text.starts_with('-') { "-" } else { "" };
    match unsigned.split_once('.') {
        Some((whole, "")) => NumeralFault::BarePoint {
            text: owned,
            plain: format!("{sign}{whole}"),
        },
        Some(("", decimals)) if all_digits(decimals) => NumeralFault::BarePoint {
            text: owned,
            plain: format!("{sign}0.{decimals}"),
        },
        _ => NumeralFault::Points { text: owned },
    }
}

/// The numbers a text with commas may mean: commas for thousands, then the comma for decimals.
fn comma_readings(text: &str) -> Vec<String> {
    let as_thousands = text.replace(',', "");
    let as_decimals = text.replace('.', "").replace(',', ".");
    let (first_comma, last_comma) = (text.find(','), text.rfind(','));
    let points_after = text.find('.').is_none_or(|point| Some(point) > last_comma);
    let points_before = text.rfind('.').is_none_or(|point| Some(point) < first_comma);
    let mut readings = Vec::new();
    if points_after && is_numeral(&as_thousands) {
        readings.push(as_thousands);
    }
    if points_before && is_numeral(&as_decimals) {
        readings.push(as_decimals);
    }
    readings
}

/// Mantissa and exponent of a text such as `1.5e3`.
fn exponent_parts(text: &str) -> Option<(Pieces<'_>, &str)> {
    let (mantissa, exponent) = text.split_once(['e', 'E'])?;
    let digits = exponent.strip_prefix(['+', '-']).unwrap_or(exponent);
    let pieces = split(mantissa)?;
    all_digits(digits).then_some((pieces, exponent))
}

/// The number without its exponent; `None` where it would be too long.
fn written_out(mantissa: Pieces<'_>, exponent: &str) -> Option<String> {
    let shift: i64 = exponent
        .parse()
        .ok()
        .filter(|shift: &i64| shift.unsigned_abs() <= DIGITS_MAX as u64)?;
    let digits = format!("{}{}", mantissa.whole, mantissa.decimals);
    let point = i64::try_from(mantissa.whole.len()).ok()? + shift;
    let zeros_before = "0".repeat(usize::try_from(-point).unwrap_or(0));
    let padded = format!("{zeros_before}{digits}");
    let point = usize::try_from(point).unwrap_or(0);
    let zeros_after = "0".repeat(point.saturating_sub(padded.len()));
    let padded = format!("{padded}{zeros_after}");
    let (whole, decimals) = padded.split_at_checked(point)?;
    let whole = Some(whole.trim_start_matches('0'))
        .filter(|whole| !whole.is_empty())
        .unwrap_or("0");
    let decimals = decimals.trim_end_matches('0');
    let sign = if mantissa.negative { "-" } else { "" };
    let dot = if decimals.is_empty() { "" } else { "." };
    Some(format!("{sign}{whole}{dot}{decimals}")).filter(|plain| plain.len() <= DIGITS_MAX)
}

fn or_without(plain: &Option<String>, advice: &str) -> String {
    plain.as_deref().map_or_else(|| advice.to_owned(), shown)
}

fn readings_named(readings: &[String]) -> String {
    match readings {
        [thousands, decimals] => {
            format!(
                "it can be read as {} or as {}, type the one meant",
                shown(thousands),
                shown(decimals)
            )
        }
        [only] => format!("type {}", shown(only)),
        _ => "type the number without commas, and a point before its decimals".to_owned(),
    }
}

fn kept_named(decimals_max: u32) -> String {
    match decimals_max {
        0 => "only whole numbers are kept".to_owned(),
        1 => "1 is kept".to_owned(),
        _ => format!("{decimals_max} are kept"),
    }
}
