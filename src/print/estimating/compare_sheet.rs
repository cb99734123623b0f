//! The comparison of a conversion's routes: parts, hours, money and the ratio each reaches, side by side.

use crate::domain::estimating::compression::{PISTON_CAUTIONS, SPACER_CAUTIONS, SpacerChoice};
use crate::domain::estimating::cost::paid_for;
use crate::domain::estimating::price::extended;
use crate::domain::estimating::route::{Means, PricedRoute};
use crate::domain::estimating::start::Ready;
use crate::domain::measure::rounding::{Rule, round};
use crate::domain::measure::{Currency, Day, Money, Qty};
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::{no_rate, price_basis, printed, printed_sum};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// What a comparison is of.
pub struct Compared<'a> {
    /// The conversion's part number.
    pub conversion: &'a str,
    /// The engine model's number.
    pub model: &'a str,
    /// Its ratio as built.
    pub ratio_before: Decimal,
    /// Where the bill's data come from.
    pub data_source: &'a str,
    /// The routes, one for each way to choose.
    pub routes: &'a [PricedRoute],
    /// The base currency.
    pub currency: Currency,
    /// The highest ratio that the bill's data allow, where they were put into the books.
    pub limit: Option<Decimal>,
    /// The day it is asked on.
    pub day: Day,
}

/// The stocked spacer that keeps a ratio.
pub struct Thick {
    /// The ratio not to be passed.
    pub limit: Decimal,
    /// The spacer's part number.
    pub part: String,
    /// Its size and what it gives.
    pub choice: SpacerChoice,
    /// How many are free.
    pub free: Qty,
    /// How many one engine needs.
    pub need: Qty,
}

/// "under 7:1 needs 3.000 mm: SP-30, 3 mm, gives 7.00:1; 12 free, 4 needed".
pub fn thickness_answer(thick: &Thick) -> String {
    let wanted = round(thick.choice.wanted_mm, Decimal::new(1, 3), Rule::Up);
    format!(
        "{}:1 needs {wanted} mm: {} of {} mm gives {}:1; {} free, {} needed",
        thick.limit.normalize(),
        thick.part,
        thick.choice.thickness_mm.normalize(),
        shown(thick.choice.ratio.figure()),
        thick.free,
        thick.need
    )
}

/// A ratio as it is shown: two decimals, half away from zero.
fn shown(ratio: Decimal) -> Decimal {
    round(ratio, Decimal::new(1, 2), Rule::HalfAway)
}

/// What a route comes to as printed: parts, labour, together.
fn printed_totals(route: &PricedRoute, currency: Currency) -> (Money, Money, Money) {
    let parts = printed_sum(route.lines.iter().filter_map(|line| line.cost), currency);
    let labour = printed(route.labour(), currency);
    (parts, labour, parts + labour)
}

/// The routes side by side, then what only one of them needs.
pub fn compare_sheet(compared: &Compared<'_>, mut paper: Paper) -> Paper {
    let currency = compared.currency;
    let mut by_price: Vec<(&PricedRoute, Money)> = compared
        .routes
        .iter()
        .map(|route| (route, printed_totals(route, currency).2))
        .collect();
    by_price.sort_by_key(|(_, together)| *together);
    paper.answer = answer(compared, &by_price);
    paper.tables.push(routes_table(compared, &by_price));
    paper.tables.push(differences(compared));
    for (route, _) in &by_price {
        price_notes(route, currency, &mut paper);
        if route.reached.ratio.is_none() {
            paper.notes.push(format!(
                "{}: the ratio is not known, no part of it has a size that tells",
                route.choice
            ));
        }
    }
    paper.notes.push(format!(
        "{} as built {}:1",
        compared.model,
        shown(compared.ratio_before)
    ));
    paper.notes.push(limit_note(compared));
    for (route, _) in &by_price {
        paper.notes.push(start_note(route, compared.day));
    }
    for (route, _) in &by_price {
        let (by, cautions): (&str, &[&str]) = match &route.reached.means {
            Means::Spacer { part, .. } => (part, SPACER_CAUTIONS),
            Means::Piston { part } => (part, PISTON_CAUTIONS),
            Means::Unknown => continue,
        };
        paper
            .cautions
            .extend(cautions.iter().map(|caution| format!("{by}: {caution}")));
    }
    paper
}

