//! The books: the only SQL of the house, in the dialect that two engines share.
//!
//! Nobody outside this floor has seen a row; what comes out are the domain's own values.

pub mod check;
pub mod error;
pub mod value;

pub mod sqlite;

pub mod schema;

pub mod books;

pub mod canon;
pub mod tables;

pub mod derive;
pub mod post;

pub mod estimating;
pub mod facts;
pub mod holds;
pub mod kitting;
pub mod leaning;
pub mod likeness;
pub mod load;
pub mod names;
pub mod people;
pub mod sheets;
pub mod stores;
pub mod tracing;
pub mod written;
