//! Sizes of parts, and what may stand in for them, read from the books.

pub mod sizes;
pub mod stand_ins;
