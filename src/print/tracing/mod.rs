//! The inspector's papers.

pub mod undo_slip;
