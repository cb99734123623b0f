//! What lay on the shelves on a past day, and what of it was dead: as the documents have it that bear that day.

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Scene};
use crate::db::stores::as_of::{Lay, lay_on};
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::part::Part;
use crate::print::cell::Cell;
use crate::print::table::Table;
use crate::print::words::{count, measured, until};

/// A past day as an option gives it; today will do.
pub(super) fn past_day(scene: &Scene<'_, '_>, text: &str) -> Result<Day, Failure> {
    let hint = "give a day that is over, or today: `--as-of 2026-03-03`";
    let day = Day::parse(text).map_err(|fault| Failure::usage(format!("--as-of: {fault}"), hint))?;
    if day > scene.today {
        return Err(Failure::usage(format!("--as-of: {day} is still to come"), hint));
    }
    Ok(day)
}

/// What lies on shelf and bench with a last day up to another, dead on the day or dying after it.
pub(super) fn dead_on(scene: &Scene<'_, '_>, day: Day, last: Day) -> Result<Done, Failure> {
    let mut found = lay_on(scene.books, day, None)?;
    found.retain(|lay| lay.place.pickable() && lay.expiry.is_some_and(|expiry| expiry <= last));
    found.sort_by_key(|lay| (lay.expiry, lay.part.clone(), lay.lot.clone(), lay.place));
    let dead = found.iter().filter(|lay| is_dead(lay, day)).count();
    let more = found.len() - dead;
    let answer = format!(
        "on {day}: {} dead on the shelf, {more} more by {last}",
        count(dead, "lot")
    );
    let mut paper = scene.paper("expiry", answer);
    if !found.is_empty() {
        paper.tables.push(table("dying then", &found, day));
    }
    Ok(if dead > 0 {
        Done::no(paper)
    } else {
        Done::yes(paper)
    })
}

/// What lay of a part in the house on the day.
pub(super) fn lay_of(scene: &Scene<'_, '_>, part: &Part, day: Day) -> Result<Done, Failure> {
    let found = lay_on(scene.books, day, Some(&part.number))?;
    let on_the_shelf = |dead: bool| -> Qty {
        let lay = found.iter().filter(|lay| lay.place.pickable());
        lay.filter(|lay| !dead || is_dead(lay, day))
            .map(|lay| lay.qty.0)
            .sum()
    };
    let answer = format!(
        "on {day}: {} of {} on the shelf, {} of it dead",
        measured(on_the_shelf(false), part.unit),
        part.number,
        measured(on_the_shelf(true), part.unit)
    );
    let mut paper = scene.paper("stock", answer);
    if !found.is_empty() {
        paper.tables.push(table("there then", &found, day));
    }
    Ok(Done::yes(paper))
}

fn is_dead(lay: &Lay, day: Day) -> bool {
    lay.expiry.is_some_and(|expiry| expiry < day)
}

fn table(title: &'static str, found: &[Lay], day: Day) -> Table {
    let headings = [
        ("part", "part"),
        ("lot", "lot"),
        ("bin", "bin"),
        ("qty", "there"),
        ("expiry", "last day"),
        ("state", "state"),
    ];
    let mut table = Table::new(title, &headings).quantities(&["qty"]);
    for lay in found {
        let state = until(lay.expiry, day);
        table.row(vec![
            Cell::text(lay.part.clone()),
            Cell::text(lay.lot.clone()),
            Cell::text(lay.bin.clone()),
            Cell::Qty(lay.qty.0, lay.qty.1.clone()),
            lay.expiry.map_or(Cell::Empty, Cell::Day),
            Cell::Alert(if is_dead(lay, day) {
                state.replace("expired", "EXPIRED")
            } else {
                state
            }),
        ]);
    }
    table
}
