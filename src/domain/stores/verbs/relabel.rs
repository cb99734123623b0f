//! What is known of a lot, changed as a record; claims that no longer fit are stripped.

use crate::domain::measure::Day;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{LotId, PlaceId};
use crate::domain::stores::posting::{Field, Posting};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;

/// Gives a serial or set another condition; other goods are re-identified, because half of them may be elsewhere.
pub fn condition(stock: &Stock, head: Head, lot: LotId, word: &str) -> Result<Posting, Refusal> {
    always_whole(stock, lot)?;
    change(stock, head, lot, &[(Field::LotCondition, Some(word.to_owned()))])
}

/// Gives a serial or set another owner, where it carries no value; what a customer gives up wants his word.
pub fn owner(stock: &Stock, head: Head, lot: LotId, owner: Option<PlaceId>) -> Result<Posting, Refusal> {
    always_whole(stock, lot)?;
    let goods = stock.lot(lot)?;
    if let Some(was) = goods.owner
        && head.owner_word.is_none()
    {
        return Err(Refusal::OwnersWord {
            lot: goods.number.clone(),
            owner: stock.place(was)?.name.clone(),
        });
    }
    change(
        stock,
        head,
        lot,
        &[(Field::LotOwner, owner.map(|place| place.0.to_string()))],
    )
}

/// Gives a lot another last day, or none, with how it was worked out.
pub fn expiry(
    stock: &Stock,
    head: Head,
    lot: LotId,
    last: Option<Day>,
    how: &str,
) -> Result<Posting, Refusal> {
    let last = last.map(|day| day.to_string());
    change(
        stock,
        head,
        lot,
        &[
            (Field::LotExpiry, last),
            (Field::LotExpiryHow, Some(how.to_owned())),
        ],
    )
}

/// The papers of a lot that was fitted early have come.
pub fn papers_came(stock: &Stock, head: Head, lot: LotId) -> Result<Posting, Refusal> {
    change(stock, head, lot, &[(Field::LotPending, Some("0".to_owned()))])
}

/// The lot is a serial or a matched set.
fn always_whole(stock: &Stock, lot: LotId) -> Result<(), Refusal> {
    let goods = stock.lot(lot)?;
    if goods.size.is_some() {
        return Ok(());
    }
    Err(Refusal::Impossible {
        what: format!("lot {}", goods.number),
        because: "it is no serial and no set, so part of it is re-identified as a lot of its own".to_owned(),
    })
}

fn change(
    stock: &Stock,
    head: Head,
    lot: LotId,
    fields: &[(Field, Option<String>)],
) -> Result<Posting, Refusal> {
    let mut draft = Draft::new(stock, head);
    for (field, new) in fields {
        draft.set_field(*field, lot.0, new.clone())?;
    }
    if draft.posting.changes.is_empty() {
        return Err(Refusal::Nothing);
    }
    draft.finish()
}
