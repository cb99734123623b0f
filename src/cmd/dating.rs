//! The day that a document is to bear, given with `--on`.

use crate::cmd::args::Globals;
use crate::cmd::error::Failure;
use crate::cmd::shop::Scene;
use crate::db::tracing::{came_after, first_day};
use crate::domain::measure::Day;
use crate::domain::refusal::Refusal;
use crate::domain::stores::posting::Posting;
use crate::domain::tracing::dating::{DayFault, may_bear};
use std::collections::BTreeSet;

/// The day given with `--on`.
pub fn given_day(globals: &Globals) -> Result<Option<Day>, Failure> {
    let parse = |text: &String| {
        Day::parse(text)
            .map_err(|fault| Failure::usage(format!("--on: {fault}"), "give a day: `--on 2026-11-25`"))
    };
    globals.on.as_ref().map(parse).transpose()
}

/// Whether a document may bear the day of the scene.
pub fn judge_day(scene: &Scene<'_, '_>) -> Result<(), Failure> {
    let first = first_day(scene.books)?.unwrap_or(scene.today);
    may_bear(scene.day, scene.today, first).map_err(|fault| Refusal::Day(fault).into())
}

/// Whether every lot that a posting moves was there already on the day of the scene.
pub fn judge_lots(scene: &Scene<'_, '_>, posting: Option<&Posting>) -> Result<(), Failure> {
    let Some(posting) = posting.filter(|_| scene.day < scene.today) else {
        return Ok(());
    };
    let made: BTreeSet<_> = posting.lots.iter().map(|lot| lot.id).collect();
    let moved: BTreeSet<_> = posting.entries.iter().map(|entry| entry.lot).collect();
    for lot in moved.difference(&made) {
        if let Some((lot, came)) = came_after(scene.books, *lot, scene.day)? {
            let day = scene.day;
            return Err(Refusal::Day(DayFault::BeforeTheLot { day, lot, came }).into());
        }
    }
    Ok(())
}
