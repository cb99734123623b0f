//! The list of short lines, in order of need, with the reason behind each.

use crate::domain::kitting::shorts::Short;
use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::JobId;
use crate::domain::stores::stock::Stock;
use crate::print::cell::Cell;
use crate::print::kitting::job_sheet::called;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::{count, measured};

/// The list.
pub fn short_list(
    stock: &Stock,
    shorts: &[Short],
    jobs: &[JobId],
    mut paper: Paper,
) -> Result<Paper, Refusal> {
    let of = match jobs {
        [only] => called(stock.job(*only)?),
        several => count(several.len(), "open job"),
    };
    paper.answer = if shorts.is_empty() {
        format!("nothing short on {of}")
    } else {
        let only = shorts.iter().filter(|short| short.free >= short.short).count();
        let lines = match shorts.len() - only {
            0 => count(only, "line"),
            missing => count(missing, "line"),
        };
        let free = match only {
            only if only < shorts.len() && only > 0 => format!(", {only} to reserve"),
            _ => String::new(),
        };
        format!("{lines} short{free} on {of}; {}", when_due(shorts, stock.day))
    };
    let mut table = Table::new(
        "short",
        &[
            ("job", "job"),
            ("use_day", "day of use"),
            ("n", "line"),
            ("part", "part"),
            ("short", "short"),
            ("state", "state"),
            ("need", "need"),
            ("reserved", "reserved"),
            ("free", "free"),
            ("dead", "dead"),
            ("on_order", "on order"),
        ],
    )
    .spare(&["use_day", "reserved", "need", "dead"])
    .quantities(&["short", "need", "reserved", "free", "dead"]);
    for short in shorts {
        table.row(row(stock, short)?);
        paper.notes.extend(reasons(stock, short)?);
    }
    let mut told = std::collections::BTreeSet::new();
    paper.notes.retain(|note| told.insert(note.clone()));
    if !shorts.is_empty() {
        paper.tables.push(table);
    }
    Ok(paper)
}

/// Whether any of what is not there comes today, and if not, which day is the next.
fn when_due(shorts: &[Short], today: Day) -> String {
    let missing: Vec<&Short> = shorts.iter().filter(|short| short.free < short.short).collect();
    if missing.is_empty() {
        return "all of it free to reserve".to_owned();
    }
    let days = |short: &Short| {
        let promised = short.on_order.iter().filter_map(|(_, _, when)| *when);
        promised.collect::<Vec<Day>>()
    };
    let due_today = missing.iter().filter(|short| days(short).contains(&today));
    let next = missing.iter().flat_map(|short| days(short));
    match (due_today.count(), next.filter(|day| *day > today).min()) {
        (0, None) => "none of it due".to_owned(),
        (0, Some(next)) => format!("none due today, next {next}"),
        (lines, _) => format!("{} due today", count(lines, "line")),
    }
}

/// One short line.
fn row(stock: &Stock, short: &Short) -> Result<Vec<Cell>, Refusal> {
    let (job, line) = (stock.job(short.job)?, stock.line(short.line)?);
    let part = stock.part(line.part)?;
    let unit = part.unit.to_string();
    let order = |(order, qty, when): &(String, Qty, Option<Day>)| {
        let when = when.map_or("no day promised".to_owned(), |day| day.to_string());
        format!("{} {order} {when}", measured(*qty, part.unit))
    };
    let orders: Vec<String> = short.on_order.iter().map(order).collect();
    Ok(vec![
        Cell::text(called(job)),
        Cell::Day(job.use_day),
        Cell::Count(line.n),
        Cell::text(part.number.clone()),
        Cell::Qty(short.short, unit.clone()),
        Cell::Alert(
            if short.free >= short.short {
                "to reserve"
            } else {
                "SHORT"
            }
            .to_owned(),
        ),
        Cell::Qty(line.need, unit.clone()),
        Cell::Qty(short.reserved, unit.clone()),
        Cell::Qty(short.free, unit.clone()),
        Cell::Qty(short.dead.iter().map(|(_, qty, _)| *qty).sum(), unit),
        Cell::text(if orders.is_empty() {
            "nothing".to_owned()
        } else {
            orders.join("; ")
        }),
    ])
}

/// What lies there and cannot be taken.
fn reasons(stock: &Stock, short: &Short) -> Result<Vec<String>, Refusal> {
    let part = stock.part(stock.line(short.line)?.part)?;
    let mut reasons = Vec::new();
    for (lot, qty, last) in &short.dead {
        let number = &stock.lot(*lot)?.number;
        let qty = measured(*qty, part.unit);
        reasons.push(format!(
            "{}: {qty} of lot {number} on the shelf are dead by then ({last})",
            part.number
        ));
    }
    if short.on_hold.is_positive() {
        let qty = measured(short.on_hold, part.unit);
        reasons.push(format!("{}: {qty} on the shelf are on hold", part.number));
    }
    if short.receiving.is_positive() {
        let qty = measured(short.receiving, part.unit);
        reasons.push(format!("{}: {qty} in receiving, to be inspected", part.number));
    }
    Ok(reasons)
}
