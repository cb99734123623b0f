//! The kits.

mod bills;
mod first_out;
mod picking;
mod reserve;
mod shelves;
mod shorts;
mod story;
mod two_goes;
