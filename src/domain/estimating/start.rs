//! When a route may begin: the day on which the last of its parts can be there.

use crate::domain::measure::{Day, Qty};

/// How a part can be had.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Supply {
    /// Free on the shelf, in the part's unit.
    pub free: Qty,
    /// What orders still bring and nobody else waits for: order, promised day, quantity.
    pub coming: Vec<(String, Option<Day>, Qty)>,
    /// The suppliers who have a price for it and say how long they take: name, days.
    pub lead: Vec<(String, i64)>,
}

/// The day on which a need can be met, and by what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ready {
    /// It lies free on the shelf.
    Now,
    /// On this day, by this order or supplier.
    From(Day, String),
    /// Nothing tells.
    NotKnown,
}

impl Ready {
    /// The day, if it is known.
    pub fn day(&self, today: Day) -> Option<Day> {
        match self {
            Ready::Now => Some(today),
            Ready::From(day, _) => Some(*day),
            Ready::NotKnown => None,
        }
    }
}

/// When a need can be met: from the shelf, else by what is promised on top of the shelf, else bought today at the
/// supplier's lead time, whichever is earlier. An order without a promised day brings nothing by any day.
pub fn ready(need: Qty, supply: &Supply, today: Day) -> Ready {
    if supply.free >= need {
        return Ready::Now;
    }
    let promised = |(order, day, qty): &(String, Option<Day>, Qty)| Some(((*day)?, order.clone(), *qty));
    let mut coming: Vec<(Day, String, Qty)> = supply.coming.iter().filter_map(promised).collect();
    coming.sort();
    let mut there = supply.free;
    let by_order = coming.into_iter().find_map(|(day, order, qty)| {
        there += qty;
        // What was promised for a day gone by comes today at the earliest.
        (there >= need).then_some((day.max(today), order))
    });
    let bought = supply.lead.iter().filter_map(|(name, days)| {
        let day = today.plus_days(*days)?;
        Some((day, format!("{name}, {days} days")))
    });
    match by_order.into_iter().chain(bought).min() {
        Some((day, by)) => Ready::From(day, by),
        None => Ready::NotKnown,
    }
}
