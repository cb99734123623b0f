//! The numbers people see: lots with a check character (ISO 7064), jobs, documents.

use super::numeral::shown;
use thiserror::Error;

/// Why a text is no number of ours, and what to type instead.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum NumberFault {
    /// Not of the shape of a lot number.
    #[error(
        "'{}' is no lot number: type it whole as on the label, such as L000123T",
        shown(text)
    )]
    NotALot {
        /// The text as given.
        text: String,
    },
    /// The check character does not fit the rest, so something was misread.
    #[error("the check character {check} does not belong to {body}{}: read the label again", right_named(right.as_deref()))]
    WrongCheck {
        /// The number without its check character.
        body: String,
        /// The check character given.
        check: char,
        /// The whole number with the right one, where there is such a lot number.
        right: Option<String>,
    },
    /// Not of the shape of a job number.
    #[error(
        "'{}' is no job number: type it as on its papers, such as J-0012",
        shown(text)
    )]
    NotAJob {
        /// The text as given.
        text: String,
    },
    /// Not of the shape of a document number.
    #[error(
        "'{}' is no document number: type it as printed, such as GRN-000045",
        shown(text)
    )]
    NotADocument {
        /// The text as given.
        text: String,
    },
}

/// The characters of ISO 7064 MOD 37-2 in the order of their values, the check-only `*` last.
const MOD_37_2: &str = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";
/// The characters of ISO 7064 MOD 11-2 in the order of their values, the check-only `X` last.
const MOD_11_2: &str = "0123456789X";

/// The check character of ISO 7064 MOD 37-2 over digits and capitals; `None` for any other text.
pub fn mod_37_2(text: &str) -> Option<char> {
    check_character(text, MOD_37_2)
}

/// The check character of ISO 7064 MOD 11-2 over digits; `None` for any other text.
pub fn mod_11_2(text: &str) -> Option<char> {
    check_character(text, MOD_11_2)
}

/// A pure system of radix 2: the weighted sum with its check character leaves 1 by the alphabet's length.
fn check_character(text: &str, alphabet: &str) -> Option<char> {
    let modulus = alphabet.len();
    if text.is_empty() {
        return None;
    }
    let mut sum = 0;
    for c in text.bytes() {
        // The last character of the alphabet may only check, never stand in the text.
        let value = alphabet.bytes().position(|known| known == c);
        let value = value.filter(|value| value + 1 < modulus)?;
        sum = (sum + value) * 2 % modulus;
    }
    alphabet.chars().nth((modulus + 1 - sum) % modulus)
}

/// The number of the lot with that serial, such as `L000123T`; `None` below 1 and where the check is `*`.
pub fn lot_number(serial: i64) -> Option<String> {
    let mut number = format!("L{serial:06}");
    let check = mod_37_2(&number).filter(|&check| check != '*')?;
    number.push(check);
    (serial > 0).then_some(number)
}

/// The next serial above `after` that has a lot number.
pub fn next_lot_serial(after: i64) -> i64 {
    let serials = after.max(0)..i64::MAX;
    serials
        .map(|before| before + 1)
        .find(|&serial| lot_number(serial).is_some())
        .unwrap_or(i64::MAX)
}

/// Reads a whole lot number and gives its serial; small letters are forgiven, a wrong check is not.
pub fn read_lot_number(text: &str) -> Result<i64, NumberFault> {
    let not_a_lot = || NumberFault::NotALot {
        text: text.to_owned(),
    };
    let upper = text.to_ascii_uppercase();
    let check = upper
        .chars()
        .next_back()
        .filter(char::is_ascii_alphanumeric)
        .ok_or_else(not_a_lot)?;
    let body = upper.strip_suffix(check).ok_or_else(not_a_lot)?;
    let digits = body
        .strip_prefix('L')
        .filter(|digits| is_serial(digits))
        .ok_or_else(not_a_lot)?;
    if mod_37_2(body) != Some(check) {
        return Err(NumberFault::WrongCheck {
            body: body.to_owned(),
            check,
            right: digits.parse().ok().and_then(lot_number),
        });
    }
    digits
        .parse()
        .ok()
        .filter(|&serial| serial > 0)
        .ok_or_else(not_a_lot)
}

