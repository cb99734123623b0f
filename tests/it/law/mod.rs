//! The law of stock, held to small histories and to its own table.

mod claims;
mod holds;
mod layers;
mod owners;
mod records;
mod rows;
mod undo;
mod value;
mod world;
