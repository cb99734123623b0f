//! The estimator's sums.

mod compression;