/// Reads a lot number whole or in a short form, `123`, `L123`, `0123`, `123T`, and gives its serial.
///
/// A check character is verified wherever one is typed; without one the serial stands for itself, so whoever acts
/// on it shows the whole number.
pub fn read_lot_short(text: &str) -> Result<i64, NumberFault> {
    let not_a_lot = || NumberFault::NotALot {
        text: text.to_owned(),
    };
    let upper = text.to_ascii_uppercase();
    let rest = upper.strip_prefix('L').unwrap_or(&upper);
    let digits = rest.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    if digits.is_empty() || digits.len() > 15 || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(not_a_lot());
    }
    // Seven figures or more may end in a check that is a figure itself: the whole form is tried first.
    if let Ok(serial) = read_lot_number(&format!("L{rest}")) {
        return Ok(serial);
    }
    if digits.len() == rest.len() && digits.len() > 6 {
        return read_lot_number(&format!("L{rest}"));
    }
    let serial: i64 = digits.parse().map_err(|_| not_a_lot())?;
    let right = lot_number(serial).ok_or_else(not_a_lot)?;
    let mut checks = rest.chars().skip(digits.len());
    match (checks.next(), checks.next()) {
        (None, _) => Ok(serial),
        (Some(check), None) if right.ends_with(check) => Ok(serial),
        (Some(check), None) => Err(NumberFault::WrongCheck {
            body: format!("L{serial:06}"),
            check,
            right: Some(right),
        }),
        _ => Err(not_a_lot()),
    }
}

/// Names the right number.
fn right_named(right: Option<&str>) -> String {
    right.map_or(String::new(), |right| format!(", whose number is {right}"))
}

/// Six digits, or more without a leading zero, so that a serial is written in one way only.
fn is_serial(digits: &str) -> bool {
    let long_enough = digits.len() == 6 || (digits.len() > 6 && !digits.starts_with('0'));
    long_enough && digits.bytes().all(|byte| byte.is_ascii_digit())
}

/// The number of the job with that id, such as `J-0012`.
pub fn job_number(id: i64) -> String {
    format!("J-{id:04}")
}

/// Reads a job number and gives its id; small letters, missing zeros and a missing hyphen are forgiven.
pub fn read_job_number(text: &str) -> Result<i64, NumberFault> {
    match letters_and_id(text) {
        Some((letters, id)) if letters == "J" => Ok(id),
        _ => Err(NumberFault::NotAJob {
            text: text.to_owned(),
        }),
    }
}

/// The number of a document from the letters of its kind and its id, such as `GRN-000045`.
pub fn document_number(prefix: &str, id: i64) -> String {
    format!("{prefix}-{id:06}")
}

/// Reads a document number into the letters of its kind (two to five, capital) and its id, as forgivingly.
pub fn read_document_number(text: &str) -> Result<(String, i64), NumberFault> {
    let read = letters_and_id(text).filter(|(letters, _)| (2..=5).contains(&letters.len()));
    read.ok_or_else(|| NumberFault::NotADocument {
        text: text.to_owned(),
    })
}

/// Capital letters, a hyphen or none, and an id above zero.
fn letters_and_id(text: &str) -> Option<(String, i64)> {
    let upper = text.to_ascii_uppercase();
    let letters_end = upper.find(|c: char| !c.is_ascii_uppercase())?;
    let (letters, rest) = upper.split_at_checked(letters_end)?;
    let digits = rest.strip_prefix('-').unwrap_or(rest);
    if !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let id: i64 = digits.parse().ok()?;
    (id > 0).then(|| (letters.to_owned(), id))
}
