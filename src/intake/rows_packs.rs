//! The rows about what a part comes in, a supplier's pack or one that is the same whoever sends it, and about what may
//! stand in for it.

use super::cells::Cells;
use super::rows::{Row, said};
use crate::domain::likeness::stand_in::{Bounds, MANNERS, Manner};
use crate::domain::measure::{Day, Qty};
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

/// A part that may stand in for another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StandInRow {
    /// The number of the part that is wanted; of two issues of one part the older.
    pub part: String,
    /// The number of the part that may stand in for it; of two issues the newer.
    pub other: String,
    /// In which direction.
    pub manner: Manner,
    /// Where only.
    pub bounds: Bounds,
    /// Who says so: document, issue, person.
    pub authority: String,
    /// The first day on which it holds.
    pub from_day: Option<Day>,
    /// The last day on which it holds.
    pub until_day: Option<Day>,
}

impl Row for StandInRow {
    const HEADINGS: &'static [&'static str] = &[
        "part",
        "other",
        "manner",
        "bounds",
        "authority",
        "from_day",
        "until_day",
    ];
    const KEY: &'static [&'static str] = &["part", "other"];

    fn read(cells: &mut Cells) -> Option<StandInRow> {
        let (part, other) = (cells.text("part"), cells.text("other"));
        let manner = cells.one_of("manner", "manner of standing in", &MANNERS, Manner::word);
        let (bounds, authority) = (cells.maybe_text("bounds"), cells.text("authority"));
        let bounds = bounds.and_then(|text| {
            let read = Bounds::parse(text.as_deref().unwrap_or_default());
            read.map_err(|because| cells.fault("bounds", because, "")).ok()
        });
        let (from_day, until_day) = cells.span("from_day", "until_day")?;
        if part.is_some() && part == other {
            return cells.no(
                "other",
                "is the part itself",
                "a part needs no stand-in of itself",
            );
        }
        Some(StandInRow {
            part: part?,
            other: other?,
            manner: manner?,
            bounds: bounds?,
            authority: authority?,
            from_day,
            until_day,
        })
    }

    fn cells(&self) -> Vec<String> {
        vec![
            self.part.clone(),
            self.other.clone(),
            self.manner.word().to_owned(),
            self.bounds.to_string(),
            self.authority.clone(),
            said(self.from_day.as_ref()),
            said(self.until_day.as_ref()),
        ]
    }
}
