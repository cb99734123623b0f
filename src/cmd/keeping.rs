//! What the bins that goods are put into say of it, before anything is posted.

use crate::cmd::error::Failure;
use crate::cmd::shop::Scene;
use crate::db::stores::bins::{bin_of, keeps_of, lying_in};
use crate::db::stores::cold::out_of_cold;
use crate::domain::keeping::bin::{Lying, bears};
use crate::domain::keeping::fault::KeepingFault;
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{LotId, PlaceId};
use crate::domain::stores::law::Movement;
use crate::domain::stores::posting::{Entry, Posting};
use crate::domain::stores::stock::Stock;
use std::collections::BTreeSet;

/// Judges every bin that a posting puts goods into: what is to be said of it on paper. Where a limit is passed because
/// somebody said that it shall be, the document says so too.
pub fn bins_bear(
    scene: &Scene<'_, '_>,
    stock: &Stock,
    posting: &mut Posting,
    over_limit: bool,
) -> Result<Vec<String>, Failure> {
    let bins: BTreeSet<PlaceId> = posting.entries.iter().map(|entry| entry.to).collect();
    let mut said = Vec::new();
    for place in bins.into_iter().filter(|place| place.0 < OUTSIDE) {
        let Some(bin) = bin_of(scene.books, place)? else {
            continue;
        };
        let counted = bin.one_lot || bin.limits.flammable_l.is_some();
        let mut lying = if counted {
            lying_in(scene.books, place)?
        } else {
            Vec::new()
        };
        for entry in &posting.entries {
            follow(scene, stock, posting, entry, (place, &mut lying))?;
        }
        said.extend(bears(&bin, &lying, over_limit).map_err(Refusal::from)?);
    }
    let over = said.iter().find(|said| said.contains("OVER ITS LIMIT")).cloned();
    if let Some(over) = over {
        let why = posting.head.reason.take();
        posting.head.reason = Some(why.map_or_else(|| over.clone(), |why| format!("{why}; {over}")));
    }
    Ok(said)
}

/// From here on a place is a kit, a crate or outside, and bears what it is given.
const OUTSIDE: i64 = 6_000_000;

/// Follows one entry into a bin or out of it.
fn follow(
    scene: &Scene<'_, '_>,
    stock: &Stock,
    posting: &Posting,
    entry: &Entry,
    (place, lying): (PlaceId, &mut Vec<Lying>),
) -> Result<(), Failure> {
    let change = match (entry.to == place, entry.from == place) {
        (true, false) => entry.qty,
        (false, true) => -entry.qty,
        _ => return Ok(()),
    };
    if !lying.iter().any(|one| one.lot == entry.lot) {
        lying.push(newcomer(scene, stock, posting, entry.lot)?);
    }
    if let Some(one) = lying.iter_mut().find(|one| one.lot == entry.lot) {
        one.after += change;
    }
    Ok(())
}

/// A lot that does not lie in the bin yet.
fn newcomer(scene: &Scene<'_, '_>, stock: &Stock, posting: &Posting, id: LotId) -> Result<Lying, Failure> {
    let made = posting.lots.iter().find(|lot| lot.id == id).map(AsRef::as_ref);
    let lot = made.map_or_else(|| stock.lot(id), Ok)?;
    let part = stock.part(lot.part)?;
    Ok(Lying {
        lot: id,
        number: lot.number.clone(),
        part: part.number.clone(),
        unit: part.unit,
        keeps: keeps_of(scene.books, part.id)?,
        before: Qty::ZERO,
        after: Qty::ZERO,
    })
}

/// Refuses to hand out what was out of the cold for longer than its part may be.
pub fn cold_enough(scene: &Scene<'_, '_>, stock: &Stock, posting: &Posting) -> Result<(), Failure> {
    let picked = posting
        .entries
        .iter()
        .filter(|entry| matches!(entry.movement, Movement::Pick | Movement::Use));
    for entry in picked {
        let lot = stock.lot(entry.lot)?;
        let out = out_of_cold(scene.books, lot.id, lot.part, &scene.at)?;
        if let Some(out) = out.filter(|out| out.is_over()) {
            return Err(Refusal::from(KeepingFault::TooWarm {
                lot: lot.number.clone(),
                part: stock.part(lot.part)?.number.clone(),
                out,
            })
            .into());
        }
    }
    Ok(())
}
