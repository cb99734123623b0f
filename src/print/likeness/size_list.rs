//! Parts by their sizes: which are in the range, what is free of them; and which part looks like which.

use crate::domain::likeness::alike::Difference;
use crate::domain::likeness::size::{Size, Sized};
use crate::domain::measure::Day;
use crate::domain::stores::standing::PartInHouse;
use crate::domain::stores::verdict::free_to_give;
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::stores::find_answer::part_hit;
use crate::print::table::Table;
use crate::print::words::count;

/// A part in the range, with the size that was asked for first.
pub struct InRange {
    /// The part with all its sizes.
    pub sized: Sized,
    /// The size that was asked for first.
    pub size: Size,
    /// What lies of it.
    pub house: PartInHouse,
}

/// The parts of some sizes, the smallest first; `asked` says what was asked for, `thickness 2 to 2.5 mm`.
pub fn size_list(asked: &str, found: &[InRange], day: Day, mut paper: Paper) -> Paper {
    let free = |part: &&InRange| free_to_give(&part.house.lying, day).is_positive();
    let with_some = found.iter().filter(free).count();
    paper.answer = match found {
        [] => format!("no part of {asked}"),
        found => format!(
            "{} of {asked}, {with_some} with some free",
            count(found.len(), "part")
        ),
    };
    let columns = [
        ("number", "number"),
        ("size", "size"),
        ("free", "free"),
        ("bin", "bin"),
        ("lot", "lot"),
        ("expiry", "last day"),
        ("sizes", "sizes"),
        ("name", "name"),
    ];
    let mut table = Table::new("found", &columns)
        .spare(&["expiry", "sizes", "name"])
        .quantities(&["size", "free"]);
    for part in found {
        let hit = part_hit(&part.house, day);
        table.row(vec![
            Cell::text(hit.number),
            Cell::Qty(part.size.value, part.size.unit.clone().unwrap_or_default()),
            hit.free.map_or(Cell::Empty, |(qty, unit)| Cell::Qty(qty, unit)),
            Cell::text(hit.bin),
            Cell::text(hit.lot),
            hit.expiry.map_or(Cell::Empty, Cell::Day),
            Cell::text(part.sized.told()),
            Cell::text(hit.name),
        ]);
    }
    paper.tables.push(table);
    paper
}

/// A part that looks like another, how it differs, and what lies of it.
pub type LookAlike = (Difference, PartInHouse);

/// The parts that look like one, a line each, with its own figure first.
pub fn look_alikes(found: &[LookAlike], day: Day, paper: &mut Paper) {
    if found.is_empty() {
        return;
    }
    let columns = [
        ("number", "number"),
        ("differs", "this against that"),
        ("free", "free"),
        ("bin", "bin"),
        ("name", "name"),
    ];
    let mut table = Table::new("look-alikes", &columns)
        .spare(&["name"])
        .quantities(&["free"]);
    for (difference, house) in found {
        let hit = part_hit(house, day);
        table.row(vec![
            Cell::text(hit.number),
            Cell::text(difference.told()),
            hit.free.map_or(Cell::Empty, |(qty, unit)| Cell::Qty(qty, unit)),
            Cell::text(hit.bin),
            Cell::text(hit.name),
        ]);
    }
    paper.tables.push(table);
}
