//! What becomes of stock besides going into kits: used in the workshop, weighed back, made up, sent out of the stores.

pub mod fault;
pub mod shop_use;
pub mod weigh;
