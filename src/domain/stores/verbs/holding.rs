//! Holds: a lot or a place that nothing may be used from until its hold is lifted. They nest.

use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::HoldId;
use crate::domain::stores::law::Role;
use crate::domain::stores::posting::{Held, Posting};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::papers::authorised;

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

/// Puts one hold on each of several lots or places in one document; what lies under this very cause already is left.
pub fn hold_all(stock: &Stock, head: Head, all: &[Held], cause: &str) -> Result<Posting, Refusal> {
    let mut draft = Draft::new(stock, head);
    for on in all {
        if !stock.causes(*on).iter().any(|known| known == cause) {
            draft.hold_row(*on, cause, None)?;
        }
    }
    if draft.posting.holds.is_empty() {
        return Err(Refusal::Impossible {
            what: "hold".to_owned(),
            because: format!("all of it is on hold for this already: {cause}"),
        });
    }
    draft.finish()
}

/// Lifts holds that are live, in one document: the inspector's decision.
pub fn lift_all(stock: &Stock, head: Head, holds: &[HoldId]) -> Result<Posting, Refusal> {
    authorised(stock, Role::Inspector, "lifting a hold")?;
    let mut draft = Draft::new(stock, head);
    for hold in holds {
        let live = stock.holds.iter().find(|live| live.id == *hold);
        let live = live.ok_or(Refusal::Unread {
            what: "hold",
            id: hold.0,
        })?;
        draft.hold_row(live.on, &live.cause, Some(*hold))?;
    }
    draft.finish()
}
