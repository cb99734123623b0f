//! The inspector's room.

mod hold;
