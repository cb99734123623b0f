//! What a count is held against: the class of each part, its tolerance, and who counted it before.

use crate::cmd::error::Failure;
use crate::cmd::shop::Scene;
use crate::db::people::register;
use crate::db::stores::counts::{count_rules, counted_before, lying_value, next_line, used_since};
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::counting::cycle::{Class, CountRule, classes, variance_percent};
use crate::domain::stores::counting::{CountList, Counted};
use crate::domain::stores::ids::{LotId, PartId, PlaceId};
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// How many days back it is asked what was used, and how often the record was right.
const YEAR: i64 = 365;

/// The class of every part, how each class is counted, and by what the classes go.
pub struct Classed {
    classes: BTreeMap<PartId, Class>,
    rules: BTreeMap<Class, CountRule>,
    /// Whether they go by what was used; otherwise by what lies there.
    pub by_use: bool,
}

impl Classed {
    /// Reads them; what passes no value is of the lowest class.
    pub fn read(scene: &Scene<'_, '_>) -> Result<Classed, Failure> {
        let used = used_since(scene.books, year_ago(scene.day))?;
        let by_use = used.values().any(|value| value.is_positive());
        let values = if by_use { used } else { lying_value(scene.books)? };
        let amounts: Vec<_> = values.values().copied().collect();
        Ok(Classed {
            classes: values.into_keys().zip(classes(&amounts)).collect(),
            rules: count_rules(scene.books)?,
            by_use,
        })
    }

    /// The class of a part.
    pub fn class(&self, part: PartId) -> Class {
        self.classes.get(&part).copied().unwrap_or(Class::C)
    }

    /// How a class is counted.
    pub fn rule(&self, class: Class) -> CountRule {
        self.rules.get(&class).copied().unwrap_or(CountRule::usual(class))
    }

    /// By how many hundredths a count of a part may differ.
    pub fn tolerance(&self, part: PartId) -> Option<Decimal> {
        self.rule(self.class(part)).tolerance_percent
    }
}

/// Whether the shop has a tolerance for any class.
pub fn any_tolerance(scene: &Scene<'_, '_>) -> Result<bool, Failure> {
    let rules = count_rules(scene.books)?;
    Ok(rules.values().any(|rule| rule.tolerance_percent.is_some()))
}

/// Whether only one person in the register may act, so that nobody else could count again.
pub fn alone(scene: &Scene<'_, '_>) -> Result<bool, Failure> {
    let here = |until: Option<Day>| until.is_none_or(|until| scene.day <= until);
    let people = register(scene.books)?;
    let acting = people
        .iter()
        .filter(|one| !one.roles.is_empty() && here(one.until));
    Ok(acting.count() <= 1)
}

/// The same day a year before.
pub fn year_ago(day: Day) -> Day {
    day.plus_days(-YEAR).unwrap_or(day)
}

/// A list of a place that bears this number, as the books will keep it.
pub fn answered(scene: &Scene<'_, '_>, place: PlaceId, list: i64) -> Result<CountList, Failure> {
    Ok(CountList {
        place,
        marked_at: list,
        first_line: next_line(scene.books)?,
        alone: alone(scene)?,
    })
}

/// What was found, with the tolerance of each class and who counted it before.
pub fn held_against(
    scene: &Scene<'_, '_>,
    place: PlaceId,
    found: &[(LotId, Qty)],
    stock: &Stock,
) -> Result<Vec<Counted>, Failure> {
    let classed = any_tolerance(scene)?.then(|| Classed::read(scene)).transpose()?;
    let mut lines = Vec::new();
    for (lot, counted) in found.iter().copied() {
        let part = stock.lot(lot)?.part;
        lines.push(Counted {
            lot,
            counted,
            tolerance_percent: classed.as_ref().and_then(|classed| classed.tolerance(part)),
            counted_before_by: counted_before(scene.books, place, lot)?,
        });
    }
    Ok(lines)
}

/// What is to be counted again by another, in words.
pub fn again(
    stock: &Stock,
    place: PlaceId,
    posting: &Posting,
    lines: &[Counted],
    alone: bool,
) -> Result<Vec<String>, Failure> {
    let mut told = Vec::new();
    for line in lines {
        let book = stock.balance(line.lot, place).qty;
        if line.to_be_counted_again(book, &posting.head.by, alone) {
            let (lot, part) = (stock.lot(line.lot)?, stock.part_of(line.lot)?);
            let by = variance_percent(book, line.counted)
                .map_or(String::new(), |percent| format!(", {percent} %"));
            told.push(format!(
                "COUNT AGAIN {} {}: {} against {book}{by}, beyond what its class allows; another person counts it",
                part.number, lot.number, line.counted
            ));
        }
    }
    Ok(told)
}
