//! The estimator's sums.

mod compression;
mod compression_chance;
mod price;
mod sums;
mod units;
