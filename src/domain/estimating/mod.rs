//! The estimator's sums: what a conversion does to the engine, and what it will cost.

pub mod compression;
pub mod sum_fault;
