//! Days as labels have them, read from a file: it may be read in any year.

use crate::domain::measure::Day;
use crate::domain::measure::printed::{Made, Printed, PrintedFault, printed_day};

/// Reads a day as a label has it; a year of two digits is of this century.
pub(super) fn on_a_label(text: &str) -> Result<Printed, PrintedFault> {
    printed_day(text, false, mid_century(text)?)
}

/// Reads when a thing was made as its label has it; a year of two digits is of this century up to 50, and before that
/// of the last one.
pub(super) fn made_on_a_label(text: &str) -> Result<Made, PrintedFault> {
    Made::read(text, mid_century(text)?)
}

/// The day about which the years of a label lie. Four digits alone leave the decade out or could be two codes.
fn mid_century(text: &str) -> Result<Day, PrintedFault> {
    let four_digits = text.len() == 4 && text.bytes().all(|byte| byte.is_ascii_digit());
    Day::new(2050, 1, 1)
        .filter(|_| !four_digits)
        .ok_or_else(|| PrintedFault::Unread {
            text: text.to_owned(),
        })
}
