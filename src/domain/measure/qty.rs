//! Quantities: whole millionths of a part's stock unit.

use super::millionths::counted_in_millionths;

/// A quantity of one part, in millionths of its stock unit; typed ones reach a thousand million either way.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Qty(
    /// Invariant: millionths of the stock unit, never a float and never rounded on the way in.
    i64,
);

/// The largest quantity that may be typed, in stock units.
const TYPED_MAX: i64 = 1_000_000_000;

counted_in_millionths!(Qty, TYPED_MAX);
