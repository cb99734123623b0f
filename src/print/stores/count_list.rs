//! The list to count a bin by, and what a count found.

use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{LotId, PlaceId};
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::{count, measured};

/// The list of a bin; blind, it leaves out what the book says.
pub fn to_count(
    stock: &Stock,
    place: PlaceId,
    lots: &[LotId],
    (list, blind): (i64, bool),
    mut paper: Paper,
) -> Result<Paper, Refusal> {
    let code = &stock.place(place)?.code;
    paper.answer = format!("list {list} of {code}: {} to count", count(lots.len(), "line"));
    let mut headings = vec![
        ("n", "no"),
        ("part", "part"),
        ("name", "name"),
        ("lot", "lot"),
        ("batch", "batch"),
        ("counted", "counted"),
    ];
    if !blind {
        headings.push(("book", "book"));
    }
    let mut table = Table::new(format!("list {list} of {code}"), &headings).spare(&["name", "batch"]);
    if !blind {
        table = table.quantities(&["book"]);
    }
    for (n, lot) in (1..).zip(lots) {
        let (goods, part) = (stock.lot(*lot)?, stock.part_of(*lot)?);
        let batch = goods.batch.clone().or_else(|| goods.serial.clone());
        let mut row = vec![
            Cell::Count(n),
            Cell::text(part.number.clone()),
            Cell::text(part.name.clone()),
            Cell::text(goods.number.clone()),
            Cell::text(batch.unwrap_or_default()),
            Cell::text(format!("____ {}", part.unit)),
        ];
        if !blind {
            row.push(Cell::Qty(stock.balance(*lot, place).qty, part.unit.to_string()));
        }
        table.row(row);
    }
    paper.tables.push(table);
    if !lots.is_empty() {
        paper.next.push(format!(
            "bincard count {code} --list {list} LINE=QTY --by INITIALS   books what was counted"
        ));
        paper.next.push(format!(
            "bincard count {code} --list {list} --as-listed --by INITIALS   every line was right"
        ));
    }
    Ok(paper)
}

/// What a count found, in the first line.
pub fn counted(
    stock: &Stock,
    posting: &Posting,
    (lines, again): (usize, usize),
    code: &str,
) -> Result<String, Refusal> {
    let differ: std::collections::BTreeSet<LotId> = posting.entries.iter().map(|entry| entry.lot).collect();
    let right = lines - differ.len() - again;
    if again > 0 {
        return Ok(format!(
            "{code}: {right} of {} right, {again} to be counted again by another",
            count(lines, "line")
        ));
    }
    Ok(match posting.entries.as_slice() {
        [] => format!("{code}: {} counted, all right", count(lines, "line")),
        [one] => {
            let part = stock.part_of(one.lot)?;
            let word = if one.from.pickable() || one.from.0 < 20_000_000 {
                "short"
            } else {
                "over"
            };
            format!(
                "{code}: {right} of {} right, {} {word} by {}",
                count(lines, "line"),
                part.number,
                measured(one.qty, part.unit)
            )
        }
        _ => format!(
            "{code}: {right} of {} right, {} differ",
            count(lines, "line"),
            differ.len()
        ),
    })
}
