//! The names of a part's own for so much of it: its suppliers' packs, and what the hatch hands out.

use crate::domain::measure::Qty;
use crate::domain::measure::typed::{Kept, OwnFactor};
use crate::domain::stores::ids::PlaceId;
use crate::domain::stores::part::Part;

/// What the unit that the hatch hands out is called, whatever it comes in.
const HAND_OUT_NAMES: [&str; 8] = [
    "pack",
    "tube",
    "spool",
    "set",
    "bottle",
    "tin",
    "reel",
    "cartridge",
];

/// A pack in which a supplier sends a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pack {
    /// Whose pack it is.
    pub supplier: PlaceId,
    /// The supplier's code.
    pub code: String,
    /// What one is called, in the singular.
    pub name: String,
    /// How many of the part's unit one holds.
    pub holds: Qty,
}

/// What the books know of a part beside itself that a typed quantity needs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Packing {
    /// Its suppliers' packs.
    pub packs: Vec<Pack>,
    /// The grams that one of its unit weighs.
    pub grams_per_unit: Option<Qty>,
}

/// How a part is kept, with every name that a clerk may use for so much of it.
///
/// Where the goods come from a supplier, his pack decides what a name means that others use as well.
pub fn kept(part: &Part, packing: Packing, supplier: Option<PlaceId>) -> Kept {
    let his: Vec<String> = packing
        .packs
        .iter()
        .filter(|pack| Some(pack.supplier) == supplier)
        .map(|pack| pack.name.to_lowercase())
        .collect();
    let mut own: Vec<OwnFactor> = packing
        .packs
        .into_iter()
        .filter(|pack| Some(pack.supplier) == supplier || !his.contains(&pack.name.to_lowercase()))
        .map(|pack| OwnFactor {
            name: pack.name,
            holds: pack.holds,
            whose: pack.code,
        })
        .collect();
    if let Some(holds) = part.hand_out {
        let handed = HAND_OUT_NAMES
            .into_iter()
            .filter(|name| *name != part.unit.symbol() && !his.iter().any(|pack| pack == name));
        own.extend(handed.map(|name| OwnFactor {
            name: name.to_owned(),
            holds,
            whose: "the hatch".to_owned(),
        }));
    }
    Kept {
        unit: part.unit,
        step: part.step,
        own,
        grams_per_unit: packing.grams_per_unit,
    }
}
