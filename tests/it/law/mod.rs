//! The law of stock, held to what it says: by hand, by its own statements, by histories and against its guards.

mod acts;
pub mod look;
mod world;

mod births;
mod claims;
mod example;
mod guards;
mod history;
mod holds;
mod layers;
mod lists;
mod makings;
mod matrix;
mod memory;
mod statements;
mod undoing;
mod undone_claims;
mod values;
mod ways;
