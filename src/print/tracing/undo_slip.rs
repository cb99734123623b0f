//! The slip of an undo: what came back, and which reservations that broke.

use crate::domain::stores::posting::{Claim, Entry, Source};
use crate::domain::stores::stock::Stock;
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::count;

/// What an undo wrote, a line each.
pub fn undo_slip(
    stock: &Stock,
    undone: &str,
    entries: &[Entry],
    stripped: &[Claim],
    mut paper: Paper,
) -> Paper {
    paper.answer = format!("{undone} is taken back: {}", count(entries.len(), "line"));
    let mut table = Table::new(
        "moved back",
        &[
            ("lot", "lot"),
            ("part", "part"),
            ("qty", "qty"),
            ("from", "from"),
            ("to", "to"),
        ],
    )
    .quantities(&["qty"]);
    for entry in entries {
        let part = stock.part_of(entry.lot).ok();
        let unit = part.map(|part| part.unit.to_string()).unwrap_or_default();
        let code = |place| {
            stock
                .place(place)
                .map(|place| place.code.clone())
                .unwrap_or_default()
        };
        table.row(vec![
            Cell::text(
                stock
                    .lot(entry.lot)
                    .map(|lot| lot.number.clone())
                    .unwrap_or_default(),
            ),
            Cell::text(part.map(|part| part.number.clone()).unwrap_or_default()),
            Cell::Qty(entry.qty, unit),
            Cell::text(code(entry.from)),
            Cell::text(code(entry.to)),
        ]);
    }
    if !entries.is_empty() {
        paper.tables.push(table);
    }
    paper.notes.extend(stripped_notes(stock, stripped));
    paper
}

/// Reservations that broke without being asked for, a sentence each, with the jobs made short.
pub fn stripped_notes(stock: &Stock, stripped: &[Claim]) -> Vec<String> {
    let note = |claim: &Claim| {
        let job = stock.job_of(claim.line).ok()?;
        let part = stock.part(stock.line(claim.line).ok()?.part).ok()?;
        let source = match claim.source {
            Source::Lot(lot) => format!("lot {}", stock.lot(lot).ok()?.number),
            Source::Order(order) => format!("order {}", stock.order(order).ok()?.order),
        };
        Some(format!(
            "{} is short of {} {} of {}: {source} no longer bears it",
            job.number, claim.qty, part.unit, part.number
        ))
    };
    stripped.iter().filter_map(note).collect()
}
