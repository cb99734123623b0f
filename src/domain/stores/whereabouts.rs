//! Where a lot lies, as far as that needs no telling.

use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{LotId, PlaceId};
use crate::domain::stores::law::Kind;
use crate::domain::stores::stock::Stock;

/// The place of these kinds where a lot lies, and how much of it lies there; `named` decides between several.
///
/// Refused where it lies in none of them, in several and none is named, or not in the one named.
pub fn where_it_lies(
    stock: &Stock,
    lot: LotId,
    kinds: &[Kind],
    named: Option<PlaceId>,
) -> Result<(PlaceId, Qty), Refusal> {
    let number = &stock.lot(lot)?.number;
    let mut there: Vec<(PlaceId, Qty)> = stock
        .places_of(lot)
        .filter(|(place, balance)| balance.qty.is_positive() && kinds.iter().any(|kind| place.is(*kind)))
        .map(|(place, balance)| (place, balance.qty))
        .collect();
    there.sort_by_key(|(place, _)| stock.places.get(place).map(|place| place.code.clone()));
    let unit = stock.part_of(lot)?.unit;
    let told: Result<Vec<String>, Refusal> = there
        .iter()
        .map(|(place, qty)| Ok(format!("{} {qty} {unit}", stock.place(*place)?.code)))
        .collect();
    let told = told?;
    if let Some(named) = named {
        let found = there.iter().find(|(place, _)| *place == named).copied();
        return match found {
            Some(found) => Ok(found),
            None => Err(Refusal::Impossible {
                what: format!("lot {number}"),
                because: format!(
                    "none of it lies in {}{}",
                    stock.place(named)?.code,
                    if told.is_empty() {
                        String::new()
                    } else {
                        format!("; {} has it", told.join(", "))
                    }
                ),
            }),
        };
    }
    match there.as_slice() {
        [only] => Ok(*only),
        [] => Err(Refusal::Impossible {
            what: format!("lot {number}"),
            because: "none of it lies where that could be done".to_owned(),
        }),
        _ => Err(Refusal::Ambiguous {
            what: "place",
            asked: format!("lot {number}"),
            fits: told,
        }),
    }
}
