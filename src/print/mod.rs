//! Paper going out: values become text, CSV and JSON here.
//!
//! This floor writes nowhere: every function returns the finished text.

pub mod cell;
pub mod escape;
pub mod export_file;
pub mod look;
pub mod paper;
pub mod sheet;
pub mod symbol;
pub mod table;
pub mod wire;
pub mod words;

pub mod estimating;

pub mod kitting;
pub mod making;

pub mod likeness;

pub mod stores;

pub mod tracing;
