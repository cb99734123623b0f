//! The rules of the house, as tests which read the source.
//!
//! A rule is a function from the files of the project to the faults it finds. Each is tested twice: that the
//! project keeps it, and, on small pieces of source that break it, that it bites.

mod code;
mod docs;
mod floors;
mod libraries;
mod manifest;
mod paths;
mod places;
mod report;
mod sizes;
mod source;
mod sql;
mod tokens;
mod words;
