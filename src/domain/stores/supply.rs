//! A line of an order to a supplier, as far as stock and claims need it.

use crate::domain::measure::{Day, Qty};
use crate::domain::stores::ids::{OrderLineId, PartId};

/// What is still to come on a line of an order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderLine {
    /// Under which number the books keep it.
    pub id: OrderLineId,
    /// The number of the order, as people write it.
    pub order: String,
    /// Which part was ordered.
    pub part: PartId,
    /// How much was ordered.
    pub ordered: Qty,
    /// How much of it was closed short.
    pub closed: Qty,
    /// How much was booked in.
    pub arrived: Qty,
    /// How much was accepted for the first time.
    pub accepted: Qty,
    /// How much is promised to job lines.
    pub pegged: Qty,
    /// The day the supplier promised.
    pub promised: Option<Day>,
}

impl OrderLine {
    /// What may still be promised out of it: ordered, less closed short, less accepted.
    pub fn still_coming(&self) -> Qty {
        self.ordered - self.closed - self.accepted
    }
}
