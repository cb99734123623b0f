//! What was made: its number, what it was made of, its last day, and how long mixed material can be used.

use crate::domain::making::pot_life::PotLife;
use crate::domain::refusal::Refusal;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::print::words::measured;

/// The answer, and the remarks: its last day with the reason, and what to watch while it cures.
pub fn made(
    stock: &Stock,
    posting: &Posting,
    pot: Option<&PotLife>,
) -> Result<(String, Vec<String>), Refusal> {
    let born = posting.lots.first().ok_or(Refusal::Nothing)?;
    let (lot, part) = (stock.lot(born.id)?, stock.part_of(born.id)?);
    let came = posting.entries.iter().find(|entry| entry.lot == lot.id);
    let came = came.ok_or(Refusal::Nothing)?;
    let mut answer = format!(
        "{} of {} made: {} in {}",
        measured(came.qty, part.unit),
        part.number,
        lot.number,
        stock.place(came.to)?.code
    );
    let mut remarks = Vec::new();
    if let Some(pot) = pot {
        if let Some(use_by) = &pot.use_by {
            answer.push_str(&format!(", use by {use_by}"));
        }
        remarks.extend(pot.told());
    }
    if let Some(last) = lot.expiry {
        let how = lot.expiry_how.as_deref().unwrap_or("as its parents");
        remarks.push(format!("last day {last}: {how}"));
    }
    let mut parents = Vec::new();
    for (_, parent) in posting.parents.iter().filter(|(child, _)| *child == lot.id) {
        parents.push(stock.lot(*parent)?.number.clone());
    }
    remarks.push(format!("made of {}", parents.join(", ")));
    Ok((answer, remarks))
}
