//! A part: one number, one fit, form and function.

use crate::domain::keeping::shelf_life::ShelfLife;
use crate::domain::measure::{Life, Qty, Unit};
use crate::domain::stores::ids::PartId;

/// What the stores know of a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// Under which number the books keep it.
    pub id: PartId,
    /// Its part number, as people write it.
    pub number: String,
    /// Its name, noun first.
    pub name: String,
    /// Its class, which decides how it is treated.
    pub class: String,
    /// The unit it is kept in.
    pub unit: Unit,
    /// The smallest quantity that may move.
    pub step: Qty,
    /// The hand-out unit (a tube, a spool, a set): unopened stock is reserved and picked in whole ones.
    pub hand_out: Option<Qty>,
    /// How long it lasts unopened.
    pub life: Option<ShelfLife>,
    /// How long an opened pack lasts.
    pub opened_life: Option<Life>,
    /// Whether it is bench stock, used without a job.
    pub bench_stock: bool,
    /// Whether a second person checks it.
    pub critical: bool,
    /// Whether a job pays for whole packs, so that what is left of one goes back at nothing.
    pub whole_pack: bool,
}

impl Part {
    /// Whether it lies on no shelf and only stands for what its bill lists.
    pub fn is_phantom(&self) -> bool {
        self.class == "phantom"
    }

    /// The most that may stand on a line of this need: one whole hand-out unit over, less a millionth.
    pub fn most(&self, need: Qty) -> Qty {
        match self.hand_out {
            Some(unit) if need.is_positive() => need + unit - Qty::from_millionths(1),
            _ => need,
        }
    }
}
