//! `find`: things are found, not spelled: where, which lot, until when, how many.

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::kitting::jobs::{engine_serial, job_called};
use crate::db::stores::lots::lot_by_number;
use crate::db::stores::search::{
    Found, bins_wanted, code_of_place, every_code, held_because, lies_at, lies_outside, lots_of_code,
    parts_wanted, place_of_code, reserved_for,
};
use crate::db::stores::stock::{in_house, on_order, part_numbered};
use crate::domain::kitting::job::Job;
use crate::domain::measure::near::distance;
use crate::domain::refusal::Refusal;
use crate::domain::stores::part::Part;
use crate::domain::stores::place::Place;
use crate::domain::stores::search::{Wanted, folded};
use crate::domain::stores::verdict::{Verdict, verdict};
use crate::print::kitting::job_sheet::called;
use crate::print::stores::find_answer::{
    Hit, LotFacts, bin_found, lot_found, part_found, part_hit, several_found,
};
use clap::Args;

/// Find a part, lot, bin or job by code or by words: where, which lot, until when, how many
#[derive(Args, Debug)]
pub struct Ask {
    /// A code (part, lot, batch, serial, bin, job, tag) or words in any order, with a size if need be
    #[arg(value_name = "WORDS", required = true)]
    words: Vec<String>,
}

/// What something that was asked for may be.
enum Thing {
    Part(Part),
    Lot(Box<Found>),
    Bin(Place),
    Job(Box<Job>),
}

/// Finds.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.read(|scene| find(scene, &ask.words))
}

fn find(scene: &Scene<'_, '_>, words: &[String]) -> Result<Done, Failure> {
    let asked = words.join(" ").trim().to_owned();
    if asked.is_empty() {
        return Err(Failure::usage(
            "nothing is looked for",
            "say what: `find 2 mm spacer`",
        ));
    }
    let mut things = of_code(scene, &asked)?;
    let mut read_as = None;
    if things.is_empty() {
        things = by_words(scene, words)?;
    }
    if things.is_empty()
        && let Some(short) = lot_by_number(scene.books, &asked)?
    {
        // A code or a word goes before a short form of a lot number, which is then shown whole.
        things = of_code(scene, &short.number)?;
    }
    if things.is_empty() {
        let known = every_code(scene.books)?;
        let eye = folded(&asked);
        let same: Vec<&String> = known.iter().filter(|code| folded(code) == eye).collect();
        if same.is_empty() {
            return Err(unknown(&asked, &known));
        }
        for code in &same {
            things.extend(of_code(scene, code)?);
        }
        read_as = Some(same.into_iter().cloned().collect::<Vec<_>>().join(", "));
    }
    let mut done = answer(scene, &asked, things)?;
    if let Some(code) = read_as {
        done.paper.notes.push(format!("{asked} was read as {code}"));
    }
    Ok(done)
}

/// What bears exactly this code, however it is capitalised.
fn of_code(scene: &Scene<'_, '_>, code: &str) -> Result<Vec<Thing>, Failure> {
    let mut things = Vec::new();
    things.extend(part_numbered(scene.books, code)?.map(Thing::Part));
    for found in lots_of_code(scene.books, code)? {
        things.push(Thing::Lot(Box::new(found)));
    }
    things.extend(place_of_code(scene.books, code)?.map(Thing::Bin));
    match job_called::<Failure>(scene.books, code) {
        Ok(job) => things.push(Thing::Job(Box::new(job))),
        Err(Failure::Refusal(Refusal::Unknown { .. } | Refusal::Ambiguous { .. })) => {}
        Err(other) => return Err(other),
    }
    // The kit and the engine of a job are places too; the job says more.
    if things.iter().any(|thing| matches!(thing, Thing::Job(_))) {
        things.retain(|thing| !matches!(thing, Thing::Bin(_)));
    }
    Ok(things)
}

/// The parts, or else the bins, that have all the words.
fn by_words(scene: &Scene<'_, '_>, words: &[String]) -> Result<Vec<Thing>, Failure> {
    let wanted = Wanted::of(words);
    let parts = parts_wanted(scene.books, &wanted)?;
    if !parts.is_empty() {
        return Ok(parts.into_iter().map(Thing::Part).collect());
    }
    Ok(bins_wanted(scene.books, &wanted)?
        .into_iter()
        .map(Thing::Bin)
        .collect())
}

