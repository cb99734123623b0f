//! The list of short lines, in order of need, with the reason behind each.

use crate::domain::kitting::shorts::Short;
use crate::domain::refusal::Refusal;
use crate::domain::stores::stock::Stock;
use crate::print::cell::Cell;
use crate::print::kitting::job_sheet::called;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::{count, measured};

/// The list.
pub fn short_list(stock: &Stock, shorts: &[Short], jobs: usize, mut paper: Paper) -> Result<Paper, Refusal> {
    paper.answer = if shorts.is_empty() {
        format!("nothing short on {}", count(jobs, "open job"))
    } else {
        format!(
            "{} short on {}",
            count(shorts.len(), "line"),
            count(jobs, "open job")
        )
    };
    let mut table = Table::new(
        "short",
        &[
            ("job", "job"),
            ("use_day", "day of use"),
            ("n", "line"),
            ("part", "part"),
            ("short", "SHORT"),
            ("free", "free"),
            ("on_order", "on order"),
        ],
    )
    .quantities(&["short", "free"]);
    for short in shorts {
        let (job, line) = (stock.job(short.job)?, stock.line(short.line)?);
        let part = stock.part(line.part)?;
        let unit = part.unit.to_string();
        let orders: Vec<String> = short
            .on_order
            .iter()
            .map(|(order, qty, when)| {
                let when = when.map_or("no day promised".to_owned(), |day| day.to_string());
                format!("{} {order} {when}", measured(*qty, part.unit))
            })
            .collect();
        table.row(vec![
            Cell::text(called(job)),
            Cell::Day(job.use_day),
            Cell::Count(line.n),
            Cell::text(part.number.clone()),
            Cell::Qty(short.short, unit.clone()),
            Cell::Qty(short.free, unit),
            Cell::text(if orders.is_empty() {
                "nothing".to_owned()
            } else {
                orders.join("; ")
            }),
        ]);
        for (lot, qty, last) in &short.dead {
            let number = &stock.lot(*lot)?.number;
            let qty = measured(*qty, part.unit);
            paper.notes.push(format!(
                "{}: {qty} of lot {number} on the shelf are dead by then ({last})",
                part.number
            ));
        }
        if short.receiving.is_positive() {
            let qty = measured(short.receiving, part.unit);
            paper
                .notes
                .push(format!("{}: {qty} in receiving, to be inspected", part.number));
        }
    }
    paper.notes.dedup();
    if !shorts.is_empty() {
        paper.tables.push(table);
    }
    Ok(paper)
}
