//! What documents did to a lot, from the day it was born.

use crate::domain::measure::{Day, Qty};

/// One thing that a document did to a lot.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Deed {
    /// The document's number.
    pub document: String,
    /// Its kind.
    pub kind: String,
    /// The day it happened.
    pub day: Day,
    /// Whose initials.
    pub by: String,
    /// The document that undid it.
    pub undone_by: Option<String>,
    /// What was done.
    pub what: What,
}

/// What may be done to a lot.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum What {
    /// So much of it went from a place to another; nothing where only its value changed.
    Moved {
        /// The movement's word.
        movement: String,
        /// How much.
        qty: Qty,
        /// The code of the place it left.
        from: String,
        /// The code of the place it came to.
        to: String,
    },
    /// So much of it was promised to a job, or, below zero, no longer is.
    Promised {
        /// How much.
        qty: Qty,
        /// The job's number.
        job: String,
        /// Why, a word of the books.
        why: String,
    },
    /// It was put on hold.
    Stopped {
        /// Why.
        cause: String,
    },
    /// A hold was lifted.
    Lifted {
        /// What was said when it was.
        cause: String,
    },
    /// A field of its record was changed.
    Changed {
        /// Which.
        field: String,
        /// What stood there.
        old: Option<String>,
        /// What stands there now.
        new: Option<String>,
    },
    /// It was made of another lot, such as the tube it was opened from.
    CameOf {
        /// The other's number.
        lot: String,
    },
    /// Another lot was made of it.
    WentInto {
        /// The other's number.
        lot: String,
    },
    /// Something was noted about it.
    Noted {
        /// About what.
        topic: String,
        /// What was said.
        text: String,
    },
}
