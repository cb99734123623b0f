//! What is promised: claims held against lots, job lines and order lines, and each against the rules that it must keep.

use super::Report;
use super::cells::{amount, whole};
use super::facts::{Facts, every};
use super::sums::{On, Sums};
use crate::db::books::Open;
use crate::db::error::Error;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Claims added up three ways.
#[derive(Default)]
struct Promised {
    lots: HashMap<i64, i128>,
    orders: HashMap<i64, i128>,
    /// By job line: of stock, of orders.
    lines: HashMap<i64, (i128, i128)>,
}

/// Holds everything that is promised against the sums.
pub(super) fn compare(
    books: &Open<'_>,
    facts: &Facts,
    sums: &Sums,
    report: &mut Report<'_, '_>,
) -> Result<(), Error> {
    let mut promised = Promised::default();
    let mut standing = BTreeMap::new();
    for ((line, on), qty) in &sums.claims {
        let of_line = promised.lines.entry(*line).or_default();
        match on {
            On::Lot(lot) => {
                of_line.0 += qty;
                *promised.lots.entry(*lot).or_default() += qty;
            }
            On::Order(order) => {
                of_line.1 += qty;
                *promised.orders.entry(*order).or_default() += qty;
            }
        }
        if *qty != 0 {
            standing.insert((*line, *on), *qty);
        }
    }
    for ((line, on), qty) in standing {
        one_claim(facts, line, on, qty, report);
    }
    nobody(facts, sums, &promised, report);
    positions(books, &promised, report)?;
    job_lines(books, facts, sums, &promised, report)?;
    order_lines(books, sums, &promised, report)?;
    lists(books, sums, report)
}

fn about(report: &Report<'_, '_>, line: i64, on: On) -> String {
    let source = match on {
        On::Lot(lot) => report.names.lot(lot),
        On::Order(order) => report.names.order_line(order),
    };
    format!("{source} for {}", report.names.line(line))
}

/// The rules of one claim that stands.
fn one_claim(facts: &Facts, line: i64, on: On, qty: i128, report: &mut Report<'_, '_>) {
    if qty < 0 {
        report.add(
            "I7 pair below zero",
            about(report, line, on),
            "nothing below nothing",
            amount(qty),
        );
        return;
    }
    match on {
        On::Lot(lot) => claim_on_lot(facts, line, lot, qty, report),
        On::Order(order) => {
            let part = facts
                .order_parts
                .get(&order)
                .and_then(|part| facts.parts.get(part));
            let unit = part.and_then(|part| part.hand_out).map(i128::from);
            if let Some(unit) = unit.filter(|unit| qty % unit != 0) {
                let should_be = format!("whole ones of {}", amount(unit));
                report.add(
                    "I22 peg in whole units",
                    about(report, line, on),
                    should_be,
                    amount(qty),
                );
            }
        }
    }
}

fn claim_on_lot(facts: &Facts, line: i64, id: i64, qty: i128, report: &mut Report<'_, '_>) {
    let (Some(lot), Some(wanted)) = (facts.lots.get(&id), facts.lines.get(&line)) else {
        return;
    };
    let mut add = |invariant, should_be: String, is: String| {
        let about = about(report, line, On::Lot(id));
        report.add(invariant, about, should_be, is);
    };
    let use_day = facts.job_of(line).and_then(|(_, job)| job.use_day);
    if let (Some(expiry), Some(use_day)) = (lot.expiry, use_day)
        && expiry < use_day
    {
        add(
            "I17 claim dead on the day",
            format!("good on {use_day}"),
            format!("good until {expiry}"),
        );
    }
    if facts.strange_to(lot, line) {
        let (should_be, is) = ("ours, or the customer's of the job", "another customer's");
        add("I18 claim by a stranger", should_be.to_owned(), is.to_owned());
    }
    let allowed = format!(",{},", lot.condition);
    if !wanted.allows.contains(&allowed) {
        let allows = wanted.allows.trim_matches(',').replace(',', " or ");
        add("I21 condition", allows, lot.condition.clone());
    }
    if wanted.part != lot.part {
        let (should_be, is) = ("the part of the line", "another part");
        add("I21 wrong part", should_be.to_owned(), is.to_owned());
    }
    if let Some(unit) = facts.hand_out(lot).filter(|unit| qty % unit != 0) {
        add(
            "I22 claim in whole units",
            format!("whole ones of {}", amount(unit)),
            amount(qty),
        );
    }
}

/// Lines that bin cards and claims name and that nobody made.
fn nobody(facts: &Facts, sums: &Sums, promised: &Promised, report: &mut Report<'_, '_>) {
    let named = sums.lines.keys().chain(promised.lines.keys());
    let unknown: BTreeSet<i64> = named
        .filter(|line| !facts.lines.contains_key(line))
        .copied()
        .collect();
    for line in unknown {
        report.add(
            "I9 line",
            report.names.line(line),
            "a line of a job",
            "no such line",
        );
    }
    let named = sums.orders.keys().chain(promised.orders.keys());
    let unknown: BTreeSet<i64> = named
        .filter(|line| !facts.order_parts.contains_key(line))
        .copied()
        .collect();
    for line in unknown {
        report.add(
            "I10 supply",
            report.names.order_line(line),
            "a line of an order",
            "no such line",
        );
    }
}

