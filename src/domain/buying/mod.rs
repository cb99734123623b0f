//! The manager's room: orders to suppliers.

pub mod order;
