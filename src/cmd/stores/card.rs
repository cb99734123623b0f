//! `card`: a bin card with what was brought forward and the running balance.

use crate::cmd::error::Failure;
use crate::cmd::shelf::no_lot;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::stores::cold::out_of_cold;
use crate::db::stores::lots::lot_by_number;
use crate::db::stores::search::place_of_code;
use crate::db::stores::stock::part_numbered;
use crate::db::tracing::{CardOf, card, lot_numbered};
use crate::domain::measure::{Day, Qty};
use crate::print::cell::Cell;
use crate::print::stores::find_answer::worked_out;
use crate::print::table::Table;
use crate::print::words::count;
use clap::Args;

/// The bin card of a part, a lot or a bin, with its running balance
#[derive(Args, Debug)]
pub struct Ask {
    /// A part number, a lot number or a bin's code
    #[arg(value_name = "WHAT")]
    what: String,
    /// From this day on; what was before is brought forward
    #[arg(long, value_name = "DATE")]
    since: Option<String>,
}

/// Shows a card.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let since = ask.since.as_deref().map(Day::parse).transpose();
    let since =
        since.map_err(|fault| Failure::usage(fault.to_string(), "give a day: `--since 2026-11-01`"))?;
    shop.read(|scene| show(scene, &ask.what, since))
}

/// What the name leads to: whose card, its title, its unit where there is one.
fn whose(scene: &Scene<'_, '_>, what: &str) -> Result<(CardOf, String, String), Failure> {
    if let Some(part) = part_numbered(scene.books, what)? {
        return Ok((CardOf::Part(part.id), part.number, part.unit.to_string()));
    }
    if let Some((lot, part, unit)) = lot_numbered(scene.books, what)? {
        return Ok((
            CardOf::Lot(lot),
            format!("lot {} of {part}", what.to_uppercase()),
            unit,
        ));
    }
    if let Some(place) = place_of_code(scene.books, what)? {
        let title = format!("{}, {}", place.code, place.name);
        return Ok((CardOf::Place(place.id), title, String::new()));
    }
    // A whole name goes before a short form of a lot number, which is then shown whole.
    if let Some(short) = lot_by_number(scene.books, what)?
        && let Some((lot, part, unit)) = lot_numbered(scene.books, &short.number)?
    {
        return Ok((CardOf::Lot(lot), format!("lot {} of {part}", short.number), unit));
    }
    Err(no_lot("part, lot or bin", what).into())
}

fn show(scene: &Scene<'_, '_>, what: &str, since: Option<Day>) -> Result<Done, Failure> {
    let (of, title, unit) = whose(scene, what)?;
    let card = card(scene.books, of, since)?;
    let mut table = Table::new(
        format!("card of {title}"),
        &[
            ("day", "date"),
            ("document", "paper"),
            ("lot", "lot"),
            ("from", "from whom"),
            ("to", "to whom"),
            ("in", "in"),
            ("out", "out"),
            ("left", "left"),
            ("by", "by"),
        ],
    )
    .quantities(&["in", "out", "left"]);
    let unit = card.unit.clone().unwrap_or(unit);
    let qty = |qty: Qty| {
        if qty.is_zero() {
            Cell::Empty
        } else {
            Cell::Qty(qty, unit.clone())
        }
    };
    // A bin may have had several parts in several units: their sum would say nothing.
    let mixed = card.unit.is_none() && matches!(of, CardOf::Place(_));
    let balance = |left: Qty| {
        if mixed {
            Cell::Empty
        } else {
            Cell::Qty(left, unit.clone())
        }
    };
    if since.is_some() {
        let mut row = vec![Cell::Empty; 9];
        if let Some(cell) = row.get_mut(1) {
            *cell = Cell::text("brought forward");
        }
        if let Some(cell) = row.get_mut(7) {
            *cell = balance(card.brought_forward);
        }
        table.row(row);
    }
    for line in &card.lines {
        table.row(vec![
            Cell::Day(line.day),
            Cell::text(line.document.clone()),
            Cell::text(line.lot.clone()),
            Cell::text(line.from.clone()),
            Cell::text(line.to.clone()),
            qty(line.came_in),
            qty(line.went_out),
            balance(line.left),
            Cell::text(line.by.clone()),
        ]);
    }
    let lines = count(card.lines.len(), "line");
    let answer = match of {
        CardOf::Place(_) => format!("{title}: {lines}"),
        CardOf::Part(_) | CardOf::Lot(_) => {
            format!("{title}: {} {unit} on the shelf, {lines}", card.left())
        }
    };
    let mut paper = scene.paper("card", answer);
    paper.tables.push(table);
    paper.notes.extend(life_of(scene, of)?);
    Ok(Done::yes(paper))
}

/// How the last day of a lot was worked out, and how long it was out of the cold; nothing on another card.
fn life_of(scene: &Scene<'_, '_>, of: CardOf) -> Result<Vec<String>, Failure> {
    let CardOf::Lot(lot) = of else {
        return Ok(Vec::new());
    };
    let mut facts = scene.gather()?;
    facts.lot(lot)?;
    let stock = facts.done();
    let record = stock.lot(lot)?;
    let out = out_of_cold(scene.books, lot, record.part, &scene.at)?;
    let mut told = vec![worked_out(record, scene.day.max(scene.today))];
    told.extend(out.map(|out| out.to_string()));
    Ok(told)
}
