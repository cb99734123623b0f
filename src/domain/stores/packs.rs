//! The names of a part's own for so much of it: its suppliers' packs, and what the hatch hands out.

use crate::domain::measure::Qty;
use crate::domain::measure::scale::{Scale, scales_called};
use crate::domain::measure::typed::{Kept, OwnFactor};
use crate::domain::measure::unit::Dimension;
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

/// Whose pack it is that holds the same whoever sends it.
pub const ANYONE: PlaceId = PlaceId(0);

/// A pack in which a part comes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pack {
    /// The supplier whose pack it is, or [`ANYONE`].
    pub supplier: PlaceId,
    /// What to call him: his code, or `anyone`.
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
/// Where the goods come from a supplier, his pack decides what a name means that others use as well; where he has none
/// of that name, the pack that is the same whoever sends it goes before those of others.
pub fn kept(part: &Part, packing: Packing, supplier: Option<PlaceId>) -> Kept {
    let called = |by: PlaceId| -> Vec<String> {
        let named = packing.packs.iter().filter(|pack| pack.supplier == by);
        named.map(|pack| pack.name.to_lowercase()).collect()
    };
    let his = supplier.map_or_else(Vec::new, called);
    let usual = supplier.map_or_else(Vec::new, |_| called(ANYONE));
    let counts = |pack: &Pack| {
        let name = pack.name.to_lowercase();
        let is_behind = match pack.supplier {
            by if Some(by) == supplier => false,
            ANYONE => his.contains(&name),
            _ => his.contains(&name) || usual.contains(&name),
        };
        !is_behind
    };
    let mut own: Vec<OwnFactor> = packing
        .packs
        .iter()
        .filter(|pack| counts(pack))
        .cloned()
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

/// Why a pack cannot bear a name: a figure would run into it, or it measures something already.
pub fn unfit_name(name: &str) -> Option<&'static str> {
    let mut marks = name.chars();
    let led = marks.next().is_some_and(char::is_alphabetic);
    if !led || !marks.all(|mark| mark.is_alphanumeric() || mark == '-') {
        return Some("is no name for a pack: a letter first, then letters, digits and hyphens");
    }
    let measures = |scale: &&'static Scale| scale.dimension != Dimension::Count;
    scales_called(name)
        .iter()
        .any(measures)
        .then_some("is a unit of measure, and means that")
}
