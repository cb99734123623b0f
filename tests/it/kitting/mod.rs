//! The kits.

mod as_it_was;
mod bills;
mod deal;
mod first_out;
mod hatch;
mod job_change;
mod levels;
mod picking;
mod questions;
mod reserve;
pub mod shelves;
mod shorts;
mod story;
mod two_goes;
