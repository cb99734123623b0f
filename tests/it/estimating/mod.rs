//! The estimator's sums.

mod compression;
mod price;
