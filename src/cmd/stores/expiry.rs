//! `expiry`: what dies on the shelf, when, and what it cost.

use super::as_of::{dead_on, past_day};
use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::stores::cold::{kept_cold, out_of_cold};
use crate::db::stores::lives::{lives, without_limit};
use crate::db::stores::stock::expiring;
use crate::domain::keeping::rule::valid_on;
use crate::domain::measure::Day;
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::{count, until};
use clap::Args;

/// What dies on the shelf within some days, and what is dead already
#[derive(Args, Debug)]
pub struct Ask {
    /// How many days to look ahead
    #[arg(long, value_name = "DAYS", default_value_t = 60, value_parser = clap::value_parser!(i64).range(0..=3660))]
    within: i64,
    /// How each last day was worked out
    #[arg(long)]
    how: bool,
    /// As it was at the end of this day, over or today
    #[arg(long, value_name = "DATE", conflicts_with = "how")]
    as_of: Option<String>,
}

/// Lists what dies.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.read(|scene| show(scene, ask))
}

fn show(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    if let Some(text) = &ask.as_of {
        let day = past_day(scene, text)?;
        return dead_on(scene, day, day.plus_days(ask.within).unwrap_or(day));
    }
    let day = scene.day.max(scene.today);
    let last = day.plus_days(ask.within).unwrap_or(day);
    let found = expiring(scene.books, last)?;
    let dead = found.iter().filter(|lying| !lying.1.lot.usable_on(day)).count();
    let mut headings = vec![
        ("part", "part"),
        ("lot", "lot"),
        ("bin", "bin"),
        ("qty", "there"),
        ("reserved", "reserved"),
        ("expiry", "last day"),
        ("state", "state"),
    ];
    headings.extend(ask.how.then_some(("how", "worked out")));
    let mut table = Table::new("dying", &headings).quantities(&["qty", "reserved"]);
    for (part, lying) in &found {
        let unit = part.unit.to_string();
        let mut row = vec![
            Cell::text(part.number.clone()),
            Cell::text(lying.lot.number.clone()),
            Cell::text(lying.place.code.clone()),
            Cell::Qty(lying.qty, unit.clone()),
            Cell::Qty(lying.position.reserved, unit),
            lying.lot.expiry.map_or(Cell::Empty, Cell::Day),
            Cell::Alert(match lying.lot.usable_on(day) {
                true => until(lying.lot.expiry, day),
                false => until(lying.lot.expiry, day).replace("expired", "EXPIRED"),
            }),
        ];
        let known = lying.lot.expiry_how.clone().unwrap_or_default();
        row.extend(ask.how.then(|| Cell::text(known)));
        table.row(row);
    }
    let dying = found.len() - dead;
    let answer = format!("{} dead on the shelf, {dying} more by {last}", count(dead, "lot"));
    let mut paper = scene.paper("expiry", answer);
    if !found.is_empty() {
        paper.tables.push(table);
    }
    if ask.how {
        by_rule(scene, day, &mut paper)?;
    }
    Ok(if dead > 0 {
        Done::no(paper)
    } else {
        Done::yes(paper)
    })
}

/// What lies there without a last day and who says so, and how long each family lasts by the table that holds.
fn by_rule(scene: &Scene<'_, '_>, day: Day, paper: &mut Paper) -> Result<(), Failure> {
    let headings = [
        ("part", "part"),
        ("lot", "lot"),
        ("bin", "bin"),
        ("qty", "there"),
        ("how", "why"),
    ];
    let mut lasting = Table::new("no limit", &headings).quantities(&["qty"]);
    for lot in without_limit(scene.books)? {
        lasting.row(vec![
            Cell::text(lot.part),
            Cell::text(lot.lot),
            Cell::text(lot.bin),
            Cell::Qty(lot.qty.0, lot.qty.1),
            Cell::text(lot.how),
        ]);
    }
    let headings = [
        ("family", "family"),
        ("life", "lasts"),
        ("source", "source"),
        ("issue", "issue"),
        ("from", "from"),
    ];
    let mut families = Table::new("lives in use", &headings);
    for (family, rules) in lives(scene.books)? {
        if let Some(rule) = valid_on(&rules, day) {
            families.row(vec![
                Cell::text(family),
                Cell::text(rule.length()),
                Cell::text(rule.source.clone()),
                Cell::text(rule.issue.clone()),
                Cell::Day(rule.from_day),
            ]);
        }
    }
    let headings = [("part", "part"), ("lot", "lot"), ("out", "out of the cold")];
    let mut cold = Table::new("kept cold", &headings);
    for (part, number, lot, lot_number) in kept_cold(scene.books)? {
        if let Some(out) = out_of_cold(scene.books, lot, part, &scene.at)? {
            cold.row(vec![
                Cell::text(number),
                Cell::text(lot_number),
                Cell::Alert(out.to_string()),
            ]);
        }
    }
    let tables = [lasting, families, cold].into_iter();
    paper.tables.extend(tables.filter(|table| !table.rows.is_empty()));
    Ok(())
}
