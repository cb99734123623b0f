//! The kits.

mod first_out;
mod reserve;
mod shelves;
mod shorts;
mod story;
