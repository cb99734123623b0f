//! The estimator's sums: what a conversion does to the engine, and what it costs.

pub mod compression;
pub mod compression_sum;
pub mod sum_fault;
pub mod units_sum;

pub mod price;
pub mod route;
pub mod start;

pub mod cost;
