//! Random histories over every movement of the law.

mod history;
mod world;
