//! The value of what stands on the shelves: cost layers held against the bin cards, and the sum of all value.

use super::Report;
use super::cells::{amount, maybe_whole, whole};
use super::facts::{Facts, every};
use super::sums::{Sums, is};
use crate::db::books::Open;
use crate::db::error::Error;
use crate::domain::stores::law::Kind;
use std::collections::{BTreeMap, BTreeSet};

/// A layer as the books keep it.
struct Layer {
    id: i64,
    part: i64,
    lot: Option<i64>,
    shared: bool,
    qty: i128,
    value: i128,
}

/// What the layers should cover, less what they cover; nothing where all is well.
#[derive(Default)]
struct Uncovered {
    parts: BTreeMap<i64, i128>,
    own: BTreeMap<i64, i128>,
    averages: BTreeMap<i64, i64>,
    value: i128,
}

/// Holds every layer against the sums.
pub(super) fn compare(
    books: &Open<'_>,
    facts: &Facts,
    sums: &Sums,
    report: &mut Report<'_, '_>,
) -> Result<(), Error> {
    let method = books.setting("method")?.unwrap_or_default();
    let mut uncovered = shelved(facts, sums);
    let mut kept = BTreeSet::new();
    every(
        books,
        "SELECT id, part, lot, shared, qty, value FROM layer",
        |row| {
            let layer = Layer {
                id: whole(row, 0)?,
                part: whole(row, 1)?,
                lot: maybe_whole(row, 2)?,
                shared: whole(row, 3)? != 0,
                qty: whole(row, 4)?.into(),
                value: whole(row, 5)?.into(),
            };
            kept.insert(layer.id);
            one_layer(facts, sums, &layer, &method, report);
            uncovered.covered_by(facts, &layer, &method);
            Ok(())
        },
    )?;
    let lost: BTreeMap<_, _> = sums.layers.iter().filter(|(id, _)| !kept.contains(*id)).collect();
    for (id, (qty, value)) in lost {
        let about = report.names.layer(*id);
        report.add("I11 layer", about, said(*qty, *value), "no layer");
    }
    uncovered.tell(report);
    Ok(())
}

fn said(qty: i128, value: i128) -> String {
    format!("{}, value {}", amount(qty), amount(value))
}

/// What stands on shelves by part, and by lot where a lot values itself; and the value of everything that stands
/// elsewhere.
fn shelved(facts: &Facts, sums: &Sums) -> Uncovered {
    let mut uncovered = Uncovered::default();
    for ((lot, place), balance) in &sums.balances {
        uncovered.value += balance.value;
        let Some(known) = facts.lots.get(lot).filter(|_| is(*place, Kind::Shelf)) else {
            continue;
        };
        *uncovered.parts.entry(known.part).or_default() += balance.qty;
        if known.specific {
            *uncovered.own.entry(*lot).or_default() += balance.qty;
        }
    }
    uncovered
}

/// The rules of one layer.
fn one_layer(facts: &Facts, sums: &Sums, layer: &Layer, method: &str, report: &mut Report<'_, '_>) {
    let (qty, value) = sums.layers.get(&layer.id).copied().unwrap_or_default();
    if (layer.qty, layer.value) != (qty, value) {
        let about = report.names.layer(layer.id);
        report.add("I11 layer", about, said(qty, value), said(layer.qty, layer.value));
    }
    let specific = layer
        .lot
        .and_then(|lot| facts.lots.get(&lot))
        .map(|lot| lot.specific);
    let strange = match (layer.shared, method) {
        (true, "average") => layer.lot.is_some(),
        (true, "fifo") => layer.lot.is_none(),
        (true, _) => true,
        (false, "actual") => false,
        (false, _) => specific == Some(false),
    };
    if layer.qty > 0 && strange {
        let about = report.names.layer(layer.id);
        let is = match (layer.shared, layer.lot) {
            (false, _) => "a lot's own layer",
            (true, Some(_)) => "a layer by age",
            (true, None) => "an average",
        };
        report.add(
            "I12 layer of another method",
            about,
            format!("a layer of {method}"),
            is,
        );
    }
}

impl Uncovered {
    /// Takes a layer off what is uncovered.
    fn covered_by(&mut self, facts: &Facts, layer: &Layer, method: &str) {
        self.value += layer.value;
        *self.parts.entry(layer.part).or_default() -= layer.qty;
        if let (false, Some(lot)) = (layer.shared, layer.lot)
            && facts.lots.get(&lot).is_some_and(|lot| lot.specific)
        {
            *self.own.entry(lot).or_default() -= layer.qty;
        }
        if layer.shared && layer.qty > 0 && method == "average" {
            *self.averages.entry(layer.part).or_default() += 1;
        }
    }

    /// Reports what does not come out even.
    fn tell(self, report: &mut Report<'_, '_>) {
        for (part, qty) in self.parts.into_iter().filter(|(_, qty)| *qty != 0) {
            let is = format!("{} not in them", amount(qty));
            report.add(
                "I12 shelf qty",
                report.names.part(part),
                "all on shelves in cost layers",
                is,
            );
        }
        for (lot, qty) in self.own.into_iter().filter(|(_, qty)| *qty != 0) {
            let is = format!("{} not in it", amount(qty));
            report.add(
                "I12 own layer",
                report.names.lot(lot),
                "all on shelves in its own cost layer",
                is,
            );
        }
        for (part, live) in self.averages.into_iter().filter(|(_, live)| *live > 1) {
            report.add(
                "I12 two averages",
                report.names.part(part),
                "one",
                live.to_string(),
            );
        }
        if self.value != 0 {
            let about = "the value of everything, at every place".to_owned();
            report.add("I13 value sum", about, "0", amount(self.value));
        }
    }
}
