//! What the books say stands where, held against what the bin cards add up to: balances, positions, holds.

use super::Report;
use super::cells::{amount, whole};
use super::facts::{Facts, Lot, every};
use super::sums::{Balance, Sums};
use crate::db::books::Open;
use crate::db::error::Error;
use crate::domain::stores::ids::PlaceId;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Holds every balance, position and hold against the sums.
pub(super) fn compare(
    books: &Open<'_>,
    facts: &Facts,
    sums: &Sums,
    report: &mut Report<'_, '_>,
) -> Result<(), Error> {
    balances(books, facts, sums, report)?;
    lots(books, facts, sums, report)?;
    every(books, "SELECT id, held FROM place", |row| {
        let (id, held) = (whole(row, 0)?, whole(row, 1)?);
        let live = sums.held_places.get(&id).copied().unwrap_or(0);
        if held != live {
            let about = report.names.place(id);
            report.add("I8 held place", about, holds(live), holds(held));
        }
        Ok(())
    })
}

fn holds(live: i64) -> String {
    match live {
        1 => "1 live hold".to_owned(),
        other => format!("{other} live holds"),
    }
}

fn said(balance: &Balance) -> String {
    format!("{}, value {}", amount(balance.qty), amount(balance.value))
}

/// Every balance that the books keep, then those they should keep and do not.
fn balances(books: &Open<'_>, facts: &Facts, sums: &Sums, report: &mut Report<'_, '_>) -> Result<(), Error> {
    let mut seen = 0;
    let mut per_lot: HashMap<i64, i128> = HashMap::new();
    every(
        books,
        "SELECT lot, place, qty, value, whole FROM balance",
        |row| {
            let (lot, place) = (whole(row, 0)?, whole(row, 1)?);
            let kept = Balance {
                qty: whole(row, 2)?.into(),
                value: whole(row, 3)?.into(),
                born: false,
            };
            *per_lot.entry(lot).or_default() += kept.qty;
            let counted = sums.balances.get(&(lot, place));
            seen += usize::from(counted.is_some());
            one_balance(facts, (lot, place), &kept, counted, report);
            let known = facts.lots.get(&lot);
            if let Some(known) = known.filter(|known| known.size.is_some() != (whole(row, 4) != Ok(0))) {
                let about = report.names.lot_at(lot, place);
                let said = |whole: bool| {
                    if whole {
                        "marked as moving whole"
                    } else {
                        "not marked as moving whole"
                    }
                };
                report.add(
                    "I5 whole",
                    about,
                    said(known.size.is_some()),
                    said(known.size.is_none()),
                );
            }
            Ok(())
        },
    )?;
    if seen < sums.balances.len() {
        missing(books, sums, report)?;
    }
    let uneven: BTreeMap<_, _> = per_lot.into_iter().filter(|(_, sum)| *sum != 0).collect();
    for (lot, sum) in uneven {
        report.add(
            "I1 lot sum",
            report.names.lot(lot),
            "0 over all places",
            amount(sum),
        );
    }
    Ok(())
}

/// The rules of one balance.
fn one_balance(
    facts: &Facts,
    (lot, place): (i64, i64),
    kept: &Balance,
    counted: Option<&Balance>,
    report: &mut Report<'_, '_>,
) {
    let wanted = counted.copied().unwrap_or_default();
    let about = |report: &Report<'_, '_>| report.names.lot_at(lot, place);
    if (kept.qty, kept.value) != (wanted.qty, wanted.value) {
        report.add("I2 balance qty/value", about(report), said(&wanted), said(kept));
    }
    let bare = kept.qty == 0 && kept.value != 0;
    if !PlaceId(place).may_be_owed() && (kept.qty < 0 || kept.value < 0 || bare) {
        let should_be = "nothing below nothing, and no value without goods";
        report.add("I3 below zero", about(report), should_be, said(kept));
    }
    if kept.qty < 0 && !wanted.born {
        let should_be = "nothing owed where none of it was born";
        report.add("I4 where it was not", about(report), should_be, said(kept));
    }
    let Some(known) = facts.lots.get(&lot) else { return };
    if let Some(size) = known.size.map(i128::from)
        && ![0, size, -size].contains(&kept.qty)
    {
        let should_be = format!("all {} or none", amount(size));
        report.add("I5 whole", about(report), should_be, amount(kept.qty));
    }
    if known.owner.is_some() && kept.value != 0 && !PlaceId(place).may_be_owed() {
        let should_be = "no value, for it is not ours";
        report.add(
            "I15 owned and valued",
            about(report),
            should_be,
            amount(kept.value),
        );
    }
}

/// Balances that the bin cards add up to and the books do not keep.
fn missing(books: &Open<'_>, sums: &Sums, report: &mut Report<'_, '_>) -> Result<(), Error> {
    let mut kept = BTreeSet::new();
    every(books, "SELECT lot, place FROM balance", |row| {
        kept.insert((whole(row, 0)?, whole(row, 1)?));
        Ok(())
    })?;
    let lost: BTreeMap<_, _> = sums
        .balances
        .iter()
        .filter(|(key, _)| !kept.contains(key))
        .collect();
    for ((lot, place), wanted) in lost {
        let about = report.names.lot_at(*lot, *place);
        report.add("I2 balance qty/value", about, said(wanted), "no balance");
    }
    Ok(())
}

/// What of each lot is pickable, and in how many places a whole one stands.
#[derive(Default)]
struct Standing {
    pickable: i128,
    places: i64,
}

/// Every position of a lot, and that a serial or set stands in one place.
fn lots(books: &Open<'_>, facts: &Facts, sums: &Sums, report: &mut Report<'_, '_>) -> Result<(), Error> {
    let mut standing: HashMap<i64, Standing> = HashMap::new();
    for ((lot, place), balance) in &sums.balances {
        let stands = standing.entry(*lot).or_default();
        if PlaceId(*place).pickable() && sums.held_places.get(place).is_none_or(|holds| *holds == 0) {
            stands.pickable += balance.qty;
        }
        stands.places += i64::from(balance.qty > 0);
    }
    let mut kept = BTreeSet::new();
    every(books, "SELECT lot, pickable, held FROM lot_position", |row| {
        let (lot, held) = (whole(row, 0)?, whole(row, 2)?);
        kept.insert(lot);
        let live = sums.held_lots.get(&lot).copied().unwrap_or(0);
        let pickable = match standing.get(&lot) {
            Some(stands) if live == 0 => stands.pickable,
            _ => 0,
        };
        if i128::from(whole(row, 1)?) != pickable {
            let (about, is) = (report.names.lot(lot), amount(whole(row, 1)?.into()));
            report.add("I6 pickable", about, amount(pickable), is);
        }
        if held != live {
            report.add("I8 held lot", report.names.lot(lot), holds(live), holds(held));
        }
        Ok(())
    })?;
    let mut whole_lots: Vec<(&i64, &Lot)> = facts.lots.iter().collect();
    whole_lots.sort_by_key(|(id, _)| **id);
    for (id, lot) in whole_lots {
        if !kept.contains(id) {
            report.add("I6 pickable", report.names.lot(*id), "a position", "none");
        }
        let places = standing.get(id).map_or(0, |stands| stands.places);
        if lot.size.is_some() && places > 1 {
            let is = format!("in {places} places");
            report.add("I5 two places", report.names.lot(*id), "in one place", is);
        }
    }
    Ok(())
}
