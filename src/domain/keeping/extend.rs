//! A life that has run out, or is about to, extended on a test that was passed.
//!
//! Type I is never extended. Type II is, while unopened, by one half of its original life, counted from its last day
//! (USAF TO 1-1-700, 12.8, as publicly restated). The half of an odd number of months or days is rounded down: 15 months
//! give 7. It is extended once, unless the part's record says how often.

use super::fault::KeepingFault;
use super::rule::Lasts;
use super::shelf_life::LifeType;
use crate::domain::acceptance::certificate::{Certificate, PaperKind};
use crate::domain::measure::day::end_from_day;
use crate::domain::measure::{Day, Life};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{CertificateId, LotId};
use crate::domain::stores::law::Role;
use crate::domain::stores::lot::Lot;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::papers::authorised;
use crate::domain::stores::verbs::relabel::expiry;

/// How often a life is extended where the part's record does not say.
pub const USUALLY: i64 = 1;

/// What an extension is judged on, besides the facts of stock.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Extension {
    /// Which lot.
    pub lot: LotId,
    /// The report of the test that it passed.
    pub test: CertificateId,
    /// How long the part lasted by the rules of the day on which the lot came.
    pub lasts: Option<Lasts>,
    /// How often it may be extended.
    pub times: i64,
    /// What was extended before.
    pub before: Before,
}

/// The extensions of a lot that stand.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Before {
    /// How many.
    pub times: i64,
    /// The last day as it was before the first of them.
    pub original: Option<Day>,
    /// The day of the latest of them; of none, the day on which the lot came.
    pub since: Option<Day>,
}

/// Extends the life of one lot, in one document.
pub fn extend(stock: &Stock, head: Head, asked: &Extension) -> Result<Posting, Refusal> {
    authorised(stock, Role::Inspector, "extending a life")?;
    let (lot, part) = (stock.lot(asked.lot)?, stock.part_of(asked.lot)?);
    let refused = |because: String| KeepingFault::NotExtended {
        lot: lot.number.clone(),
        part: part.number.clone(),
        because,
    };
    let last = extendible(lot, part.life.as_ref().and_then(|life| life.life_type)).map_err(&refused)?;
    if asked.before.times >= asked.times {
        let times = asked.times;
        return Err(refused(format!("it may be extended {times} times and was")).into());
    }
    let test = stock.certificates.get(&asked.test).ok_or(Refusal::Unread {
        what: "certificate",
        id: asked.test.0,
    })?;
    proves(test, lot, asked.before.since, stock.latest_day()).map_err(&refused)?;
    let original = asked.lasts.as_ref().and_then(Lasts::length);
    let half = original.and_then(half_of);
    let (Some(original), Some(half)) = (original, half) else {
        return Err(refused("half of its original life is less than a month or a day".to_owned()).into());
    };
    let until = end_from_day(last, half)
        .ok_or_else(|| refused(format!("{half} after {last} is past the calendar")))?;
    if until < stock.latest_day() {
        return Err(refused(format!("{half} after {last} is {until}, and that is past too")).into());
    }
    let how = format!(
        "original last day {}; extended {} of {} by {half}, half of {original}, from {last} on {} {} of {}",
        asked.before.original.unwrap_or(last),
        asked.before.times + 1,
        asked.times,
        test.kind.word(),
        test.number,
        test.day
    );
    expiry(stock, head, asked.lot, Some(until), &how)
}

/// The last day of a lot whose life may be extended, or why it may not.
fn extendible(lot: &Lot, life_type: Option<LifeType>) -> Result<Day, String> {
    match life_type {
        Some(LifeType::Two) => {}
        Some(LifeType::One) => return Err("its life is of type 1, which is never extended".to_owned()),
        None => {
            return Err(
                "its record does not say that its life is of type 2, which alone is extended".to_owned(),
            );
        }
    }
    if let Some(opened) = lot.opened {
        return Err(format!(
            "it was opened {opened}, and only an unopened pack is extended"
        ));
    }
    if lot.child {
        return Err("it was made of other lots, and outlives none of them".to_owned());
    }
    lot.expiry.ok_or_else(|| "it has no last day".to_owned())
}

/// A report proves a lot where it is of a test of this part, made since the lot came or was last extended.
fn proves(test: &Certificate, lot: &Lot, since: Option<Day>, today: Day) -> Result<(), String> {
    let (kind, number) = (test.kind.word(), &test.number);
    if test.kind != PaperKind::Test {
        return Err(format!("{number} is a {kind}, and a test report is wanted"));
    }
    if test.part != Some(lot.part) {
        return Err(format!("{kind} {number} is of another part"));
    }
    if test.day > today {
        return Err(format!(
            "{kind} {number} is of {}, which is still to come",
            test.day
        ));
    }
    match since.filter(|since| test.day <= *since) {
        Some(since) => Err(format!(
            "{kind} {number} is of {}, and it must be later than {since}, when the lot came or was last extended",
            test.day
        )),
        None => Ok(()),
    }
}

/// Half of a life, rounded down; none where that is nothing.
pub fn half_of(life: Life) -> Option<Life> {
    match life {
        Life::Days(days) => Some(Life::Days(days / 2)).filter(|_| days > 1),
        Life::Months(months) => Some(Life::Months(months / 2)).filter(|_| months > 1),
    }
}
