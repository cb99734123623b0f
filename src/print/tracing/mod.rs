//! The inspector's papers.

pub mod hold_slip;
pub mod undo_slip;
