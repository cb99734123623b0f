//! Certificates: the register, and one with the lots that were drawn on it.

use crate::domain::acceptance::certificate::Certificate;
use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::stock::Stock;
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::count;

/// The register; the facts bear the parts.
pub fn register(stock: &Stock, all: &[Certificate], mut paper: Paper) -> Result<Paper, Refusal> {
    let with_rest = all.iter().filter(|one| one.left().is_positive()).count();
    paper.answer = match all {
        [] => "no certificates".to_owned(),
        _ => format!(
            "{}, {with_rest} with something left to draw",
            count(all.len(), "certificate")
        ),
    };
    if !all.is_empty() {
        paper.tables.push(table(stock, all)?);
    }
    Ok(paper)
}

fn table(stock: &Stock, all: &[Certificate]) -> Result<Table, Refusal> {
    let mut table = Table::new(
        "certificates",
        &[
            ("number", "number"),
            ("kind", "sort"),
            ("issuer", "issuer"),
            ("day", "day"),
            ("part", "part"),
            ("covers", "covers"),
            ("drawn", "drawn"),
            ("left", "left"),
        ],
    )
    .spare(&["day", "issuer"])
    .quantities(&["covers", "drawn", "left"]);
    for one in all {
        let (part, unit) = part_and_unit(stock, one)?;
        let qty = |qty: Qty| Cell::Qty(qty, unit.clone());
        table.row(vec![
            Cell::text(one.number.clone()),
            Cell::text(one.kind.word()),
            Cell::text(one.issuer.clone()),
            Cell::Day(one.day),
            Cell::text(part),
            qty(one.covers),
            qty(one.drawn),
            qty(one.left()),
        ]);
    }
    Ok(table)
}

fn part_and_unit(stock: &Stock, one: &Certificate) -> Result<(String, String), Refusal> {
    let part = one.part.map(|part| stock.part(part)).transpose()?;
    Ok(part.map_or_else(Default::default, |part| {
        (part.number.clone(), part.unit.to_string())
    }))
}

/// What one certificate covers, what is drawn and left, in a line.
pub fn in_a_line(stock: &Stock, one: &Certificate) -> Result<String, Refusal> {
    let (part, unit) = part_and_unit(stock, one)?;
    let number: String = one.number.chars().take(20).collect();
    Ok(format!(
        "{number}: covers {} {unit} of {part}, {} drawn, {} left",
        one.covers,
        one.drawn,
        one.left()
    ))
}

/// One certificate with the lots that were drawn on it and how its scan is.
pub fn sheet(
    stock: &Stock,
    one: &Certificate,
    lots: &[(String, Qty, Day)],
    scan: &str,
    mut paper: Paper,
) -> Result<Paper, Refusal> {
    paper.answer = in_a_line(stock, one)?;
    paper.tables.push(table(stock, std::slice::from_ref(one))?);
    let (_, unit) = part_and_unit(stock, one)?;
    let mut drawn = Table::new(
        "drawn on it",
        &[("lot", "lot"), ("qty", "drawn"), ("day", "last on")],
    )
    .quantities(&["qty"]);
    for (lot, qty, day) in lots {
        drawn.row(vec![
            Cell::text(lot.clone()),
            Cell::Qty(*qty, unit.clone()),
            Cell::Day(*day),
        ]);
    }
    if !lots.is_empty() {
        paper.tables.push(drawn);
    }
    paper.notes.push(scan.to_owned());
    if let Some(digest) = &one.digest {
        paper.notes.push(format!("SHA-256 {digest}"));
    }
    Ok(paper)
}
