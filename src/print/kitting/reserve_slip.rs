//! What a reserving did: which lots, what is short, and which lots were passed over with the reason.

use crate::domain::kitting::reserve::{JOBS_NAMED, LineOutcome, PassedOver};
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::JobId;
use crate::domain::stores::stock::Stock;
use crate::print::cell::Cell;
use crate::print::kitting::job_sheet::called;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::{count, measured};
use std::collections::BTreeSet;

/// The slip; the facts are those from before the reserving.
pub fn reserve_slip(stock: &Stock, lines: &[LineOutcome], mut paper: Paper) -> Result<Paper, Refusal> {
    let reserved = lines.iter().filter(|line| !line.reserved.is_empty()).count();
    let short: Vec<&LineOutcome> = lines.iter().filter(|line| line.short.is_positive()).collect();
    paper.answer = match short.as_slice() {
        [] if lines.is_empty() => "nothing was short; every line has what it needs".to_owned(),
        [] => format!("{} reserved, nothing short", count(reserved, "line")),
        short => format!(
            "{} reserved, {} SHORT: {}",
            count(reserved, "line"),
            short.len(),
            named(stock, short)?
        ),
    };
    let mut table = Table::new(
        "reserved",
        &[
            ("job", "job"),
            ("n", "line"),
            ("part", "part"),
            ("lot", "lot"),
            ("qty", "reserved"),
            ("short", "short"),
            ("expiry", "last day"),
        ],
    )
    .quantities(&["qty", "short"]);
    for outcome in lines {
        let line = stock.line(outcome.line)?;
        let part = stock.part(line.part)?;
        let unit = part.unit.to_string();
        let mut row = |lot: &str, qty: Cell, short: Qty, expiry: Cell| -> Result<(), Refusal> {
            table.row(vec![
                Cell::text(called(stock.job(line.job)?)),
                Cell::Count(line.n),
                Cell::text(part.number.clone()),
                Cell::text(lot),
                qty,
                if short.is_positive() {
                    Cell::Qty(short, unit.clone())
                } else {
                    Cell::Empty
                },
                expiry,
            ]);
            Ok(())
        };
        let last = outcome.reserved.len().saturating_sub(1);
        for (at, (lot, qty)) in outcome.reserved.iter().enumerate() {
            let goods = stock.lot(*lot)?;
            let short = if at == last { outcome.short } else { Qty::ZERO };
            row(
                &goods.number,
                Cell::Qty(*qty, unit.clone()),
                short,
                goods.expiry.map_or(Cell::Empty, Cell::Day),
            )?;
        }
        if outcome.reserved.is_empty() {
            row("none", Cell::Empty, outcome.short, Cell::Empty)?;
        }
    }
    if !lines.is_empty() {
        paper.tables.push(table);
    }
    paper.notes.extend(passed_over(stock, lines)?);
    Ok(paper)
}

/// The first short lines by part.
fn named(stock: &Stock, short: &[&LineOutcome]) -> Result<String, Refusal> {
    let mut names = Vec::new();
    for outcome in short.iter().take(3) {
        let part = stock.part(stock.line(outcome.line)?.part)?;
        names.push(format!("{} {}", measured(outcome.short, part.unit), part.number));
    }
    if short.len() > 3 {
        names.push("…".to_owned());
    }
    Ok(names.join(", "))
}

/// Each lot that was passed over, once for each reason.
fn passed_over(stock: &Stock, lines: &[LineOutcome]) -> Result<Vec<String>, Refusal> {
    let mut told = BTreeSet::new();
    for outcome in lines {
        for (lot, why) in &outcome.passed_over {
            let goods = stock.lot(*lot)?;
            let part = &stock.part(goods.part)?.number;
            told.insert(match why {
                PassedOver::Dead { last, .. } if *last < stock.latest_day() => {
                    format!("{part} lot {} passed over: EXPIRED {last}", goods.number)
                }
                PassedOver::Dead { last, judged } => {
                    format!(
                        "{part} lot {} passed over: last day {last}, dead on the day of use {judged}",
                        goods.number
                    )
                }
                PassedOver::OnHold(causes) => {
                    format!(
                        "{part} lot {} passed over: ON HOLD, {}",
                        goods.number,
                        causes.join("; ")
                    )
                }
                PassedOver::Unfit(why) => format!("{part} passed over: {why}"),
                PassedOver::ReservedFor(jobs) => {
                    format!(
                        "{part} lot {}: reserved for {}",
                        goods.number,
                        jobs_named(stock, jobs)?
                    )
                }
                PassedOver::OnlyWhole(unit) => {
                    let unit = measured(*unit, stock.part(goods.part)?.unit);
                    format!(
                        "{part} lot {} passed over: it goes out in whole ones of {unit}",
                        goods.number
                    )
                }
            });
        }
    }
    Ok(told.into_iter().collect())
}

/// The first jobs by name, and that there are others.
fn jobs_named(stock: &Stock, jobs: &[JobId]) -> Result<String, Refusal> {
    let named = jobs.iter().take(JOBS_NAMED);
    let mut names = named
        .map(|job| stock.job(*job).map(called))
        .collect::<Result<Vec<String>, Refusal>>()?;
    if jobs.len() > JOBS_NAMED {
        names.push("others".to_owned());
    }
    Ok(names.join(", "))
}
