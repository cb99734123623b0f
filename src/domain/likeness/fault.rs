//! Why a part is not taken for another.

use crate::domain::measure::Qty;
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
    /// The record of the stand-in runs the other way.
    WrongWay {
        wanted: String,
        given: String,
        manner: &'static str,
        authority: String,
    },
    /// The stand-in is not for this day, conversion or engine.
    NotInstead {
        wanted: String,
        given: String,
        because: String,
    },
    /// The part may stand in, and nobody asked for it on this line of the job.
    NotAsked {
        job: String,
        n: i64,
        wanted: String,
        given: String,
        told: String,
    },
    /// The pieces of a set are too far apart.
    Apart {
        part: String,
        name: String,
        because: String,
    },
    /// The pieces of a set were not measured.
    Unmeasured {
        part: String,
        name: String,
        most: Qty,
        unit: String,
    },
    /// A set of two parts.
    TwoParts { one: String, other: String },
    /// The stand-in would bottom in its hole, or hold by too little.
    Misfit {
        wanted: String,
        given: String,
        because: String,
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
                if !side_by_side.is_empty() {
                    write!(f, ": {side_by_side}")?;
                }
                write!(f, "; no authority on record lets it stand in")
            }
            LikenessFault::WrongWay {
                wanted,
                given,
                manner,
                authority,
            } => write!(
                f,
                "{given} does not stand in for {wanted}: {manner} by {authority}, and never that way"
            ),
            LikenessFault::NotInstead {
                wanted,
                given,
                because,
            } => {
                write!(f, "{given} does not stand in for {wanted} here: {because}")
            }
            LikenessFault::NotAsked {
                n,
                wanted,
                given,
                told,
                ..
            } => write!(
                f,
                "{given} may stand in for {wanted} ({told}), and line {n} of the job does not ask for it"
            ),
            LikenessFault::Apart { part, because, .. } => write!(f, "no set of {part}: {because}"),
            LikenessFault::Unmeasured {
                part,
                name,
                most,
                unit,
            } => write!(
                f,
                "{part} is matched by {name}, {most} {unit} apart at most, and none was measured"
            ),
            LikenessFault::TwoParts { one, other } => write!(f, "no set of two parts: {one} and {other}"),
            LikenessFault::Misfit {
                wanted,
                given,
                because,
            } => write!(f, "{given} does not do for {wanted}: {because}"),
        }
    }
}
