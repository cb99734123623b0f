//! The inspector's room: what was done to a lot, and by which document.

pub mod dating;
pub mod deed;