/// Parts without a price or a rate, and parts that a job pays by the whole pack although they are compared by use.
fn price_notes(route: &PricedRoute, currency: Currency, paper: &mut Paper) {
    for line in &route.lines {
        let (choice, part) = (&route.choice, &line.part.number);
        let without = no_rate(&line.without_rate);
        let paid = paid_for(&line.part, line.need);
        if line.cost.is_none() && without.is_empty() {
            paper.notes.push(format!("{choice}: no price holds for {part}"));
        } else if line.cost.is_none() {
            paper
                .notes
                .push(format!("{choice}: no price holds for {part}, {without}"));
        } else if !without.is_empty() {
            paper.notes.push(format!(
                "{choice}: {part} has a price that was left out, {without}"
            ));
        }
        if let Some(price) = line.price.as_ref().filter(|_| paid != line.need) {
            paper.notes.push(format!(
                "{choice}: {part} by use, {} {unit}; a job pays the whole {paid} {unit}, {} {currency} more",
                line.need,
                extended(paid - line.need, price.amount).in_minor(currency),
                unit = line.part.unit
            ));
        }
    }
}

/// The limit with its source, or that none is given.
fn limit_note(compared: &Compared<'_>) -> String {
    let rules = "this sheet computes, it does not approve";
    match compared.limit {
        Some(limit) => format!(
            "limit {} from {}; {rules}",
            limit.normalize(),
            compared.data_source
        ),
        None => format!("limit NOT GIVEN: {} rules; {rules}", compared.data_source),
    }
}

/// What a route's start waits for.
fn start_note(route: &PricedRoute, today: Day) -> String {
    let waits: Vec<String> = route
        .waits_for(today)
        .into_iter()
        .map(|line| match &line.ready {
            Ready::From(_, by) => format!("{} ({by})", line.part.number),
            _ => line.part.number.clone(),
        })
        .collect();
    match route.start(today) {
        Some(day) if day == today => format!("{}: every part is free today", route.choice),
        Some(day) => format!("{}: from {day}, waiting for {}", route.choice, waits.join(", ")),
        None => format!(
            "{}: no start known, nothing on order or with a lead time for {}",
            route.choice,
            waits.join(", ")
        ),
    }
}

/// How much sooner the first may start than the last.
fn apart(first: Option<Day>, last: Option<Day>) -> String {
    let Some((first, last)) = first.zip(last) else {
        return "start not known".to_owned();
    };
    let days = first.days_until(last);
    let tenths = round(
        Decimal::from(days.abs()) / Decimal::from(7),
        Decimal::new(1, 1),
        Rule::HalfAway,
    );
    match days {
        0 => "same start".to_owned(),
        1.. => format!("{} weeks sooner", tenths.normalize()),
        _ => format!("{} weeks later", tenths.normalize()),
    }
}

/// How many hours fewer or more.
fn hours_apart(first: Decimal, last: Decimal) -> String {
    let more = first - last;
    if more.is_sign_positive() && !more.is_zero() {
        format!("{} h more", more.normalize())
    } else {
        format!("{} h less", (-more).normalize())
    }
}

