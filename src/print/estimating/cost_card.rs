//! The cost card of a job: each line in kit and on the engine, scrap apart, hours by the bill.

use crate::domain::estimating::cost::LineCost;
use crate::domain::kitting::job::{Job, Line};
use crate::domain::measure::{Currency, Money};
use crate::domain::stores::part::Part;
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::{printed, printed_sum};
use rust_decimal::Decimal;

/// What a job cost so far.
pub struct CostCard<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its lines with their parts and what they cost.
    pub lines: &'a [(Line, Part, LineCost)],
    /// The hours of its bill.
    pub hours: Decimal,
    /// What they come to; none where no rate holds.
    pub labour: Option<Money>,
    /// The base currency.
    pub currency: Currency,
}

/// The cost card.
pub fn cost_card(card: &CostCard<'_>, mut paper: Paper) -> Paper {
    let currency = card.currency;
    let sum = |pick: fn(&LineCost) -> Money| {
        printed_sum(card.lines.iter().map(|(_, _, cost)| pick(cost)), currency)
    };
    let (kit, engine, scrap) = (
        sum(|c| c.in_kit_value),
        sum(|c| c.on_engine_value),
        sum(|c| c.scrapped_value),
    );
    let parts = kit + engine + scrap;
    let labour = card.labour.map(|labour| printed(labour, currency));
    paper.answer = format!(
        "{} has taken {} {} of parts so far: {} in the kit, {} on the engine",
        name(card.job),
        parts.in_minor(currency),
        currency.code(),
        kit.in_minor(currency),
        engine.in_minor(currency)
    );
    paper.tables.push(lines_table(card));
    let mut totals = Table::new("together", &[("what", "what"), ("amount", "amount")]).amounts(&["amount"]);
    for (what, amount) in [
        ("in the kit", kit),
        ("on the engine", engine),
        ("scrapped from it", scrap),
    ] {
        totals.row(vec![Cell::text(what), Cell::Money(amount, currency)]);
    }
    if let Some(labour) = labour {
        let what = format!("{} h by the bill", card.hours.normalize());
        totals.row(vec![Cell::text(what), Cell::Money(labour, currency)]);
        totals.row(vec![
            Cell::text("together"),
            Cell::Money(parts + labour, currency),
        ]);
    } else {
        paper
            .notes
            .push("no labour rate holds on the day, so the hours have no price".to_owned());
    }
    paper.tables.push(totals);
    paper
}

fn name(job: &Job) -> String {
    job.tag
        .as_ref()
        .map_or(job.number.clone(), |tag| format!("{} ({tag})", job.number))
}

/// A line of the card for every line of the job that took anything.
fn lines_table(card: &CostCard<'_>) -> Table {
    let mut table = Table::new(
        "lines",
        &[
            ("n", "line"),
            ("part", "part"),
            ("in_kit", "in the kit"),
            ("on_engine", "on the engine"),
            ("scrapped", "scrapped"),
            ("cost", "cost"),
        ],
    )
    .quantities(&["in_kit", "on_engine", "scrapped"])
    .amounts(&["cost"]);
    for (line, part, cost) in card
        .lines
        .iter()
        .filter(|(_, _, cost)| *cost != LineCost::default())
    {
        let unit = part.unit.to_string();
        let parts = printed_sum(
            [cost.in_kit_value, cost.on_engine_value, cost.scrapped_value].into_iter(),
            card.currency,
        );
        table.row(vec![
            Cell::Count(line.n),
            Cell::text(part.number.clone()),
            Cell::Qty(cost.in_kit, unit.clone()),
            Cell::Qty(cost.on_engine, unit.clone()),
            Cell::Qty(cost.scrapped, unit),
            Cell::Money(parts, card.currency),
        ]);
    }
    table
}
