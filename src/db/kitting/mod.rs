//! What the kits ask of the books.

pub mod bills;
pub mod jobs;
pub mod picked;
