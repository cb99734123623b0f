//! Holds: a lot or a place that nothing may be used from until its hold is lifted. They nest.

use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::HoldId;
use crate::domain::stores::posting::{Held, Posting};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;

/// Puts a hold on a lot or a place; claims that it breaks are stripped at once.
pub fn hold(stock: &Stock, head: Head, on: Held, cause: &str) -> Result<Posting, Refusal> {
    let mut draft = Draft::new(stock, head);
    draft.hold_row(on, cause, None)?;
    draft.finish()
}

/// Lifts a hold that is live.
pub fn lift(stock: &Stock, head: Head, hold: HoldId) -> Result<Posting, Refusal> {
    let live = stock.holds.iter().find(|live| live.id == hold).cloned();
    let live = live.ok_or(Refusal::Unknown {
        what: "live hold",
        asked: hold.to_string(),
        near: Vec::new(),
    })?;
    let mut draft = Draft::new(stock, head);
    draft.hold_row(live.on, &live.cause, Some(hold))?;
    draft.finish()
}
