//! `card`: a bin card with what was brought forward and the running balance.

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::stores::stock::part_numbered;
use crate::db::tracing::{CardOf, card, lot_numbered, place_coded};
use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::print::cell::Cell;
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
    if let Some((place, name)) = place_coded(scene.books, what)? {
        return Ok((CardOf::Place(place), format!("{what}, {name}"), String::new()));
    }
    Err(Refusal::Unknown {
        what: "part, lot or bin",
        asked: what.to_owned(),
        near: vec![],
    }
    .into())
}

fn show(scene: &Scene<'_, '_>, what: &str, since: Option<Day>) -> Result<Done, Failure> {
    let (of, title, unit) = whose(scene, what)?;
    let lines = card(scene.books, of)?;
    let mixed = matches!(of, CardOf::Place(_));
    let (before, shown): (Vec<_>, Vec<_>) = lines
        .into_iter()
        .partition(|line| since.is_some_and(|day| line.day < day));
    let mut left: Qty = before.iter().map(|line| line.change).sum();
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
    let qty = |qty: Qty| Cell::Qty(qty, unit.clone());
    // A bin may hold several parts in several units: their sum would say nothing.
    let balance = |left: Qty| if mixed { Cell::Empty } else { qty(left) };
    if since.is_some() {
        let mut row = vec![Cell::Empty; 9];
        if let Some(cell) = row.get_mut(1) {
            *cell = Cell::text("brought forward");
        }
        if let Some(cell) = row.get_mut(7) {
            *cell = balance(left);
        }
        table.row(row);
    }
    for line in &shown {
        left += line.change;
        let came = line.change.is_positive();
        table.row(vec![
            Cell::Day(line.day),
            Cell::text(line.document.clone()),
            Cell::text(line.lot.clone()),
            Cell::text(line.from.clone()),
            Cell::text(line.to.clone()),
            if came { qty(line.change) } else { Cell::Empty },
            if came { Cell::Empty } else { qty(-line.change) },
            balance(left),
            Cell::text(line.by.clone()),
        ]);
    }
    let lines = count(shown.len(), "line");
    let answer = if mixed {
        format!("{title}: {lines}")
    } else {
        format!("{title}: {left} {unit} on the shelf, {lines}")
    };
    let mut paper = scene.paper("card", answer);
    paper.tables.push(table);
    Ok(Done::yes(paper))
}
