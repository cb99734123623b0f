//! `count` without a bin: what is to be counted today; and how often the record was right.

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Scene};
use crate::cmd::tolerance::{Classed, year_ago};
use crate::db::stores::counts::{InBin, counted_since, in_bins};
use crate::domain::measure::Day;
use crate::domain::stores::counting::cycle::{CLASSES, Class, due, lines_a_day, within};
use crate::print::stores::cycle_sheet::{BinDue, Month, Today, accuracy_sheet, today_sheet};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// The bins with something due, what is due longest first.
pub(super) fn today(scene: &Scene<'_, '_>) -> Result<Done, Failure> {
    let classed = Classed::read(scene)?;
    let lines = in_bins(scene.books)?;
    let mut bins: Vec<BinDue> = Vec::new();
    for line in &lines {
        let class = classed.class(line.part);
        let due = due(line.last, classed.rule(class), scene.day);
        if due <= scene.day {
            put(&mut bins, line, class, due);
        }
    }
    bins.sort_by_key(|bin| (bin.class, bin.due));
    let of_class = |class: Class| {
        let lots = lines.iter().filter(|line| classed.class(line.part) == class);
        (lots.map(|line| line.lots).sum(), classed.rule(class).days)
    };
    let sheet = Today {
        bins: &bins,
        a_day: lines_a_day(&CLASSES.map(of_class)),
        rules: CLASSES.map(|class| (class, classed.rule(class))),
        by_use: classed.by_use,
        day: scene.day,
    };
    Ok(Done::yes(today_sheet(&sheet, scene.paper("count", ""))))
}

/// Puts a line that is due to its bin.
fn put(bins: &mut Vec<BinDue>, line: &InBin, class: Class, due: Day) {
    let found = bins.iter_mut().find(|bin| bin.code == line.code);
    match found {
        Some(bin) => {
            bin.lines += line.lots;
            bin.class = bin.class.min(class);
            bin.due = bin.due.min(due);
            bin.last = bin.last.min(line.last);
        }
        None => bins.push(BinDue {
            code: line.code.clone(),
            lines: line.lots,
            class,
            last: line.last,
            due,
        }),
    }
}

/// Month by month, how many of the lines counted were right.
pub(super) fn accuracy(scene: &Scene<'_, '_>) -> Result<Done, Failure> {
    let classed = Classed::read(scene)?;
    let mut months: BTreeMap<String, Month> = BTreeMap::new();
    for line in counted_since(scene.books, year_ago(scene.day))? {
        let percent = classed.tolerance(line.part).unwrap_or(Decimal::ZERO);
        let name = line.day.to_string().chars().take(7).collect::<String>();
        let month = months.entry(name).or_default();
        month.counted += 1;
        month.right += usize::from(within(line.book, line.counted, percent));
    }
    let months: Vec<(String, Month)> = months.into_iter().collect();
    Ok(Done::yes(accuracy_sheet(&months, scene.paper("accuracy", ""))))
}
