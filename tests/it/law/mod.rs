//! The law of stock.

mod history;
mod rows;
mod value;
mod world;
