//! Why goods are not used up, weighed, made up or sent out.

use crate::domain::measure::Qty;
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
            OutFault::BelowTare { lot, gross_g, tare_g } => {
                write!(
                    f,
                    "lot {lot}: {gross_g} g gross is less than the tare of {tare_g} g"
                )
            }
        }
    }
}
