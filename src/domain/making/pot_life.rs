//! Mixed material: until when it can be used, and from when what it joins may run.

use crate::domain::measure::{Day, Qty};

/// The size of a part that says how long mixed material can be used.
pub const POT_LIFE: &str = "pot_life_minutes";
/// The size of a part that says when mixed material has cured.
pub const CURE: &str = "cure_minutes";

/// Minutes of a day.
const DAY_MINUTES: i64 = 24 * 60;

/// When mixed material must be used, and when it has cured, as times of the clock (UTC).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PotLife {
    /// The end of its pot life.
    pub use_by: Option<String>,
    /// When it has cured.
    pub cured: Option<String>,
    /// Its pot life in minutes.
    minutes: Option<Qty>,
}

impl PotLife {
    /// Worked out from the instant of mixing (UTC, ISO 8601) and the minutes that the part's record gives; none where it
    /// gives neither, or the instant is none.
    pub fn from_mixing(at: &str, pot_minutes: Option<Qty>, cure_minutes: Option<Qty>) -> Option<PotLife> {
        let mixed = instant(at)?;
        let use_by = end(mixed, pot_minutes, 0);
        // What must have cured is told a minute later rather than one too early.
        let cured = end(mixed, cure_minutes, 59);
        (use_by.is_some() || cured.is_some()).then_some(PotLife {
            use_by,
            cured,
            minutes: pot_minutes,
        })
    }

    /// What to watch, in words.
    pub fn told(&self) -> Vec<String> {
        let pot = self.use_by.as_ref().zip(self.minutes);
        let pot = pot.map(|(end, minutes)| format!("pot life {minutes} minutes: use by {end}"));
        let cured = self.cured.as_ref().map(|end| format!("do not run before {end}"));
        pot.into_iter().chain(cured).collect()
    }
}

/// The day and the second of the day of an instant.
fn instant(at: &str) -> Option<(Day, i64)> {
    let (day, clock) = at.split_once('T')?;
    let figures: Option<Vec<i64>> = clock
        .trim_end_matches('Z')
        .split(':')
        .map(|part| part.parse().ok())
        .collect();
    match figures?.as_slice() {
        [hours, minutes, seconds] => Some((Day::parse(day).ok()?, (hours * 60 + minutes) * 60 + seconds)),
        _ => None,
    }
}

/// The instant so many minutes later, to the minute that has begun once `spare_seconds` are added: `12:20 UTC`, with the
/// day where that is another.
fn end((day, second): (Day, i64), minutes: Option<Qty>, spare_seconds: i64) -> Option<String> {
    let minutes = minutes.filter(|minutes| minutes.is_positive())?;
    let later_seconds = minutes.millionths().checked_mul(60)? / 1_000_000;
    let end = (second + later_seconds + spare_seconds) / 60;
    let (days, minute) = (end / DAY_MINUTES, end % DAY_MINUTES);
    let clock = format!("{:02}:{:02} UTC", minute / 60, minute % 60);
    Some(if days == 0 {
        clock
    } else {
        format!("{} {clock}", day.plus_days(days)?)
    })
}
