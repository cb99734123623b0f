//! The stock list: one part with its lots, or many parts a line each.

use crate::domain::measure::{Day, Qty};
use crate::domain::stores::standing::{Lying, PartInHouse, Standing, standing};
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::{count, measured, until};

/// One part with its lots, the first to be used first.
pub fn one_part(found: &PartInHouse, on_order: Qty, day: Day, mut paper: Paper) -> Paper {
    let (part, unit) = (&found.part, found.part.unit);
    let sum = standing(&found.lying, day);
    paper.answer = format!(
        "{}: {} free of {} on the shelf{}",
        part.number,
        measured(sum.free, unit),
        measured(sum.on_the_shelf, unit),
        first_bin(found, day)
    );
    let mut table = Table::new(
        part.name.clone(),
        &[
            ("lot", "lot"),
            ("bin", "bin"),
            ("qty", "there"),
            ("state", "state"),
            ("expiry", "last day"),
            ("left", "left"),
            ("batch", "batch"),
            ("owner", "owner"),
        ],
    )
    .spare(&["left", "batch", "owner"])
    .quantities(&["qty"]);
    for line in &found.lying {
        table.row(vec![
            Cell::text(line.lot.number.clone()),
            Cell::text(line.place.code.clone()),
            Cell::Qty(line.qty, unit.to_string()),
            Cell::Alert(state(line, day).to_owned()),
            line.lot.expiry.map_or(Cell::Empty, Cell::Day),
            Cell::text(until(line.lot.expiry, day)),
            Cell::text(
                line.lot
                    .batch
                    .clone()
                    .or(line.lot.serial.clone())
                    .unwrap_or_default(),
            ),
            Cell::text(if line.lot.owner.is_some() {
                "customer's"
            } else {
                ""
            }),
        ]);
    }
    paper.tables.push(table);
    paper.tables.push(sum_table(&sum, on_order, unit.symbol()));
    paper
}

/// Where the lot lies that is to be used first.
fn first_bin(found: &PartInHouse, day: Day) -> String {
    let first = found.lying.iter().find(|line| {
        line.place.id.pickable()
            && !line.on_hold()
            && line.lot.usable_on(day)
            && line.position.free().is_positive()
    });
    first.map_or(String::new(), |line| {
        format!("; first {} in {}", line.lot.number, line.place.code)
    })
}

/// The sum behind what is free, a line each.
fn sum_table(sum: &Standing, on_order: Qty, unit: &str) -> Table {
    let mut table = Table::new("the sum", &[("what", "what"), ("qty", "qty")]).quantities(&["qty"]);
    for (what, qty) in [
        ("on the shelf", sum.on_the_shelf),
        ("reserved", sum.reserved),
        ("on hold", sum.on_hold),
        ("dead", sum.dead),
        ("free", sum.free),
        ("in receiving", sum.receiving),
        ("in quarantine", sum.quarantine),
        ("on order", on_order),
    ] {
        table.row(vec![Cell::text(what), Cell::Qty(qty, unit.to_owned())]);
    }
    table
}

/// How a lot stands at a place, in a word.
fn state(line: &Lying, day: Day) -> &'static str {
    if !line.place.id.pickable() {
        line.place.id.kind().map_or("", |kind| kind.word())
    } else if line.on_hold() {
        "ON HOLD"
    } else if !line.lot.usable_on(day) {
        "EXPIRED"
    } else if line.position.reserved.is_positive() && !line.position.free().is_positive() {
        "reserved"
    } else if line.position.reserved.is_positive() {
        "part reserved"
    } else {
        "free"
    }
}

/// Many parts, a line each.
pub fn several_parts(found: &[PartInHouse], day: Day, mut paper: Paper) -> Paper {
    let mut table = Table::new(
        "stock",
        &[
            ("part", "part"),
            ("name", "name"),
            ("on_the_shelf", "on the shelf"),
            ("reserved", "reserved"),
            ("on_hold", "on hold"),
            ("dead", "dead"),
            ("free", "free"),
        ],
    )
    .spare(&["name"])
    .quantities(&["on_the_shelf", "reserved", "on_hold", "dead", "free"]);
    let mut empty = 0;
    for line in found {
        let sum = standing(&line.lying, day);
        let unit = line.part.unit.to_string();
        if sum.on_the_shelf.is_zero() {
            empty += 1;
        }
        let qty = |qty: Qty| Cell::Qty(qty, unit.clone());
        table.row(vec![
            Cell::text(line.part.number.clone()),
            Cell::text(line.part.name.clone()),
            qty(sum.on_the_shelf),
            qty(sum.reserved),
            qty(sum.on_hold),
            qty(sum.dead),
            qty(sum.free),
        ]);
    }
    paper.answer = format!(
        "{}, {empty} with nothing on the shelf",
        count(found.len(), "part")
    );
    paper.tables.push(table);
    paper
}
