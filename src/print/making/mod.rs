//! Papers of what is used, made or sent out besides kits.

pub mod weigh_slip;
