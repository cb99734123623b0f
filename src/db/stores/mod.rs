//! What the counter asks of the books.

pub mod approvals;
pub mod as_of;
pub mod away;
pub mod bins;
pub mod certificates;
pub mod cold;
pub mod counts;
pub mod extensions;
pub mod lives;
pub mod lots;
pub mod notes;
pub mod orders;
pub mod packs;
pub mod rules;
pub mod search;
pub mod sizes;
pub mod stock;
