//! Every integration test of the crate, in one program.
// A test opens files, asks for folders and falls over in order to fail; its helpers stand outside a #[test].
#![allow(
    clippy::disallowed_methods,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::unwrap_used
)]

mod desk;

mod acceptance;
mod books;
mod buying;
mod estimating;
mod house;
mod intake;
mod keeping;
mod kitting;
mod law;
mod likeness;
mod making;
mod manners;
mod measure;
mod print;

mod readme;
mod start;
mod stores;
mod tracing;
