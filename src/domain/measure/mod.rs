//! What everybody measures with: quantities, units, money, days, numbers, and the one way to read and round.

pub mod day;
mod fraction;
mod millionths;
pub mod money;
pub mod near;
pub mod number;
pub mod numeral;
pub mod printed;
pub mod qty;
pub mod rounding;
pub mod scale;
pub mod scan;
pub mod typed;
pub mod unit;

pub use day::{Day, Life};
pub use money::{Currency, Money};
pub use qty::Qty;
pub use unit::Unit;
