//! The estimator's papers.

pub mod compare_sheet;
pub mod cost_card;
pub mod sums_sheet;
