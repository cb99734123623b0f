//! Why a part is not taken for another.

use std::fmt;

/// A refusal about parts that are taken for each other.
// The fields are named for what they are; `Display` says them in a sentence.
#[allow(missing_docs)]
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LikenessFault {
    /// What was taken for a line is another part.
    Other {
        n: i64,
        wanted: String,
        named: String,
        is: String,
        side_by_side: String,
    },
}

impl fmt::Display for LikenessFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LikenessFault::Other {
                n,
                wanted,
                named,
                is,
                side_by_side,
            } => {
                write!(f, "line {n} wants {wanted}, and {named} is {is}")?;
                match side_by_side.is_empty() {
                    true => Ok(()),
                    false => write!(f, ": {side_by_side}"),
                }
            }
        }
    }
}
