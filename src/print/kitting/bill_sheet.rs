//! Bills: which there are, what one leaves open, and one expanded for an engine.

use crate::domain::kitting::bill::{Bill, Choices};
use crate::domain::kitting::bill_faults::BillFault;
use crate::domain::kitting::expand::{Expanded, Need};
use crate::domain::kitting::tree::Step;
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

/// What an expansion sheet shows.
pub struct Sheet<'a> {
    /// The bill.
    pub bill: &'a Bill,
    /// The choices made.
    pub choices: &'a Choices,
    /// The engine model's number.
    pub model: &'a str,
    /// What they come to.
    pub expanded: &'a Expanded,
    /// Whether the sum behind each quantity is shown to its end.
    pub sums: bool,
}

/// A bill expanded for an engine model by one choice.
pub fn expanded(sheet: &Sheet<'_>, mut paper: Paper) -> Paper {
    let (bill, expanded) = (sheet.bill, sheet.expanded);
    paper.answer = format!(
        "{} revision {} on {}, {}: {}, {} h",
        bill.number,
        bill.revision,
        sheet.model,
        sheet.choices,
        count(expanded.needs.len(), "part"),
        expanded.all_hours().normalize()
    );
    paper
        .tables
        .push(needs_table("goes on", &expanded.needs, sheet.sums));
    if !expanded.take_off.is_empty() {
        paper
            .tables
            .push(needs_table("comes off", &expanded.take_off, sheet.sums));
    }
    if expanded.has_levels() {
        paper.tables.push(levels_table(&expanded.tree));
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
    paper
        .notes
        .push("waste is added to a line's quantity, then the sum of a part is rounded up once".to_owned());
    paper.notes.push(format!(
        "data from {}, which rules; this sheet computes, it does not approve",
        bill.data_source
    ));
    paper
}

/// Needs, a line each, with the sum behind each and what is said beside it.
fn needs_table(title: &str, needs: &[Need], sums: bool) -> Table {
    let mut table = Table::new(
        title,
        &[
            ("part", "part"),
            ("name", "name"),
            ("need", "need"),
            ("handed_out", "handed out"),
            ("how", "the sum"),
            ("choice", "choice"),
            ("mind", "mind"),
        ],
    )
    .quantities(&["need"]);
    for need in needs {
        let said = need.text.iter().chain(&need.beside);
        table.row(vec![
            Cell::text(need.part.number.clone()),
            Cell::text(need.part.name.clone()),
            Cell::Qty(need.qty, need.part.unit.to_string()),
            Cell::text(handed_out(need)),
            Cell::text(if sums { sum(need) } else { need.how.clone() }),
            Cell::text(need.choice.clone().unwrap_or_default()),
            Cell::text(said.cloned().collect::<Vec<String>>().join("; ")),
        ]);
    }
    table
}

/// `1 × 50 ml`; nothing for a part without a hand-out unit.
fn handed_out(need: &Need) -> String {
    need.handed_out().map_or_else(String::new, |(wholes, unit)| {
        format!("{wholes} × {unit} {}", need.part.unit)
    })
}

/// The whole sum: the lines, the exact figure, what it is rounded up to and how it is handed out.
fn sum(need: &Need) -> String {
    let unit = need.part.unit;
    let mut sum = format!("{} = {} {unit}", need.how, need.exact.normalize());
    if need.qty.to_decimal() != need.exact {
        sum += &format!(", up to {} in steps of {}", need.qty, need.part.step);
    }
    match need.handed_out() {
        Some(_) => sum + &format!(", handed out {}", handed_out(need)),
        None => sum,
    }
}

/// Every line below what it goes into, two blanks a level.
fn levels_table(tree: &[Step]) -> Table {
    let mut table = Table::new(
        "level by level",
        &[
            ("level", "level"),
            ("part", "part"),
            ("name", "name"),
            ("exact", "exactly"),
            ("unit", "unit"),
            ("role", "what it is"),
        ],
    );
    for step in tree {
        let indent = "  ".repeat(step.level.saturating_sub(1));
        let also = if step.as_above { ", lines as above" } else { "" };
        table.row(vec![
            Cell::Count(i64::try_from(step.level).unwrap_or(i64::MAX)),
            Cell::text(format!("{indent}{}", step.part.number)),
            Cell::text(step.part.name.clone()),
            Cell::Number(step.exact.normalize()),
            Cell::text(step.part.unit.to_string()),
            Cell::text(format!("{}{also}", step.role.word())),
        ]);
    }
    table
}

/// The faults of bills, a line each.
pub fn faults(bills: &[Bill], faults: &[BillFault], mut paper: Paper) -> Paper {
    let lines = bills.iter().map(|bill| bill.lines.len()).sum();
    let looked = format!("{} in {}", count(lines, "line"), count(bills.len(), "bill"));
    paper.answer = match faults.len() {
        0 => format!("no fault: {looked}"),
        found => format!("{}: {looked}", count(found, "fault")),
    };
    let mut table = Table::new(
        "faults",
        &[
            ("bill", "bill"),
            ("revision", "revision"),
            ("n", "line"),
            ("part", "part"),
            ("fault", "fault"),
        ],
    );
    for fault in faults {
        table.row(vec![
            Cell::text(fault.bill.clone()),
            Cell::text(fault.revision.clone()),
            fault.n.map_or(Cell::Empty, Cell::Count),
            Cell::text(fault.part.clone().unwrap_or_default()),
            Cell::text(fault.what.clone()),
        ]);
    }
    paper.tables.push(table);
    if !faults.is_empty() {
        paper
            .next
            .push("put a new revision of the bill right and `bincard import` it".to_owned());
    }
    paper
}
