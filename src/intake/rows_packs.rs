//! The rows about what a part comes in: a supplier's pack, or one that is the same whoever sends it.

use super::cells::Cells;
use super::rows::{Row, said};
use crate::domain::measure::Qty;
use crate::domain::stores::packs::unfit_name;

/// A pack in which a part comes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PackRow {
    /// The part number.
    pub part: String,
    /// The code of the supplier; none where the pack holds the same whoever sends it.
    pub supplier: Option<String>,
    /// What one is called, in the singular: `box`, `bag`.
    pub unit: String,
    /// How many of the part's unit one holds, above zero.
    pub holds: Qty,
}

impl Row for PackRow {
    const HEADINGS: &'static [&'static str] = &["part", "supplier", "unit", "holds"];
    const KEY: &'static [&'static str] = &["part", "supplier", "unit"];

    fn read(cells: &mut Cells) -> Option<PackRow> {
        let (part, supplier) = (cells.text("part"), cells.maybe_text("supplier"));
        let (unit, holds) = (cells.single("unit"), cells.some_qty("holds"));
        let unit = unit.and_then(|unit| match unfit_name(&unit) {
            None => Some(unit),
            Some(because) => cells.no(
                "unit",
                because,
                "call the pack what it is: box, bag, carton, reel",
            ),
        });
        Some(PackRow {
            part: part?,
            supplier: supplier?,
            unit: unit?,
            holds: holds?,
        })
    }

    fn cells(&self) -> Vec<String> {
        vec![
            self.part.clone(),
            said(self.supplier.as_ref()),
            self.unit.clone(),
            self.holds.to_string(),
        ]
    }
}
