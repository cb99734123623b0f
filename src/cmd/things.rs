//! What a code or some words may mean, and what is told of it: the same for whoever finds and whoever scans.

use crate::cmd::error::Failure;
use crate::cmd::help::is_command;
use crate::cmd::likeness::{conventions, look_alikes, stand_ins};
use crate::cmd::shop::{Done, Scene};
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
use crate::intake::scanned::label_scanned;
use crate::print::kitting::job_sheet::called;
use crate::print::likeness::size_list::look_alikes as show_look_alikes;
use crate::print::stores::find_answer::{
    Hit, LotFacts, MOST, bin_found, lot_found, part_found, part_hit, several_found,
};
use std::ffi::OsString;

/// What something that was asked for may be.
#[derive(Debug)]
pub enum Thing {
    /// A part.
    Part(Part),
    /// A lot.
    Lot(Box<Found>),
    /// A bin.
    Bin(Place),
    /// A job.
    Job(Box<Job>),
}

impl Thing {
    /// The part that it is.
    fn part(&self) -> Option<&Part> {
        match self {
            Thing::Part(part) => Some(part),
            _ => None,
        }
    }
}

/// The words of a command line with every label of ours in them read: what was scanned where a number or a code is
/// typed stands there as if it had been typed, after `LINE=QTY:` as well. `scan` reads its label itself.
pub fn unlabelled(args: &[OsString]) -> Vec<OsString> {
    let command = args
        .iter()
        .filter_map(|arg| arg.to_str())
        .find(|arg| is_command(arg));
    if command == Some("scan") {
        return args.to_vec();
    }
    let read = |arg: &OsString| {
        arg.to_str()
            .and_then(without_label)
            .map_or(arg.clone(), OsString::from)
    };
    args.iter().map(read).collect()
}

/// A word with what its label names in the label's stead; none where there is no label in it.
fn without_label(word: &str) -> Option<String> {
    let begin = word.rfind([':', '=']).map_or(0, |at| at + 1);
    let (before, after) = (word.get(..begin)?, word.get(begin..)?);
    let own = label_scanned(word).map(|own| own.text());
    own.or_else(|| Some(format!("{before}{}", label_scanned(after)?.text())))
}

/// What was found.
#[derive(Debug)]
pub struct Meant {
    /// All that it may be.
    pub things: Vec<Thing>,
    /// The codes as they stand in the books, where something like them was typed.
    pub read_as: Option<String>,
}

/// What a code, or else its words, or else a short lot number, or else a code that looks like it, may mean; what is
/// near is named where nothing does.
pub fn found_by(scene: &Scene<'_, '_>, asked: &str, words: &[String]) -> Result<Meant, Failure> {
    let exactly = |things| {
        Ok(Meant {
            things,
            read_as: None,
        })
    };
    let things = of_code(scene, asked)?;
    if !things.is_empty() {
        return exactly(things);
    }
    let things = by_words(scene, words)?;
    if !things.is_empty() {
        return exactly(things);
    }
    if let Some(short) = lot_by_number(scene.books, asked)? {
        // A code or a word goes before a short form of a lot number, which is then shown whole.
        return exactly(of_code(scene, &short.number)?);
    }
    let known = every_code(scene.books)?;
    let eye = folded(asked);
    let same: Vec<&String> = known.iter().filter(|code| folded(code) == eye).collect();
    if same.is_empty() {
        return Err(unknown(asked, &known));
    }
    let mut things = Vec::new();
    for code in &same {
        things.extend(of_code(scene, code)?);
    }
    let read_as = Some(same.into_iter().cloned().collect::<Vec<_>>().join(", "));
    Ok(Meant { things, read_as })
}

/// What bears exactly this code, however it is capitalised.
pub fn of_code(scene: &Scene<'_, '_>, code: &str) -> Result<Vec<Thing>, Failure> {
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

/// What is told of all that something may mean.
pub fn answer(
    scene: &Scene<'_, '_>,
    kind: &'static str,
    asked: &str,
    things: Vec<Thing>,
) -> Result<Done, Failure> {
    match <[Thing; 1]>::try_from(things) {
        Ok([thing]) => one(scene, kind, thing),
        Err(things) => {
            let hits: Result<Vec<Hit>, Failure> = things.iter().map(|thing| hit(scene, thing)).collect();
            let mut paper = several_found(asked, &hits?, scene.paper(kind, ""));
            let parts: Vec<&Part> = things.iter().filter_map(Thing::part).take(MOST).collect();
            paper.cautions.extend(conventions(scene, &parts)?);
            Ok(Done::yes(paper))
        }
    }
}

/// What is told of one thing: the first line is the answer, and the exit says whether it may be used.
pub fn one(scene: &Scene<'_, '_>, kind: &'static str, thing: Thing) -> Result<Done, Failure> {
    let (paper, day) = (scene.paper(kind, ""), scene.day.max(scene.today));
    Ok(match thing {
        Thing::Part(part) => {
            let coming = on_order(scene.books, part.id)?;
            let alike = look_alikes(scene, &part)?;
            let instead = stand_ins(scene, &part)?;
            let mut paper = part_found(&in_house(scene.books, part)?, coming, (day, &instead), paper);
            show_look_alikes(&alike, day, &mut paper);
            Done::yes(paper)
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
        Thing::Job(job) => job_found(scene, kind, &job)?,
    })
}

/// A job: whose engine, for which day, how many lines are short.
fn job_found(scene: &Scene<'_, '_>, kind: &'static str, job: &Job) -> Result<Done, Failure> {
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
        kind,
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
