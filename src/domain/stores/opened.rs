//! An opened pack: whichever comes first, the day printed on it or its life from the day it was opened.

use crate::domain::measure::day::end_from_day;
use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::lot::{Lot, NewLot};
use crate::domain::stores::part::Part;

/// The lot that an opened pack becomes: it keeps maker, batch and condition, and opening never lengthens its life.
///
/// Refused where the pack is open already, alone of its serial, or dead on the day it is judged on.
pub fn opened_pack(part: &Part, lot: &Lot, opened: Day, judged: Day) -> Result<NewLot, Refusal> {
    if let Some(since) = lot.opened {
        return Err(Refusal::Impossible {
            what: format!("lot {}", lot.number),
            because: format!("it is open since {since}"),
        });
    }
    if let Some(last) = lot.expiry.filter(|last| judged > *last) {
        return Err(Refusal::Dead {
            lot: lot.number.clone(),
            part: part.number.clone(),
            last,
            judged,
        });
    }
    let (expiry, how) = opened_life(part, lot, opened)?;
    Ok(NewLot {
        owner: lot.owner,
        batch: lot.batch.clone(),
        maker: lot.maker.clone(),
        condition: lot.condition.clone(),
        made: lot.made,
        opened: Some(opened),
        expiry,
        expiry_how: how,
        order_line: lot.order_line,
        ..NewLot::default()
    })
}

/// The last day of an opened pack and how it was worked out; nothing where neither pack nor opening ends.
fn opened_life(part: &Part, lot: &Lot, opened: Day) -> Result<(Option<Day>, Option<String>), Refusal> {
    let Some(life) = part.opened_life else {
        return Ok((lot.expiry, lot.expiry_how.clone()));
    };
    let last = end_from_day(opened, life).ok_or_else(|| Refusal::Impossible {
        what: format!("opened life of {}", part.number),
        because: format!("{life} after {opened} is past the calendar"),
    })?;
    let how = format!("opened {opened} and {life}");
    Ok(match lot.expiry {
        Some(printed) if printed <= last => (
            Some(printed),
            Some(format!("the pack's own day; {how} would be {last}")),
        ),
        _ => (Some(last), Some(how)),
    })
}

/// How much is opened where nothing is said: one hand-out unit, or all there is of a part without one.
pub fn one_pack(part: &Part, there: Qty) -> Qty {
    part.hand_out.map_or(there, |unit| unit.min(there))
}
