//! A lot: pieces that came in together and are alike.

use crate::domain::measure::{Day, Qty};
use crate::domain::stores::ids::{DocId, LotId, OrderLineId, PartId, PlaceId};

/// The condition of goods nobody has used.
pub const NEW: &str = "new";

/// What the stores know of a lot. The place says whether it may be used; the lot says whose and what it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lot {
    /// Under which number the books keep it.
    pub id: LotId,
    /// Our lot number with its check character.
    pub number: String,
    /// Which part it is.
    pub part: PartId,
    /// Whether it was made out of other lots.
    pub child: bool,
    /// Fitted early, its papers still to follow.
    pub pending: bool,
    /// Whose it is; none is the house.
    pub owner: Option<PlaceId>,
    /// A serial or a matched set moves only whole, this many at once.
    pub size: Option<Qty>,
    /// Whether it values itself whatever the store's method.
    pub specific: bool,
    /// The engine a take-off part came off.
    pub off_engine: Option<PlaceId>,
    /// The maker's batch.
    pub batch: Option<String>,
    /// The maker's serial number.
    pub serial: Option<String>,
    /// Who made it.
    pub maker: Option<String>,
    /// Its condition, `new` where nobody has used it.
    pub condition: String,
    /// The day it was made.
    pub made: Option<Day>,
    /// The day the pack was opened.
    pub opened: Option<Day>,
    /// The last day on which it may be used; that day included.
    pub expiry: Option<Day>,
    /// How the expiry was worked out.
    pub expiry_how: Option<String>,
    /// The order line it came in on.
    pub order_line: Option<OrderLineId>,
    /// The document that made it.
    pub document: DocId,
}

impl Lot {
    /// Whether it may still be used on a day: the last day itself is usable.
    pub fn usable_on(&self, day: Day) -> bool {
        self.expiry.is_none_or(|last| day <= last)
    }
}

/// What is to be said of a lot that is about to be made.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct NewLot {
    /// Fitted early, its papers still to follow.
    pub pending: bool,
    /// Whose it is; none is the house.
    pub owner: Option<PlaceId>,
    /// A serial or a matched set moves only whole, this many at once.
    pub size: Option<Qty>,
    /// The engine a take-off part came off.
    pub off_engine: Option<PlaceId>,
    /// The maker's batch.
    pub batch: Option<String>,
    /// The maker's serial number.
    pub serial: Option<String>,
    /// Who made it.
    pub maker: Option<String>,
    /// Its condition; empty is `new`.
    pub condition: String,
    /// The day it was made.
    pub made: Option<Day>,
    /// The day the pack was opened.
    pub opened: Option<Day>,
    /// The last day on which it may be used.
    pub expiry: Option<Day>,
    /// How the expiry was worked out.
    pub expiry_how: Option<String>,
    /// The order line it comes in on.
    pub order_line: Option<OrderLineId>,
}
