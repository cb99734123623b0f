//! The estimator's sums.

mod compression;
mod compression_chance;
mod exchange;
mod price;
mod questions;
mod sums;
mod units;
