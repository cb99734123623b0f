//! What the counter asks of the books.

pub mod stock;
