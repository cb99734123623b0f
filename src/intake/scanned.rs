//! A scanned line: our own labels, makers' labels in the syntax of GS1, and texts that only the books can place.
//!
//! A scanner sends FNC1 as the separator 0x1D and may send the kind of symbol before the data (ISO/IEC 15424): `]C1`,
//! `]d2`, `]Q3` and `]e0` are the symbols of GS1. The printed form with identifiers in brackets is read as well.

mod elements;
mod meanings;
mod own;

pub use elements::ByGs1;
pub use meanings::{check_digit, year_in_full};
pub use own::own_of;

use crate::domain::measure::Day;
use crate::domain::measure::scan::{Own, Scan, ScanFault, Scanned};

/// What parts two elements on a label: FNC1 as scanners send it.
pub const SEPARATOR: char = '\u{1d}';

/// The symbols whose data are elements of GS1, as scanners name them.
const OF_GS1: [&str; 4] = ["]C1", "]d2", "]Q3", "]e0"];

/// Reads what a scanner sent or a person typed; years of two figures lie within fifty years of `today`.
pub fn scanned(line: &str, today: Day) -> Result<Scanned, ScanFault> {
    let line = line.trim_matches(|mark: char| mark.is_whitespace() && mark != SEPARATOR);
    let (symbol, data) = without_symbol(line);
    let by_gs1 = symbol.is_some_and(|symbol| OF_GS1.contains(&symbol));
    let before = line.chars().count() - data.chars().count();
    let bare = data.trim_start_matches(SEPARATOR);
    let read = ByGs1 { before, today };
    if bare.is_empty() {
        return Err(ScanFault::Nothing);
    }
    if bare.starts_with('(') && begins_bracketed(bare) {
        return read.bracketed(data);
    }
    if by_gs1 || data.contains(SEPARATOR) {
        return read.strung(data);
    }
    if symbol.is_none()
        && begins_with_checked_number(bare)
        && let Ok(label) = read.strung(data)
    {
        return Ok(label);
    }
    Ok(plain(bare))
}

/// What of ours a typed word names if it is the label of it rather than its bare number or code.
pub fn label_scanned(word: &str) -> Option<Own> {
    // No label of ours bears a day, so any will do to see its years from.
    let read = scanned(word, Day::new(2000, 1, 1)?).ok()?;
    match read.scan {
        Scan::Own(own) if own.text().len() < word.trim().len() => Some(own),
        _ => None,
    }
}

/// The kind of symbol a scanner named, and what it read.
fn without_symbol(line: &str) -> (Option<&str>, &str) {
    let mark = line.get(..3).filter(|mark| {
        let mut marks = mark.chars();
        marks.next() == Some(']')
            && marks.next().is_some_and(|letter| letter.is_ascii_alphabetic())
            && marks.next().is_some_and(|kind| kind.is_ascii_alphanumeric())
    });
    match mark {
        Some(mark) => (Some(mark), line.get(3..).unwrap_or_default()),
        None => (None, line),
    }
}

/// Whether a text begins with an identifier in brackets.
fn begins_bracketed(text: &str) -> bool {
    let inside = text.strip_prefix('(').and_then(|rest| rest.split_once(')'));
    inside.is_some_and(|(ai, _)| (2..=4).contains(&ai.len()) && ai.bytes().all(|byte| byte.is_ascii_digit()))
}

/// Whether an unmarked text begins like the label of an article or a parcel, with a check digit that is right: no text
/// of ours does that by chance.
fn begins_with_checked_number(text: &str) -> bool {
    let length = match text.get(..2) {
        Some("00") => 18,
        Some("01" | "02") => 14,
        _ => return false,
    };
    let number = text.get(2..2 + length).unwrap_or_default();
    let body = number.get(..length - 1).unwrap_or_default();
    number.len() == length && check_digit(body).is_some_and(|check| number.ends_with(check))
}

/// A text without any mark: a number of ours is known by its check character, the rest only by the books. A batch of
/// a maker's may look like a lot number with another check character, so that is for the books as well.
fn plain(text: &str) -> Scanned {
    let scan = match own::numbered(text) {
        Some(own) => Scan::Own(own),
        None => Scan::Plain {
            text: text.to_owned(),
            own: own::marked(text),
        },
    };
    Scanned {
        scan,
        swallowed: None,
    }
}
