//! The kits: jobs and their lines, bills, reserving and picking.

pub mod bill;
pub mod job;

pub mod bill_faults;
pub mod expand;
pub mod give;
pub mod raise;
pub mod tree;
pub mod web;

pub mod alter;
pub mod close;
pub mod deal;
pub mod pick;
pub mod reserve;
pub mod returns;
pub mod shorts;
pub mod turn;
