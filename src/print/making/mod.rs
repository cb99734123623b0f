//! Papers of what is used, made or sent out besides kits.

pub mod away_list;
pub mod made_slip;
pub mod packing_list;
pub mod weigh_slip;
