//! Why goods are not used up, weighed, made up or sent out.

use crate::domain::measure::{Day, Qty};
use std::fmt;

/// A refusal about goods that become others or leave the stores other than in a kit.
// The fields are named for what they are; `Display` says them in a sentence.
#[allow(missing_docs)]
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OutFault {
    /// A customer's goods do not serve the house or another customer.
    NotOurs {
        lot: String,
        owner: String,
        what: String,
    },
    /// Nobody recorded what one unit of the part weighs.
    NoWeight { part: String, unit: String },
    /// The goods with their spool weigh less than the spool.
    BelowTare { lot: String, gross_g: Qty, tare_g: Qty },
    /// A tool's calibration has ended.
    OutOfCalibration {
        lot: String,
        part: String,
        last: Day,
        days: i64,
    },
    /// A flammable liquid is in a parcel that nobody marks.
    Dangerous { lot: String, hazard: String },
    /// A part with a serial stays the lot that it is.
    SerialStays { lot: String, part: String },
}

impl fmt::Display for OutFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            OutFault::NotOurs { lot, owner, what } => {
                write!(f, "lot {lot} belongs to {owner}, so it is not {what}")
            }
            OutFault::NoWeight { part, unit } => {
                write!(
                    f,
                    "what one {unit} of {part} weighs is not recorded, so it is not weighed"
                )
            }
            OutFault::OutOfCalibration {
                lot,
                part,
                last,
                days,
            } => {
                let s = if *days == 1 { "" } else { "s" };
                write!(
                    f,
                    "lot {lot} of {part}: its calibration ended {last}, overdue by {days} day{s}"
                )
            }
            OutFault::Dangerous { lot, hazard } => write!(
                f,
                "lot {lot} is dangerous goods of class 3 ({hazard}), so it gets no plain packing list"
            ),
            OutFault::SerialStays { lot, part } => write!(
                f,
                "lot {lot} of {part} is one serial, which stays a lot of its own"
            ),
            OutFault::BelowTare { lot, gross_g, tare_g } => {
                write!(
                    f,
                    "lot {lot}: {gross_g} g gross is less than the tare of {tare_g} g"
                )
            }
        }
    }
}
