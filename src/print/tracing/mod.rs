//! The inspector's papers.

pub mod hold_slip;
pub mod lot_life;
pub mod undo_slip;
