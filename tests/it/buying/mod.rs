//! The manager's room.

mod order;
