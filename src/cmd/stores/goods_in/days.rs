//! The days on a pack, as a label has them.

use crate::cmd::error::Failure;
use crate::domain::measure::Day;
use crate::domain::measure::printed::{Made, printed_day};
use crate::domain::refusal::Refusal;
use crate::domain::stores::part::Part;
use crate::print::stores::goods_in_note::PRINTED;

/// The last day printed on a pack that came on a day, and how it was read.
pub(super) fn last_day(text: &str, came: Day) -> Result<(Day, String), Failure> {
    let read = printed_day(text, false, came).map_err(|fault| {
        Failure::usage(
            format!("--expiry: {fault}"),
            "give it as the label has it: `--expiry 2027-05-31`, `2027-05`, `2Q27` or `2027-W21`",
        )
    })?;
    Ok((read.last, format!("{PRINTED}: {}", read.how)))
}

/// When a pack was made that came on a day: not after it.
pub(super) fn made_on(text: &str, part: &Part, came: Day) -> Result<Made, Failure> {
    let made = Made::read(text, came).map_err(|fault| {
        Failure::usage(
            format!("--made: {fault}"),
            "give it as the label has it: `--made 2026-05-31`, `2026-05`, `2Q26`, `2026-W21` or `26151`",
        )
    })?;
    not_after(&made, part, came)?;
    Ok(made)
}

/// Refuses what was made after it came.
pub(super) fn not_after(made: &Made, part: &Part, came: Day) -> Result<(), Refusal> {
    if made.says.first > came {
        return Err(Refusal::Impossible {
            what: part.number.clone(),
            because: "it cannot have been made after it came".to_owned(),
        });
    }
    Ok(())
}
