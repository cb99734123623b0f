//! What becomes of stock besides going into kits: used in the workshop, weighed back, made up, sent out of the stores.

pub mod away;
pub mod fault;
pub mod hazard;
pub mod made;
pub mod parcel;
pub mod pot_life;
pub mod shop_use;
pub mod weigh;
