//! Why goods cannot be kept so.

use crate::domain::keeping::cold::OutOfCold;
use crate::domain::measure::Qty;
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
    /// A second lot into a bin that takes one.
    SecondLot { bin: String, lot: String, there: String },
    /// More flammables than a cabinet may hold.
    OverLimit { bin: String, litres: Qty, limit: Qty },
    /// Out of the cold for longer than it may be.
    TooWarm {
        lot: String,
        part: String,
        out: OutOfCold,
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
            KeepingFault::SecondLot { bin, lot, there } => {
                write!(
                    f,
                    "{bin} takes one lot, and {there} lies there, so lot {lot} does not go in"
                )
            }
            KeepingFault::OverLimit { bin, litres, limit } => write!(
                f,
                "{bin} would hold {litres} l of flammables, {} l over its limit of {limit} l",
                *litres - *limit
            ),
            KeepingFault::TooWarm { lot, part, out } => write!(f, "lot {lot} of {part} is {out}"),
            KeepingFault::PastCalendar { part, life, made } => {
                write!(
                    f,
                    "shelf life of {part}: {life} after {made} is past the calendar"
                )
            }
        }
    }
}