/// The cheapest and by how much in money, hours and weeks, with the ratio of each.
fn answer(compared: &Compared<'_>, by_price: &[(&PricedRoute, Money)]) -> String {
    let name = |route: &PricedRoute| {
        route
            .choice
            .split('=')
            .next_back()
            .unwrap_or(&route.choice)
            .to_owned()
    };
    let ratio = |route: &PricedRoute| {
        route
            .reached
            .ratio
            .map_or("?".to_owned(), |ratio| format!("{}:1", shown(ratio)))
    };
    let code = compared.currency.code();
    match by_price {
        [] => format!("{} has no route to price", compared.conversion),
        [(only, sum)] => {
            format!(
                "{}: {} {code}, {}",
                name(only),
                sum.in_minor(compared.currency),
                ratio(only)
            )
        }
        [(first, low), .., (last, high)] => format!(
            "{} {} {code} less, {}, {}; {}, {} {}",
            name(first),
            (*high - *low).in_minor(compared.currency),
            hours_apart(first.hours, last.hours),
            apart(first.start(compared.day), last.start(compared.day)),
            ratio(first),
            name(last),
            ratio(last),
        ),
    }
}

/// A line a route.
fn routes_table(compared: &Compared<'_>, by_price: &[(&PricedRoute, Money)]) -> Table {
    let mut table = Table::new(
        format!("routes of {}", compared.conversion),
        &[
            ("route", "route"),
            ("parts", "parts"),
            ("hours", "hours"),
            ("labour", "labour"),
            ("together", "together"),
            ("ratio", "ratio"),
            ("start", "start"),
        ],
    )
    .amounts(&["parts", "labour", "together"]);
    for (route, _) in by_price {
        let (parts, labour, together) = printed_totals(route, compared.currency);
        let money = |amount: Money| Cell::Money(amount, compared.currency);
        table.row(vec![
            Cell::text(route.choice.clone()),
            money(parts),
            Cell::Number(route.hours.normalize()),
            money(labour),
            money(together),
            route
                .reached
                .ratio
                .map_or(Cell::Alert("NOT KNOWN".to_owned()), |ratio| {
                    Cell::Number(shown(ratio))
                }),
            route
                .start(compared.day)
                .map_or(Cell::Alert("NOT KNOWN".to_owned()), Cell::Day),
        ]);
    }
    table
}

/// What the routes do not share, the dearest first: each part with its need and cost on the route that wants it.
fn differences(compared: &Compared<'_>) -> Table {
    let mut needs: BTreeMap<&str, Vec<Option<Qty>>> = BTreeMap::new();
    for (at, route) in compared.routes.iter().enumerate() {
        for line in &route.lines {
            let row = needs
                .entry(&line.part.number)
                .or_insert_with(|| vec![None; compared.routes.len()]);
            if let Some(need) = row.get_mut(at) {
                *need = Some(line.need);
            }
        }
    }
    let mut table = Table::new(
        "what the routes do not share",
        &[
            ("route", "route"),
            ("part", "part"),
            ("name", "name"),
            ("need", "need"),
            ("cost", "cost"),
            ("basis", "price"),
        ],
    )
    .spare(&["name"])
    .quantities(&["need"])
    .amounts(&["cost"]);
    let all = compared
        .routes
        .iter()
        .flat_map(|route| route.lines.iter().map(move |line| (route, line)));
    let mut all: Vec<_> = all.collect();
    // What has no price may drive the difference more than anything, so it stands first.
    all.sort_by_key(|(_, line)| std::cmp::Reverse(line.cost.unwrap_or(Money::from_millionths(i64::MAX))));
    for (route, line) in all {
        let shared = needs
            .get(line.part.number.as_str())
            .is_some_and(|row| row.iter().all(|n| *n == Some(line.need)));
        if !shared {
            table.row(vec![
                Cell::text(route.choice.clone()),
                Cell::text(line.part.number.clone()),
                Cell::text(line.part.name.clone()),
                Cell::Qty(line.need, line.part.unit.to_string()),
                line.cost.map_or(Cell::Alert("NO PRICE".to_owned()), |cost| {
                    Cell::Money(cost, compared.currency)
                }),
                Cell::text(
                    line.price
                        .as_ref()
                        .map_or(String::new(), |price| price_basis(price, line.part.unit)),
                ),
            ]);
        }
    }
    table
}
