//! Parts that look alike, and parts that may stand in: found for one part, in one bin, among what was found, or between
//! what a line wants and what was taken.

use crate::cmd::error::Failure;
use crate::cmd::shop::Scene;
use crate::db::likeness::sizes::{kin, parts_at, sized};
use crate::db::likeness::stand_ins::{purpose_of, stand_ins_of};
use crate::db::stores::lots::lots_called;
use crate::db::stores::stock::{in_house, part_numbered};
use crate::domain::kitting::job::{Job, Line};
use crate::domain::kitting::pick::PickLine;
use crate::domain::likeness::alike::{Difference, difference, side_by_side};
use crate::domain::likeness::fault::LikenessFault;
use crate::domain::likeness::size::Sized;
use crate::domain::likeness::stand_in::{Manner, Purpose};
use crate::domain::measure::Day;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::PlaceId;
use crate::domain::stores::part::Part;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verdict::free_to_give;
use crate::print::likeness::size_list::LookAlike;
use crate::print::words::measured;
use std::collections::HashMap;
use std::collections::hash_map::Entry;

/// The parts that look like one, each with what lies of it in the house.
pub fn look_alikes(scene: &Scene<'_, '_>, part: &Part) -> Result<Vec<LookAlike>, Failure> {
    let one = sized(scene.books, part.clone())?;
    let mut found = Vec::new();
    // Only sizes tell parts apart: what has none looks like nothing, and nobody is looked through.
    if one.sizes.is_empty() {
        return Ok(found);
    }
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

/// The refusal of what was taken for a line of the list though it is another part: both sizes side by side, or what
/// says that it may stand in. None where the name is of no other part.
pub fn taken_for(
    scene: &Scene<'_, '_>,
    (job, line): (&Job, &Line),
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
    let day = scene.day.max(scene.today).max(job.use_day);
    match instead_of(scene, (job, day), wanted, &other)? {
        None => {}
        Some(Err(fault)) => return Ok(Some(Refusal::Likeness(fault))),
        Some(Ok(told)) => {
            return Ok(Some(Refusal::Likeness(LikenessFault::NotAsked {
                job: job.tag.clone().unwrap_or(job.number.clone()),
                n: line.n,
                wanted: wanted.number.clone(),
                given: other.number,
                told,
            })));
        }
    }
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

/// Whether one part may stand in for another on a job by a day: how and by whose authority, or why not; none where
/// nothing is on record of the two.
pub fn instead_of(
    scene: &Scene<'_, '_>,
    (job, day): (&Job, Day),
    wanted: &Part,
    given: &Part,
) -> Result<Option<Result<String, LikenessFault>>, Failure> {
    let with_sizes = sized(scene.books, given.clone())?;
    let length = with_sizes
        .size("length")
        .filter(|size| size.unit.as_deref() == Some("mm"));
    let (conversion, engine) = purpose_of(scene.books, job.id)?;
    let purpose = Purpose {
        wanted: &wanted.number,
        given: &given.number,
        length_mm: length.map(|size| size.value),
        conversion: &conversion,
        engine: &engine,
        day,
    };
    let mut fault = None;
    for (record, other) in stand_ins_of(scene.books, wanted.id)? {
        if other.id != given.id {
            continue;
        }
        match record.judge(wanted.id, given.id, purpose) {
            Ok(()) => return Ok(Some(Ok(record.told()))),
            Err(because) => fault = fault.or(Some(because)),
        }
    }
    Ok(fault.map(Err))
}

/// What may stand in for a part and what never does, a line each, with the authority, the days and what is free.
pub fn stand_ins(scene: &Scene<'_, '_>, part: &Part) -> Result<Vec<String>, Failure> {
    let day = scene.day.max(scene.today);
    let mut told = Vec::new();
    for (record, other) in stand_ins_of(scene.books, part.id)? {
        let number = other.number.clone();
        if !record.allows(part.id, other.id) {
            told.push(format!(
                "{number} never stands in for {}: {}",
                part.number,
                record.told()
            ));
            continue;
        }
        let unit = other.unit;
        let free = measured(free_to_give(&in_house(scene.books, other)?.lying, day), unit);
        let may = match record.holds_on(day) {
            true => "may stand in",
            false => "may not stand in today",
        };
        let first = match record.manner == Manner::UseUp && record.other == part.id {
            true => ", to be used up first",
            false => "",
        };
        told.push(format!(
            "{number} {may} for {}: {}; {free} free{first}",
            part.number,
            record.told()
        ));
    }
    Ok(told)
}