/// Nothing was found; up to three codes near to what was typed are offered.
fn unknown(asked: &str, known: &[String]) -> Failure {
    let eye = folded(asked);
    let mut near: Vec<(usize, &String)> = known
        .iter()
        .filter_map(|code| {
            let plain = distance(asked, code);
            let eyed = distance(&eye, &folded(code));
            plain.into_iter().chain(eyed).min().map(|slips| (slips, code))
        })
        .collect();
    near.sort();
    Refusal::Unknown {
        what: "part, lot, bin or job",
        asked: asked.to_owned(),
        near: near.into_iter().take(3).map(|(_, code)| code.clone()).collect(),
    }
    .into()
}

fn answer(scene: &Scene<'_, '_>, asked: &str, things: Vec<Thing>) -> Result<Done, Failure> {
    match <[Thing; 1]>::try_from(things) {
        Ok([thing]) => one(scene, thing),
        Err(things) => {
            let hits: Result<Vec<Hit>, Failure> = things.iter().map(|thing| hit(scene, thing)).collect();
            Ok(Done::yes(several_found(asked, &hits?, scene.paper("find", ""))))
        }
    }
}

fn one(scene: &Scene<'_, '_>, thing: Thing) -> Result<Done, Failure> {
    let (paper, day) = (scene.paper("find", ""), scene.day.max(scene.today));
    Ok(match thing {
        Thing::Part(part) => {
            let coming = on_order(scene.books, part.id)?;
            Done::yes(part_found(&in_house(scene.books, part)?, coming, day, paper))
        }
        Thing::Lot(found) => {
            let owner = found.lot.owner.map(|owner| code_of_place(scene.books, owner));
            let facts = LotFacts {
                lot: &found.lot,
                part: &found.part,
                lying: &found.lying,
                outside: lies_outside(scene.books, found.lot.id)?,
                reserved: reserved_for(scene.books, found.lot.id)?,
                held: held_because(scene.books, found.lot.id)?,
                owner: owner.transpose()?.flatten(),
            };
            let paper = lot_found(&facts, day, paper);
            match verdict(&found.lot, &found.lying, day) {
                Verdict::Usable => Done::yes(paper),
                _ => Done::no(paper),
            }
        }
        Thing::Bin(place) => Done::yes(bin_found(&place, &lies_at(scene.books, place.id)?, day, paper)),
        Thing::Job(job) => job_found(scene, &job)?,
    })
}

/// A job: whose engine, for which day, how many lines are short.
fn job_found(scene: &Scene<'_, '_>, job: &Job) -> Result<Done, Failure> {
    let mut facts = scene.gather()?;
    facts.job(job.id)?;
    let stock = facts.done();
    let lines = stock.lines.values().filter(|line| line.job == job.id);
    let short = lines.filter(|line| line.short().is_positive()).count();
    let engine = engine_serial(scene.books, job.engine)?.unwrap_or_default();
    let whose = job.customer.map(|customer| code_of_place(scene.books, customer));
    let whose = whose
        .transpose()?
        .flatten()
        .unwrap_or_else(|| "the house".to_owned());
    let mut paper = scene.paper(
        "find",
        format!(
            "{} for {engine} of {whose}: {}, day of use {}, {short} short",
            called(job),
            job.state.word(),
            job.use_day
        ),
    );
    let name = job.tag.as_ref().unwrap_or(&job.number);
    paper
        .next
        .push(format!("bincard job show {name}   every line of it"));
    Ok(Done::yes(paper))
}

/// A thing as one of several.
fn hit(scene: &Scene<'_, '_>, thing: &Thing) -> Result<Hit, Failure> {
    let day = scene.day.max(scene.today);
    Ok(match thing {
        Thing::Part(part) => part_hit(&in_house(scene.books, part.clone())?, day),
        Thing::Lot(found) => Hit {
            what: "lot",
            number: found.lot.number.clone(),
            name: found.part.name.clone(),
            bin: found
                .lying
                .first()
                .map(|line| line.place.code.clone())
                .unwrap_or_default(),
            lot: found.lot.number.clone(),
            expiry: found.lot.expiry,
            free: found
                .lying
                .first()
                .map(|line| (line.position.free(), found.part.unit.to_string())),
        },
        Thing::Bin(place) => Hit {
            what: "bin",
            number: place.code.clone(),
            name: place.name.clone(),
            bin: place.code.clone(),
            lot: String::new(),
            expiry: None,
            free: None,
        },
        Thing::Job(job) => Hit {
            what: "job",
            number: called(job),
            name: job.choices.clone(),
            bin: String::new(),
            lot: String::new(),
            expiry: None,
            free: None,
        },
    })
}
