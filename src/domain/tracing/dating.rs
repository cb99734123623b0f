//! The day that a document may bear: nothing is posted for a day that has not come, nor for one long before the books
//! were begun, nor for one on which the goods were not there yet.

use crate::domain::measure::Day;
use std::fmt;

/// Why a document cannot bear the day that was given.
// The fields are named for what they are; `Display` says them in a sentence.
#[allow(missing_docs)]
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DayFault {
    /// The day has not come.
    NotYet { day: Day, today: Day },
    /// The books begin much later.
    BeforeTheBooks { day: Day, first: Day },
    /// A lot came into the books later.
    BeforeTheLot { day: Day, lot: String, came: Day },
}

/// How long before the books were begun a document may lie: five years, for old papers that are typed in after all.
const BEFORE_DAYS: i64 = 1826;

/// Whether a document of this day may be written today, in books that begin on `first`.
pub fn may_bear(day: Day, today: Day, first: Day) -> Result<(), DayFault> {
    if day > today {
        return Err(DayFault::NotYet { day, today });
    }
    if day.days_until(first) > BEFORE_DAYS {
        return Err(DayFault::BeforeTheBooks { day, first });
    }
    Ok(())
}

impl fmt::Display for DayFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            DayFault::NotYet { day, today } => write!(f, "{day} has not come: today is {today}"),
            DayFault::BeforeTheBooks { day, first } => {
                write!(
                    f,
                    "{day} is more than five years before these books, which begin {first}"
                )
            }
            DayFault::BeforeTheLot { day, lot, came } => {
                write!(f, "lot {lot} was not there on {day}: it came {came}")
            }
        }
    }
}
