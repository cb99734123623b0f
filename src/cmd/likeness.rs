//! Parts that look alike: found for one part, in one bin, among what was found, or between what a line wants and what
//! was taken.

use crate::cmd::error::Failure;
use crate::cmd::shop::Scene;
use crate::db::likeness::sizes::{kin, parts_at, sized};
use crate::db::stores::lots::lots_called;
use crate::db::stores::stock::{in_house, part_numbered};
use crate::domain::kitting::pick::PickLine;
use crate::domain::likeness::alike::{Difference, difference, side_by_side};
use crate::domain::likeness::fault::LikenessFault;
use crate::domain::likeness::size::Sized;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::PlaceId;
use crate::domain::stores::part::Part;
use crate::domain::stores::stock::Stock;
use crate::print::likeness::size_list::LookAlike;
use std::collections::HashMap;
use std::collections::hash_map::Entry;

/// The parts that look like one, each with what lies of it in the house.
pub fn look_alikes(scene: &Scene<'_, '_>, part: &Part) -> Result<Vec<LookAlike>, Failure> {
    let one = sized(scene.books, part.clone())?;
    let mut found = Vec::new();
    for other in kin(scene.books, part)? {
        let other = sized(scene.books, other)?;
        if let Some(apart) = difference(&one, &other) {
            found.push((apart, in_house(scene.books, other.part)?));
        }
    }
    Ok(found)
}

/// What the names of several parts have alike that counts something else in each, a line a pair.
pub fn conventions(scene: &Scene<'_, '_>, parts: &[&Part]) -> Result<Vec<String>, Failure> {
    let with_sizes: Result<Vec<Sized>, _> = parts
        .iter()
        .map(|part| sized(scene.books, (*part).clone()))
        .collect();
    let with_sizes = with_sizes?;
    let mut told = Vec::new();
    for (at, one) in with_sizes.iter().enumerate() {
        for other in with_sizes.iter().skip(at + 1) {
            if let Some(apart @ Difference::Convention(..)) = difference(one, other) {
                let (one, other) = (&one.part.number, &other.part.number);
                told.push(format!("{one} is no {other}: {}", apart.told()));
            }
        }
    }
    Ok(told)
}

/// What lies in the bin of a line to be picked and looks like what it wants, a caution each.
pub fn beside(scene: &Scene<'_, '_>, stock: &Stock, lines: &[PickLine]) -> Result<Vec<String>, Failure> {
    let mut there: HashMap<PlaceId, Vec<Sized>> = HashMap::new();
    let mut told = Vec::new();
    for line in lines {
        let wanted = sized(scene.books, stock.part_of(line.lot)?.clone())?;
        if let Entry::Vacant(bin) = there.entry(line.place) {
            let parts = parts_at(scene.books, line.place)?.into_iter();
            let parts: Result<Vec<Sized>, _> = parts.map(|part| sized(scene.books, part)).collect();
            bin.insert(parts?);
        }
        for other in there.get(&line.place).into_iter().flatten() {
            if let Some(apart) = difference(&wanted, other) {
                told.push(format!(
                    "line {} {}: {} lies there too, {}",
                    line.n,
                    wanted.part.number,
                    other.part.number,
                    apart.told()
                ));
            }
        }
    }
    Ok(told)
}

/// The refusal of what was taken for a line though it is another part: both sizes side by side. None where the name
/// is of no other part.
pub fn taken_for(
    scene: &Scene<'_, '_>,
    wanted: &Part,
    (n, named): (i64, &str),
) -> Result<Option<Refusal>, Failure> {
    let called = lots_called(scene.books, named)?;
    let other = match called.first() {
        Some(lot) if called.iter().all(|other| other.part == lot.part) => {
            part_numbered(scene.books, &lot.part)?
        }
        Some(_) => None,
        None => part_numbered(scene.books, named)?,
    };
    let Some(other) = other.filter(|other| other.id != wanted.id) else {
        return Ok(None);
    };
    let (is, wanted) = (sized(scene.books, other)?, sized(scene.books, wanted.clone())?);
    Ok(Some(Refusal::Likeness(LikenessFault::Other {
        n,
        wanted: wanted.part.number.clone(),
        named: match called.as_slice() {
            [one] => format!("lot {}", one.number),
            _ => named.to_owned(),
        },
        is: is.part.number.clone(),
        side_by_side: side_by_side(&wanted, &is),
    })))
}
