//! Time out of the cold: what is kept cold ages where it is warm, and that time adds up over every outing.
//!
//! It is worked out from the bin card: each document bears the instant of its writing. A document written for an earlier
//! day is taken at the worst: what became warm was warm from that day's beginning, what became cold was warm to its end.
//! While any of a lot lies warm in the house, the whole lot counts as warm. What was taken back by an undo never went.

use super::bin::{Band, Limits};
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::ids::PlaceId;

/// Where goods lie, as far as warmth goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Warmth {
    /// A place whose temperatures the part keeps at.
    Cold,
    /// Any other place of the house.
    Warm,
    /// Outside the house, where the stores do not count.
    Outside,
}

/// One line of a lot's card.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Going {
    /// The number of the document.
    pub document: i64,
    /// Its day.
    pub day: Day,
    /// The instant of its writing, `2026-11-25T09:30:00Z`.
    pub at: String,
    /// Whence.
    pub from: Warmth,
    /// Where to.
    pub to: Warmth,
    /// How much.
    pub qty: Qty,
}

pub(super) const MINUTES_A_DAY: i64 = 24 * 60;

/// How warm a place is for a part that keeps in a band; for one without a band every place that keeps one is cold.
pub fn warmth(place: PlaceId, limits: Limits, wanted: Option<Band>) -> Warmth {
    const OUTSIDE: i64 = 20_000_000;
    if place.0 >= OUTSIDE {
        return Warmth::Outside;
    }
    let cold = limits
        .band
        .is_some_and(|band| wanted.is_none_or(|wanted| wanted.holds(band)));
    if cold { Warmth::Cold } else { Warmth::Warm }
}

/// Minutes from the first day of the calendar's year 2000 to an instant; none where it cannot be read.
pub fn minutes_of(at: &str) -> Option<i64> {
    let (day, time) = at.split_once('T')?;
    let mut parts = time.split(':').map(|part| part.parse::<i64>().ok());
    let (hours, minutes) = (parts.next()??, parts.next()??);
    Some(start_of(Day::parse(day).ok()?)? + hours * 60 + minutes)
}

fn start_of(day: Day) -> Option<i64> {
    Some(Day::new(2000, 1, 1)?.days_until(day) * MINUTES_A_DAY)
}

impl Going {
    /// Whether it was written for an earlier day than that of its writing.
    fn is_late(&self) -> bool {
        !self.at.starts_with(&self.day.to_string())
    }

    fn earliest(&self) -> Option<i64> {
        if self.is_late() {
            return start_of(self.day);
        }
        minutes_of(&self.at)
    }

    fn latest(&self) -> Option<i64> {
        if self.is_late() {
            return Some(start_of(self.day)? + MINUTES_A_DAY);
        }
        minutes_of(&self.at)
    }

    /// How much more lies warm after it.
    fn warmed(&self) -> Qty {
        let to = if self.to == Warmth::Warm {
            self.qty
        } else {
            Qty::ZERO
        };
        let from = if self.from == Warmth::Warm {
            self.qty
        } else {
            Qty::ZERO
        };
        to - from
    }
}

/// How many minutes a lot was out of the cold up to an instant, its card in the order of writing; none where an instant
/// cannot be read.
pub fn minutes_out(card: &[Going], until: &str) -> Option<i64> {
    let until = minutes_of(until)?;
    let (mut warm, mut since, mut out) = (Qty::ZERO, None, 0_i64);
    for lines in card.chunk_by(|one, next| one.document == next.document) {
        let Some(first) = lines.first() else { continue };
        warm += lines.iter().map(Going::warmed).sum();
        match (since, warm.is_positive()) {
            (None, true) => since = Some(first.earliest()?),
            (Some(start), false) => {
                out += (first.latest()? - start).max(0);
                since = None;
            }
            _ => {}
        }
    }
    Some(out + since.map_or(0, |start| (until - start).max(0)))
}

/// So many minutes in words: `30 h`, `2 h 05 min`.
pub fn told(minutes: i64) -> String {
    match minutes % 60 {
        0 => format!("{} h", minutes / 60),
        rest => format!("{} h {rest:02} min", minutes / 60),
    }
}

/// How long a lot has been out of the cold, and how long it may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OutOfCold {
    /// Minutes so far.
    pub out: i64,
    /// The most.
    pub limit: i64,
}

impl OutOfCold {
    /// Whether it was out longer than it may be; the last minute itself is still good.
    pub fn is_over(self) -> bool {
        self.out > self.limit
    }
}

impl std::fmt::Display for OutOfCold {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (out, limit) = (told(self.out), told(self.limit));
        if self.is_over() {
            return write!(f, "OUT OF THE COLD TOO LONG: {out} of {limit}");
        }
        write!(
            f,
            "out of the cold {out} of {limit}, {} left",
            told(self.limit - self.out)
        )
    }
}