/// What is reserved of each lot.
fn positions(books: &Open<'_>, promised: &Promised, report: &mut Report<'_, '_>) -> Result<(), Error> {
    every(books, "SELECT lot, reserved, pickable FROM lot_position", |row| {
        let (lot, pickable) = (whole(row, 0)?, i128::from(whole(row, 2)?));
        let reserved = i128::from(whole(row, 1)?);
        let wanted = promised.lots.get(&lot).copied().unwrap_or(0);
        if reserved != wanted {
            report.add(
                "I7 reserved",
                report.names.lot(lot),
                amount(wanted),
                amount(reserved),
            );
        }
        if reserved < 0 || reserved > pickable {
            let should_be = format!("from 0 to {}", amount(pickable));
            report.add(
                "I7 over-reserved",
                report.names.lot(lot),
                should_be,
                amount(reserved),
            );
        }
        Ok(())
    })
}

/// The counters of each job line, and the most that may stand on it.
fn job_lines(
    books: &Open<'_>,
    facts: &Facts,
    sums: &Sums,
    promised: &Promised,
    report: &mut Report<'_, '_>,
) -> Result<(), Error> {
    let sql = "SELECT id, need, most, reserved, pegged, kitted, fitted FROM job_line";
    every(books, sql, |row| {
        let id = whole(row, 0)?;
        let at = |at| whole(row, at).map(i128::from);
        let (need, most) = (at(1)?, at(2)?);
        let kept = [at(3)?, at(4)?, at(5)?, at(6)?];
        let (reserved, pegged) = promised.lines.get(&id).copied().unwrap_or_default();
        let (kitted, fitted) = sums.lines.get(&id).copied().unwrap_or_default();
        let wanted = [reserved, pegged, kitted, fitted];
        if kept != wanted {
            let counters = |[reserved, pegged, kitted, fitted]: [i128; 4]| {
                let (reserved, pegged) = (amount(reserved), amount(pegged));
                let (kitted, fitted) = (amount(kitted), amount(fitted));
                format!("{reserved} reserved, {pegged} on order, {kitted} in the kit, {fitted} fitted")
            };
            report.add("I9 line", report.names.line(id), counters(wanted), counters(kept));
        }
        let [reserved, pegged, _, _] = kept;
        let stands: i128 = kept.iter().sum();
        if reserved + pegged > 0 && stands > most {
            let should_be = format!("at most {}", amount(most));
            report.add("I9 line over", report.names.line(id), should_be, amount(stands));
        }
        let part = facts.lines.get(&id).and_then(|line| facts.parts.get(&line.part));
        let over = part.and_then(|part| part.hand_out).filter(|_| need > 0);
        let bound = need + over.map_or(0, |unit| i128::from(unit) - 1);
        if most != bound {
            report.add("I22 most", report.names.line(id), amount(bound), amount(most));
        }
        Ok(())
    })
}

/// The counters of each order line.
fn order_lines(
    books: &Open<'_>,
    sums: &Sums,
    promised: &Promised,
    report: &mut Report<'_, '_>,
) -> Result<(), Error> {
    let sql = "SELECT id, ordered, closed, arrived, accepted, pegged FROM order_line";
    every(books, sql, |row| {
        let id = whole(row, 0)?;
        let at = |at| whole(row, at).map(i128::from);
        let kept = [at(3)?, at(4)?, at(5)?];
        let (arrived, accepted) = sums.orders.get(&id).copied().unwrap_or_default();
        let pegged = promised.orders.get(&id).copied().unwrap_or(0);
        let wanted = [arrived, accepted, pegged];
        if kept != wanted {
            let counters = |[arrived, accepted, pegged]: [i128; 3]| {
                let (arrived, accepted, pegged) = (amount(arrived), amount(accepted), amount(pegged));
                format!("{arrived} arrived, {accepted} accepted, {pegged} promised")
            };
            report.add(
                "I10 supply",
                report.names.order_line(id),
                counters(wanted),
                counters(kept),
            );
        }
        let [_, accepted, pegged] = kept;
        let coming = at(1)? - at(2)? - accepted;
        if pegged > 0 && pegged > coming {
            let should_be = format!("at most the {} still to come", amount(coming));
            report.add(
                "I10 supply over",
                report.names.order_line(id),
                should_be,
                amount(pegged),
            );
        }
        Ok(())
    })
}

/// The number of each job's list.
fn lists(books: &Open<'_>, sums: &Sums, report: &mut Report<'_, '_>) -> Result<(), Error> {
    every(books, "SELECT id, list FROM job", |row| {
        let (id, list) = (whole(row, 0)?, whole(row, 1)?);
        let wanted = 1 + sums.raised.get(&id).copied().unwrap_or(0);
        if list != wanted {
            let said = |list: i64| format!("list {list}");
            report.add("I23 list", report.names.job(id), said(wanted), said(list));
        }
        Ok(())
    })
}
