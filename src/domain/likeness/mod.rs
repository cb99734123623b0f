//! What tells parts apart that look alike: their sizes, and by how much two of them differ.

pub mod alike;
pub mod fault;
pub mod set;
pub mod size;
pub mod stand_in;
