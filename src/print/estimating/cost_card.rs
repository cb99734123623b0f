//! The cost card of a job: each line in kit and on the engine, scrap apart, hours by the bill.

use crate::domain::estimating::cost::{LineCost, StillToTake};
use crate::domain::kitting::job::{Job, Line};
use crate::domain::measure::{Currency, Money};
use crate::domain::stores::part::Part;
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::{count, measured, no_rate, price_basis, printed, printed_sum};
use rust_decimal::Decimal;

/// What a job cost so far.
pub struct CostCard<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its lines with their parts and what they cost.
    pub lines: &'a [(Line, Part, LineCost)],
    /// What its lines have still to take: number, part, how much and at which price.
    pub still: &'a [(i64, Part, StillToTake)],
    /// The hours of its bill.
    pub hours: Decimal,
    /// What an hour costs on the day; none where no rate holds.
    pub rate: Option<Money>,
    /// What the hours come to; none where no rate holds.
    pub labour: Option<Money>,
    /// The base currency.
    pub currency: Currency,
    /// By which method the books value what leaves the shelf.
    pub method: &'a str,
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
    let still = printed_sum(card.still.iter().filter_map(|(_, _, more)| more.cost), currency);
    let labour = card.labour.map(|labour| printed(labour, currency));
    paper.answer = answer(card, parts, still, labour);
    paper.tables.push(lines_table(card));
    let rows = [
        ("in the kit".to_owned(), kit),
        ("on the engine".to_owned(), engine),
        ("scrapped from it".to_owned(), scrap),
    ];
    let hours = labour.map(|labour| {
        let what = format!("{} h by the bill", card.hours.normalize());
        (what, labour)
    });
    let more = [("still to take, at the prices of the day".to_owned(), still)];
    let mut totals = Table::new("together", &[("what", "what"), ("amount", "amount")]).amounts(&["amount"]);
    let together = parts + still + labour.unwrap_or(Money::ZERO);
    let last = [(format!("together{}", without(card)), together)];
    for (what, amount) in rows.into_iter().chain(hours).chain(more).chain(last) {
        totals.row(vec![Cell::text(what), Cell::Money(amount, currency)]);
    }
    paper.tables.push(totals);
    paper.tables.push(still_table(card));
    paper.notes.extend(bases(card));
    paper
}

/// What was taken, is still to take and the hours, together; what has no price is named as left out.
fn answer(card: &CostCard<'_>, parts: Money, still: Money, labour: Option<Money>) -> String {
    let currency = card.currency;
    let hours = labour.map_or("labour at no rate".to_owned(), |labour| {
        format!("labour {}", labour.in_minor(currency))
    });
    let together = parts + still + labour.unwrap_or(Money::ZERO);
    format!(
        "{} took {}, still {}, {hours}: {} {}{}",
        name(card.job),
        parts.in_minor(currency),
        still.in_minor(currency),
        together.in_minor(currency),
        currency.code(),
        without(card)
    )
}

/// " without 2 lines" where some have no price.
fn without(card: &CostCard<'_>) -> String {
    match card
        .still
        .iter()
        .filter(|(_, _, more)| more.cost.is_none())
        .count()
    {
        0 => String::new(),
        lines => format!(" without {}", count(lines, "line")),
    }
}

/// On which price each sum stands, and what has none.
fn bases(card: &CostCard<'_>) -> Vec<String> {
    let mut told = vec![format!(
        "what was taken stands at what the bin cards carry, valued by the method {}",
        card.method
    )];
    told.push(match card.rate {
        Some(rate) => format!(
            "an hour stands at {} {}",
            rate.in_minor(card.currency),
            card.currency.code()
        ),
        None => "no labour rate holds on the day, so the hours have no price".to_owned(),
    });
    for (line, part, cost) in card.lines {
        let over = cost.in_kit + cost.on_engine - line.need;
        if over.is_positive() && !part.whole_pack {
            told.push(format!(
                "line {}: {} of {} more than it needs stands on the job until it is put back",
                line.n,
                measured(over, part.unit),
                part.number
            ));
        }
    }
    for (n, part, more) in card.still {
        let Some(unit) = part.hand_out.filter(|unit| !part.whole_pack && more.qty < *unit) else {
            continue;
        };
        told.push(format!(
            "line {n}: {} of {} by use; unopened it goes out as {}, and what is left is put back",
            measured(more.qty, part.unit),
            part.number,
            measured(unit, part.unit)
        ));
    }
    for (n, part, more) in card.still.iter().filter(|(_, _, more)| more.cost.is_none()) {
        let without = match no_rate(&more.without_rate).as_str() {
            "" => String::new(),
            rate => format!(", {rate}"),
        };
        told.push(format!(
            "line {n}: no price holds for {}{without}; the total is without it",
            part.number
        ));
    }
    told
}

/// What is still to take, line by line with its price.
fn still_table(card: &CostCard<'_>) -> Table {
    let mut table = Table::new(
        "still to take",
        &[
            ("n", "line"),
            ("part", "part"),
            ("still", "still to take"),
            ("basis", "price"),
            ("cost", "cost"),
        ],
    )
    .quantities(&["still"])
    .amounts(&["cost"]);
    for (n, part, more) in card.still {
        table.row(vec![
            Cell::Count(*n),
            Cell::text(part.number.clone()),
            Cell::Qty(more.qty, part.unit.to_string()),
            Cell::text(basis(part, more)),
            more.cost.map_or(Cell::Alert("NO PRICE".to_owned()), |cost| {
                Cell::Money(cost, card.currency)
            }),
        ]);
    }
    table
}

/// `1.24 per ml from 2026-01-05, paid by the whole pack: 10 ml`.
fn basis(part: &Part, more: &StillToTake) -> String {
    let mut told = Vec::new();
    if more.his_own.is_positive() {
        told.push(format!("{} the customer's own", more.his_own));
    }
    if let Some(price) = more.price.as_ref().filter(|_| more.paid.is_positive()) {
        told.push(price_basis(price, part.unit));
    }
    if part.whole_pack && more.paid.is_positive() {
        told.push(format!("paid by the whole pack: {} {}", more.paid, part.unit));
    }
    told.join(", ")
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
