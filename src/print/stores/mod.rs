//! The counter's papers.

pub mod stock_list;
