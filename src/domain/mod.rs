//! The trade: values and pure functions; no clock, no file, no SQL, no screen.

pub mod measure;
pub mod refusal;

pub mod stores;
pub mod tracing;

pub mod kitting;

pub mod estimating;

pub mod buying;

pub mod acceptance;

pub mod keeping;
pub mod likeness;
pub mod making;
