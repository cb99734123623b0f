//! Why goods are not used up, weighed, made up or sent out.

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
}

impl fmt::Display for OutFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            OutFault::NotOurs { lot, owner, what } => {
                write!(f, "lot {lot} belongs to {owner}, so it is not {what}")
            }
        }
    }
}
