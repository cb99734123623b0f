//! The kits: jobs and their lines, bills, reserving and picking.

pub mod job;
