//! Whether a lot is any good: one answer for the fitter who holds it in his hand.

use crate::domain::measure::day::end_from_day;
use crate::domain::measure::{Day, Life, Qty};
use crate::domain::stores::law::Kind;
use crate::domain::stores::lot::{Lot, NEW};
use crate::domain::stores::part::Part;
use crate::domain::stores::standing::Lying;
use std::collections::BTreeSet;

/// How a lot may be used on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Some of it lies on shelf or bench and may be used.
    Usable,
    /// Past its last day.
    Dead(Day),
    /// A hold lies on it, or on every place where it could be picked.
    OnHold,
    /// In the house, but nowhere that stock is given from.
    Elsewhere(Kind),
    /// Nothing of it is left in the house.
    Gone,
}

/// How a lot may be used on a day, from what lies of it in the house.
pub fn verdict(lot: &Lot, lying: &[Lying], day: Day) -> Verdict {
    if lying.is_empty() {
        return Verdict::Gone;
    }
    if let Some(last) = lot.expiry.filter(|_| !lot.usable_on(day)) {
        return Verdict::Dead(last);
    }
    let pickable = |line: &&Lying| line.place.id.pickable();
    if lying.iter().filter(pickable).any(|line| !line.on_hold()) {
        return Verdict::Usable;
    }
    if lying.iter().any(Lying::on_hold) {
        return Verdict::OnHold;
    }
    let kind = lying.iter().find_map(|line| line.place.id.kind());
    kind.map_or(Verdict::Gone, Verdict::Elsewhere)
}

/// The lot to be given first to whoever asks at the hatch: usable, new, the house's own, and not reserved to the last.
/// `lying` stands in the order of giving.
pub fn first_to_give(lying: &[Lying], day: Day) -> Option<&Lying> {
    lying.iter().find(|line| may_be_given(line, day))
}

/// How much may be given to whoever asks at the hatch; a lot that lies in two bins is counted once.
pub fn free_to_give(lying: &[Lying], day: Day) -> Qty {
    let mut seen = BTreeSet::new();
    let given = lying
        .iter()
        .filter(|line| may_be_given(line, day) && seen.insert(line.lot.id));
    given.map(|line| line.position.free()).sum()
}

fn may_be_given(line: &Lying, day: Day) -> bool {
    line.place.id.pickable()
        && !line.on_hold()
        && line.lot.usable_on(day)
        && line.lot.owner.is_none()
        && line.lot.condition == NEW
        && line.position.free().is_positive()
}

/// For a pack that nobody noted as opened: opened before this day, its opened life is over by `day`.
///
/// None where the part has no opened life, the pack is known to be open, or it is dead anyhow.
pub fn dead_if_opened_before(part: &Part, lot: &Lot, day: Day) -> Option<Day> {
    let life = part.opened_life?;
    if lot.opened.is_some() || !lot.usable_on(day) {
        return None;
    }
    let longest = match life {
        Life::Days(days) => i64::from(days),
        // No month of the calendar has more than 31 days.
        Life::Months(months) => i64::from(months) * 31,
    };
    let mut opened = day.plus_days(-longest)?;
    while end_from_day(opened, life)? < day {
        opened = opened.plus_days(1)?;
    }
    Some(opened)
}
