//! Makings: what went in is the parent of what came out, value goes through, and no child is better than its parents.

use super::Report;
use super::cells::{amount, maybe_text, maybe_whole, whole};
use super::documents::{Document, head};
use super::facts::{Facts, Lot};
use super::sums::{Entry, Sums, is};
use crate::db::error::Error;
use crate::domain::stores::law::{Kind, Movement};
use std::collections::BTreeSet;

/// What a document carried into making and out of it.
#[derive(Default)]
struct Made {
    into: BTreeSet<i64>,
    out: BTreeSet<i64>,
    /// What came out by opening or making up, whose parents are what went in.
    born: BTreeSet<i64>,
    value: i128,
}

/// Judges the makings of a document, and the lots that it made of others.
pub(super) fn judge(
    facts: &Facts,
    sums: &Sums,
    document: &Document,
    report: &mut Report<'_, '_>,
) -> Result<(), Error> {
    let mut made = Made::default();
    for row in document.rows("entry") {
        let entry = Entry::of(row)?;
        if is(entry.to, Kind::Making) {
            made.into.insert(entry.lot);
            made.value += entry.value;
        }
        if is(entry.from, Kind::Making) {
            made.out.insert(entry.lot);
            made.value -= entry.value;
            if entry.is(Movement::Open) || entry.is(Movement::MakeUp) {
                made.born.insert(entry.lot);
            }
        }
    }
    if made.value != 0 {
        let about = report.names.document(document.id);
        report.add(
            "I13 making",
            about,
            "as much value out as in",
            format!("{} kept", amount(made.value)),
        );
    }
    parents_of_born(facts, document, &made, report);
    for row in document.rows("lot") {
        let child = whole(row, 0)?;
        for parent in facts.parents.get(&child).into_iter().flatten() {
            if !made.out.contains(&child) || !made.into.contains(parent) {
                let about = report.names.entry(document.id, child);
                let should_be = format!("made there of {}", report.names.lot(*parent));
                report.add("I25 no making", about, should_be, "not made there of it");
            }
            escapes(sums, document, child, *parent, report)?;
            keeps_owner(facts, document, child, *parent, report)?;
        }
    }
    Ok(())
}

/// Everything that came out has everything that went in as its parents.
fn parents_of_born(facts: &Facts, document: &Document, made: &Made, report: &mut Report<'_, '_>) {
    for child in &made.born {
        let parents = facts.parents.get(child).map(Vec::as_slice).unwrap_or_default();
        for parent in made.into.iter().filter(|parent| !parents.contains(parent)) {
            let about = report.names.entry(document.id, *child);
            let should_be = format!("a child of {}", report.names.lot(*parent));
            report.add("I25 parents", about, should_be, "none of its children");
        }
    }
}

/// A child takes each live hold of its parents in the document that makes it.
fn escapes(
    sums: &Sums,
    document: &Document,
    child: i64,
    parent: i64,
    report: &mut Report<'_, '_>,
) -> Result<(), Error> {
    if sums.held_lots.get(&parent).is_none_or(|holds| *holds <= 0) {
        return Ok(());
    }
    for row in document.rows("hold") {
        if maybe_whole(row, 2)? == Some(child) && maybe_whole(row, 5)?.is_none() {
            return Ok(());
        }
    }
    let about = report.names.entry(document.id, child);
    let should_be = format!("on hold like {}", report.names.lot(parent));
    report.add("I26 child escapes a hold", about, should_be, "not on hold");
    Ok(())
}

/// A customer's lot becomes nobody else's but by his word.
fn keeps_owner(
    facts: &Facts,
    document: &Document,
    child: i64,
    parent: i64,
    report: &mut Report<'_, '_>,
) -> Result<(), Error> {
    let Some((young, old)) = pair(facts, child, parent) else {
        return Ok(());
    };
    let asked = maybe_text(&document.head, head::OWNER_WORD)?.is_some();
    let changed = young.owner_changed || old.owner_changed;
    if old.owner.is_some() && young.owner != old.owner && !asked && !changed {
        let about = report.names.entry(document.id, child);
        let owner = |lot: &Lot| {
            lot.owner
                .map_or_else(|| "ours".to_owned(), |owner| report.names.place(owner))
        };
        let (should_be, is) = (owner(old), owner(young));
        report.add("I26 child of another owner", about, should_be, is);
    }
    Ok(())
}

fn pair(facts: &Facts, child: i64, parent: i64) -> Option<(&Lot, &Lot)> {
    Some((facts.lots.get(&child)?, facts.lots.get(&parent)?))
}

/// A lot says that it is a child where it has parents, and outlives none of them.
pub(super) fn families(facts: &Facts, report: &mut Report<'_, '_>) {
    let mut ids: Vec<&i64> = facts.lots.keys().collect();
    ids.sort();
    for id in ids {
        let Some(lot) = facts.lots.get(id) else { continue };
        let parents = facts.parents.get(id).map(Vec::as_slice).unwrap_or_default();
        if lot.child == parents.is_empty() {
            let said = |child: bool| {
                if child {
                    "made of others"
                } else {
                    "made of no others"
                }
            };
            let about = report.names.lot(*id);
            report.add("I25 child", about, said(!parents.is_empty()), said(lot.child));
        }
        for (parent, old) in parents
            .iter()
            .filter_map(|parent| Some((parent, facts.lots.get(parent)?)))
        {
            let Some(last) = old.expiry else { continue };
            let changed = lot.expiry_changed || old.expiry_changed;
            if !changed && lot.expiry.is_none_or(|day| day > last) {
                let about = format!("{}, made of {}", report.names.lot(*id), report.names.lot(*parent));
                let is = lot
                    .expiry
                    .map_or_else(|| "good for ever".to_owned(), |day| format!("good until {day}"));
                report.add("I26 child outlives", about, format!("good until {last}"), is);
            }
        }
    }
}
