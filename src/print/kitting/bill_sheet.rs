//! Bills: which there are, what one leaves open, and one expanded for an engine.

use crate::domain::kitting::bill::{Bill, Choices};
use crate::domain::kitting::expand::{Expanded, Need};
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::count;

/// Every conversion, a line each.
pub fn conversions(bills: &[Bill], mut paper: Paper) -> Paper {
    paper.answer = count(bills.len(), "conversion");
    let mut table = Table::new(
        "conversions",
        &[
            ("conversion", "conversion"),
            ("name", "name"),
            ("revision", "revision"),
            ("fits", "fits"),
            ("choices", "choices"),
        ],
    );
    for bill in bills {
        let choices: Vec<String> = bill
            .groups()
            .into_iter()
            .map(|(group, choices)| format!("{group}={}", choices.join("|")))
            .collect();
        table.row(vec![
            Cell::text(bill.number.clone()),
            Cell::text(bill.name.clone()),
            Cell::text(bill.revision.clone()),
            Cell::text(bill.fits.join(" ")),
            Cell::text(choices.join(" ")),
        ]);
    }
    paper.tables.push(table);
    paper
}

/// A bill expanded for an engine model by one choice.
pub fn expanded(bill: &Bill, choices: &Choices, model: &str, expanded: &Expanded, mut paper: Paper) -> Paper {
    paper.answer = format!(
        "{} revision {} on {model}, {choices}: {}, {} h",
        bill.number,
        bill.revision,
        count(expanded.needs.len(), "part"),
        expanded.all_hours().normalize()
    );
    paper.tables.push(needs_table("goes on", &expanded.needs));
    if !expanded.take_off.is_empty() {
        paper.tables.push(needs_table("comes off", &expanded.take_off));
    }
    let mut hours = Table::new("hours", &[("work", "work"), ("hours", "hours")]);
    for line in &expanded.hours {
        hours.row(vec![
            Cell::text(line.work.clone()),
            Cell::Number(line.hours.normalize()),
        ]);
    }
    paper.tables.push(hours);
    paper.cautions.extend(expanded.notes.iter().cloned());
    paper.notes.push(format!(
        "data from {}, which rules; this sheet computes, it does not approve",
        bill.data_source
    ));
    paper
}

/// Needs, a line each, with the sum behind each.
fn needs_table(title: &str, needs: &[Need]) -> Table {
    let mut table = Table::new(
        title,
        &[
            ("part", "part"),
            ("name", "name"),
            ("need", "need"),
            ("how", "the sum"),
            ("choice", "choice"),
        ],
    )
    .quantities(&["need"]);
    for need in needs {
        table.row(vec![
            Cell::text(need.part.number.clone()),
            Cell::text(need.part.name.clone()),
            Cell::Qty(need.qty, need.part.unit.to_string()),
            Cell::text(need.how.clone()),
            Cell::text(need.choice.clone().unwrap_or_default()),
        ]);
    }
    table
}
