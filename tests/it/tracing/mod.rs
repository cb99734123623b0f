//! The inspector's room.

mod dating;
mod hold;
