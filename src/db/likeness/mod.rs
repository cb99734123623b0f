//! Sizes of parts read from the books.

pub mod sizes;
