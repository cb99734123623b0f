//! What can be done with goods: each verb takes the facts and gives a posting or a refusal.

pub mod value;

pub mod claims;
pub mod draft;
pub mod enter;
pub mod fields;
pub mod lines;
pub mod papers;
pub mod settle;

pub mod birth;
pub mod holding;
pub mod late_cost;
pub mod making;
pub mod moves;
pub mod relabel;
pub mod restate;
pub mod restore;
pub mod set_back;
pub mod swap;
pub mod undo;
