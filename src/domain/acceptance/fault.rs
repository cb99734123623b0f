//! Why goods are not accepted for want of their papers.

use crate::domain::measure::Qty;
use std::fmt;

/// A refusal about the papers of goods.
// The fields are named for what they are; `Display` says them in a sentence.
#[allow(missing_docs)]
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PaperFault {
    /// The certificate covers another part.
    OtherPart {
        certificate: String,
        covers: String,
        lot: String,
        part: String,
    },
    /// More would be drawn than the certificate covers.
    Overdrawn {
        certificate: String,
        covers: Qty,
        drawn: Qty,
        asked: Qty,
        unit: String,
    },
    /// Something is lacking that the class of part asks for.
    Wanting {
        lot: String,
        part: String,
        class: String,
        qty: Qty,
        lacks: Vec<String>,
    },
    /// The reason for the cage begins with none of the agreed codes.
    NoCode { reason: String },
}

impl fmt::Display for PaperFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PaperFault::OtherPart {
                certificate,
                covers,
                lot,
                part,
            } => write!(
                f,
                "certificate {certificate} covers {covers}, and lot {lot} is {part}"
            ),
            PaperFault::Overdrawn {
                certificate,
                covers,
                drawn,
                asked,
                unit,
            } => write!(
                f,
                "certificate {certificate} covers {covers} {unit}, {drawn} {unit} are drawn, \
                 so {asked} {unit} more are not covered"
            ),
            PaperFault::Wanting {
                lot,
                part,
                class,
                lacks,
                ..
            } => write!(
                f,
                "lot {lot} of {part}, {class}, is not accepted: {}",
                lacks.join("; ")
            ),
            PaperFault::NoCode { reason } => write!(
                f,
                "goods go into the cage by a code, and {reason:?} begins with none"
            ),
        }
    }
}
