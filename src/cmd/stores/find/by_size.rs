//! `find --size`: the parts whose sizes lie in a range, with what is free of each.

use super::Ask;
use crate::cmd::error::{Failure, exit};
use crate::cmd::shop::{Done, Scene};
use crate::db::likeness::sizes::every_sized;
use crate::db::stores::stock::in_house;
use crate::domain::likeness::size::{Range, Size, SizeAsked, SizeFault, Sized};
use crate::domain::stores::search::Wanted;
use crate::print::likeness::size_list::{InRange, size_list};

/// A size that is looked for, with its range in each unit that parts have it in.
struct Looked {
    name: String,
    ranges: Vec<Range>,
}

impl Looked {
    /// The size of a part that lies in the range.
    fn of<'a>(&self, sized: &'a Sized) -> Option<&'a Size> {
        let size = sized.size(&self.name)?;
        self.ranges.iter().any(|range| range.holds(size)).then_some(size)
    }

    /// `thickness 2 to 2.5 mm`.
    fn told(&self) -> String {
        let ranges: Vec<String> = self.ranges.iter().map(Range::to_string).collect();
        format!("{} {}", self.name, ranges.join(" or "))
    }
}

/// Finds parts by size, of those that have all the words.
pub(super) fn by_size(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let mut all = every_sized(scene.books)?;
    let looked = looked_for(&ask.size, &all)?;
    let wanted = Wanted::of(&ask.words);
    if !wanted.is_empty() {
        let text = |part: &Sized| [&*part.part.number, &*part.part.name, &*part.part.class].join(" ");
        all.retain(|sized| wanted.fits(&text(sized)));
    }
    let near = nearest(&looked, &all);
    let mut found = Vec::new();
    for sized in all {
        let sizes: Option<Vec<&Size>> = looked.iter().map(|one| one.of(&sized)).collect();
        let Some(first) = sizes.and_then(|sizes| sizes.first().copied().cloned()) else {
            continue;
        };
        found.push(InRange {
            house: in_house(scene.books, sized.part.clone())?,
            size: first,
            sized,
        });
    }
    found.sort_by_key(|part| part.size.value);
    let told: Vec<String> = looked.iter().map(Looked::told).collect();
    let day = scene.day.max(scene.today);
    let mut paper = size_list(&told.join(", "), &found, day, scene.paper("find", ""));
    if !found.is_empty() {
        return Ok(Done::yes(paper));
    }
    if let Some((number, size)) = near {
        paper.notes.push(format!("the nearest is {number}, {size}"));
    }
    Ok(Done {
        exit: exit::NO,
        paper,
    })
}

/// What is looked for; a name that no part has, or a unit that it is not measured in, is no search.
fn looked_for(typed: &[String], all: &[Sized]) -> Result<Vec<Looked>, Failure> {
    let look = |text: &String| {
        let asked = SizeAsked::read(text)?;
        let mut units: Vec<Option<String>> = all
            .iter()
            .filter_map(|sized| sized.size(&asked.name))
            .map(|size| size.unit.clone())
            .collect();
        units.sort();
        units.dedup();
        if units.is_empty() {
            let mut known: Vec<String> = all
                .iter()
                .flat_map(|sized| sized.sizes.iter().map(|size| size.name.clone()))
                .collect();
            known.sort();
            known.dedup();
            let name = asked.name;
            return Err(SizeFault::Unknown { name, known });
        }
        Ok(Looked {
            ranges: asked.ranges(&units)?,
            name: asked.name,
        })
    };
    let read: Result<Vec<Looked>, SizeFault> = typed.iter().map(look).collect();
    read.map_err(|fault| {
        Failure::usage(
            fault.to_string(),
            "type it with its unit: `--size thickness=2.0..2.5mm`, or one figure for exactly that much",
        )
    })
}

/// The part whose size is nearest to the only range asked for.
fn nearest(looked: &[Looked], all: &[Sized]) -> Option<(String, Size)> {
    let [only] = looked else { return None };
    let far = |size: &Size| only.ranges.iter().filter_map(|range| range.distance(size)).min();
    let sizes = all.iter().filter_map(|sized| {
        let size = sized.size(&only.name)?;
        Some((far(size)?, sized.part.number.clone(), size.clone()))
    });
    sizes
        .min_by(|one, other| one.0.cmp(&other.0))
        .map(|(_, number, size)| (number, size))
}
