//! How a part stands: what is on the shelf, and how that divides into reserved, on hold, dead and free.

use crate::domain::measure::{Day, Qty};
use crate::domain::stores::lot::Lot;
use crate::domain::stores::part::Part;
use crate::domain::stores::place::Place;
use crate::domain::stores::stock::Position;

/// What of a lot lies at one place of the house.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lying {
    /// The lot.
    pub lot: Lot,
    /// Where.
    pub place: Place,
    /// How much.
    pub qty: Qty,
    /// What of the whole lot may be picked, is reserved and held.
    pub position: Position,
}

impl Lying {
    /// Whether a hold lies on the lot or on the place.
    pub fn on_hold(&self) -> bool {
        self.position.held > 0 || self.place.held > 0
    }
}

/// How a part stands on a day, in its unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Standing {
    /// On shelves and the bench: reserved, on hold, dead and free together.
    pub on_the_shelf: Qty,
    /// Reserved for jobs, of lots that are usable.
    pub reserved: Qty,
    /// On hold.
    pub on_hold: Qty,
    /// Past its last day.
    pub dead: Qty,
    /// Free to be reserved or used.
    pub free: Qty,
    /// In receiving, to be inspected.
    pub receiving: Qty,
    /// In quarantine.
    pub quarantine: Qty,
}

/// How a part stands on a day, from what lies of it in the house.
pub fn standing(lying: &[Lying], day: Day) -> Standing {
    use crate::domain::stores::law::Kind;
    let mut sum = Standing::default();
    let mut seen = std::collections::BTreeSet::new();
    for line in lying {
        match line.place.id.kind() {
            Some(Kind::Receiving) => sum.receiving += line.qty,
            Some(Kind::Quarantine) => sum.quarantine += line.qty,
            Some(Kind::Shelf | Kind::Bench) => {
                sum.on_the_shelf += line.qty;
                if line.on_hold() {
                    sum.on_hold += line.qty;
                } else if !line.lot.usable_on(day) {
                    sum.dead += line.qty;
                } else if seen.insert(line.lot.id) {
                    // What is reserved and free is a matter of the whole lot, however many bins it lies in.
                    sum.reserved += line.position.reserved;
                    sum.free += line.position.free();
                }
            }
            _ => {}
        }
    }
    sum
}

/// A part with what lies of it in the house.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartInHouse {
    /// The part.
    pub part: Part,
    /// What lies of it, the first to be used first.
    pub lying: Vec<Lying>,
}
