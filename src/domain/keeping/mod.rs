//! How goods are kept: how long a part lasts on the shelf, by which rule, and whether its life may be extended.

pub mod bin;
pub mod cold;
pub mod extend;
pub mod fault;
pub mod rule;
pub mod shelf_life;
