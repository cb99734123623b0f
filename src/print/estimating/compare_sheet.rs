//! The comparison of a conversion's routes: parts, hours, money and the ratio each reaches, side by side.

use crate::domain::estimating::compression::{PISTON_CAUTIONS, SPACER_CAUTIONS};
use crate::domain::estimating::route::{Means, PricedRoute};
use crate::domain::measure::rounding::{Rule, round};
use crate::domain::measure::{Currency, Money, Qty};
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::{printed, printed_sum};
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
        for line in route.unpriced() {
            paper.notes.push(format!(
                "{}: no price holds for {}",
                route.choice, line.part.number
            ));
        }
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
    paper.notes.push(format!(
        "limit NOT GIVEN: {} rules; this sheet computes, it does not approve",
        compared.data_source
    ));
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

/// The cheapest and by how much, with the ratio of each.
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
            "{} {} at {}, {} {} at {}: {} {code} between them",
            name(first),
            low.in_minor(compared.currency),
            ratio(first),
            name(last),
            high.in_minor(compared.currency),
            ratio(last),
            (*high - *low).in_minor(compared.currency),
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
        ]);
    }
    table
}

/// What the routes do not share: each part with its need and cost on the route that wants it.
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
        ],
    )
    .spare(&["name"])
    .quantities(&["need"])
    .amounts(&["cost"]);
    for route in compared.routes {
        for line in &route.lines {
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
                ]);
            }
        }
    }
    table
}
