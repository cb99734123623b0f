//! The papers of the kits.

pub mod bill_sheet;
pub mod job_sheet;
pub mod pick_list;
pub mod reserve_slip;
pub mod short_list;
