//! Why goods cannot be kept so.

use crate::domain::refusal::Refusal;
use std::fmt;

/// A refusal about how goods are kept.
// The fields are named for what they are; `Display` says them in a sentence.
#[allow(missing_docs)]
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum KeepingFault {
    /// A part lasts as its family does, and no rule of the family holds on the day.
    NoRule { part: String, family: String },
    /// A life that is not extended.
    NotExtended {
        lot: String,
        part: String,
        because: String,
    },
    /// A life that ends past the calendar.
    PastCalendar {
        part: String,
        life: String,
        made: String,
    },
}

impl From<KeepingFault> for Refusal {
    fn from(fault: KeepingFault) -> Refusal {
        Refusal::Keeping(fault)
    }
}

impl fmt::Display for KeepingFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            KeepingFault::NoRule { part, family } => write!(
                f,
                "{part} lasts as family {family} does, and no life of {family} holds on this day"
            ),
            KeepingFault::NotExtended { lot, part, because } => {
                write!(f, "the life of lot {lot} of {part} is not extended: {because}")
            }
            KeepingFault::PastCalendar { part, life, made } => {
                write!(
                    f,
                    "shelf life of {part}: {life} after {made} is past the calendar"
                )
            }
        }
    }
}
