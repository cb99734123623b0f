//! The kits.

mod reserve;
mod story;
