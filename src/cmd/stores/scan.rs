//! `scan`: what a label says and what the books say of it; a scan that leaves a choice open is never answered by a guess.

use crate::cmd::args::Globals;
use crate::cmd::desk::{Desk, Line};
use crate::cmd::error::{Failure, exit};
use crate::cmd::shelf::bin_called;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::cmd::things::{Thing, answer, found_by, of_code, one};
use crate::db::kitting::jobs::{gather_jobs, job_called};
use crate::db::kitting::picked::picked_from_list;
use crate::db::stores::search::{Found, code_of_place, lots_of_code, place_of_code};
use crate::db::stores::stock::{in_house, part_numbered};
use crate::db::tracing::{Filter, documents};
use crate::domain::kitting::pick::pick_list;
use crate::domain::measure::number::read_document_number;
use crate::domain::measure::scan::{MakersLabel, Own, Scan, Swallowed};
use crate::domain::refusal::Refusal;
use crate::domain::stores::part::Part;
use crate::domain::stores::standing::Lying;
use crate::intake::scanned::scanned;
use crate::print::stores::scan_answer::{
    Owners, Told, document_found, label_table, line_found, mind_the_label, none_there, not_in_books,
    which_lot, which_of_batch,
};
use clap::Args;
use std::ffi::OsString;

/// Scan a label or type its code: what it is, where, how much, good until, whose; without a code, one scan a line
#[derive(Args, Debug)]
pub struct Ask {
    /// What was scanned; without it, scans are read one a line until nothing more comes
    #[arg(value_name = "CODE")]
    code: Vec<String>,
    /// The bin where it was scanned
    #[arg(long = "in", value_name = "BIN")]
    place: Option<String>,
}

impl Ask {
    /// Whether no code was given, so that scans are read line by line.
    pub fn is_bare(&self) -> bool {
        self.code.is_empty()
    }
}

/// The kind of its paper.
const KIND: &str = "scan";

/// Answers one scan.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.read(|scene| say(scene, &ask.code.join(" "), ask.place.as_deref()))
}

/// Answers scans one a line until nothing more comes; the exit is the last one's that was not good.
pub fn stand(desk: &mut Desk<'_>, globals: &Globals, ask: &Ask) -> Result<u8, Failure> {
    let mut worst = exit::DONE;
    loop {
        let code = match desk.next_line("scan> ").map_err(typed_not)? {
            Line::Text(code) => code,
            Line::Strange => {
                let failure = Failure::usage("that line is no text in UTF-8", "scan it again");
                worst = crate::cmd::write_failure(desk, globals, &failure);
                continue;
            }
            Line::End => return Ok(worst),
        };
        if code.is_empty() {
            continue;
        }
        let mut typed = vec!["bincard".to_owned()];
        typed.extend(globals.typed());
        typed.push(KIND.to_owned());
        typed.extend(ask.place.iter().flat_map(|bin| ["--in".to_owned(), bin.clone()]));
        typed.extend(["--".to_owned(), code]);
        let args: Vec<OsString> = typed.into_iter().map(OsString::from).collect();
        let told = crate::cmd::run(desk, &args);
        worst = if told == exit::DONE { worst } else { told };
    }
}

fn typed_not(error: std::io::Error) -> Failure {
    Failure::File {
        path: "what is typed".to_owned(),
        because: error.to_string(),
        exit: exit::IO,
    }
}

fn say(scene: &Scene<'_, '_>, line: &str, bin: Option<&str>) -> Result<Done, Failure> {
    let read = scanned(line, scene.today)?;
    match &read.scan {
        Scan::Own(own) => ours(scene, own, bin),
        Scan::Maker(label) => makers(scene, label, read.swallowed.as_ref(), bin),
        Scan::Plain { text, own } => plain(scene, text, own.as_ref(), bin),
    }
}

/// A label of ours: what it names must be in the books.
fn ours(scene: &Scene<'_, '_>, own: &Own, bin: Option<&str>) -> Result<Done, Failure> {
    let unknown = |what| -> Failure {
        Refusal::Unknown {
            what,
            asked: own.text(),
            near: vec![],
        }
        .into()
    };
    match own {
        Own::Lot(number) => {
            let mut found = lots_of_code(scene.books, number)?;
            found.retain(|found| found.lot.number == *number);
            let found = found.pop().ok_or_else(|| unknown("lot"))?;
            one(scene, KIND, Thing::Lot(Box::new(found)))
        }
        Own::Bin(code) => {
            let place = place_of_code(scene.books, code)?.ok_or_else(|| unknown("bin"))?;
            one(scene, KIND, Thing::Bin(place))
        }
        Own::Part(number) => {
            let part = part_numbered(scene.books, number)?.ok_or_else(|| unknown("part"))?;
            part_only(scene, part, bin)
        }
        Own::Job(number) => {
            let job = job_called::<Failure>(scene.books, number)?;
            one(scene, KIND, Thing::Job(Box::new(job)))
        }
        Own::Document(number) => document(scene, number)?.ok_or_else(|| unknown("document")),
        Own::Line { job, list, n } => list_line(scene, job, *list, *n),
    }
}

/// A part's label does not say which lot: where there is more than one, the lot is asked for and none is taken.
fn part_only(scene: &Scene<'_, '_>, part: Part, bin: Option<&str>) -> Result<Done, Failure> {
    let mut found = in_house(scene.books, part.clone())?;
    let day = scene.day.max(scene.today);
    if let Some(bin) = bin {
        let place = bin_called(scene, bin)?;
        found.lying.retain(|line| line.place.id == place);
        if found.lying.is_empty() {
            return Ok(Done::no(none_there(&part, bin, scene.paper(KIND, ""))));
        }
    }
    let Some(first) = found.lying.first().map(|line| line.lot.clone()) else {
        return one(scene, KIND, Thing::Part(part));
    };
    if found.lying.iter().all(|line| line.lot.id == first.id) {
        let lying = found.lying;
        let lot = Found {
            lot: first,
            part,
            lying,
        };
        let mut done = one(scene, KIND, Thing::Lot(Box::new(lot)))?;
        let only = "the label names the part only; this is the one lot of it";
        let there = bin.map_or("in the house".to_owned(), |bin| format!("in {bin}"));
        done.paper.notes.push(format!("{only} {there}"));
        return Ok(done);
    }
    Ok(Done::no(which_lot(
        &found,
        &owners(scene, &found.lying)?,
        day,
        scene.paper(KIND, ""),
    )))
}

/// Whose lots are that are not the house's.
fn owners(scene: &Scene<'_, '_>, lying: &[Lying]) -> Result<Owners, Failure> {
    let mut owners = Owners::new();
    for owner in lying.iter().filter_map(|line| line.lot.owner) {
        owners.extend(code_of_place(scene.books, owner)?.map(|code| (owner, code)));
    }
    Ok(owners)
}

/// A text that only the books can place: a code of theirs first, then a label of ours whose mark was dropped, then words.
fn plain(scene: &Scene<'_, '_>, text: &str, own: Option<&Own>, bin: Option<&str>) -> Result<Done, Failure> {
    let things = of_code(scene, text)?;
    match (things.is_empty(), own) {
        (false, _) => match <[Thing; 1]>::try_from(things) {
            Ok([Thing::Part(part)]) => part_only(scene, part, bin),
            Ok([thing]) => one(scene, KIND, thing),
            Err(several) => open_choice(answer(scene, KIND, text, several)?),
        },
        (true, Some(own)) => ours(scene, own, bin),
        (true, None) => {
            if let Some(done) = document(scene, text)? {
                return Ok(done);
            }
            let words: Vec<String> = text.split_whitespace().map(str::to_owned).collect();
            let found = found_by(scene, text, &words)?;
            let mut done = answer(scene, KIND, text, found.things)?;
            done.paper
                .notes
                .extend(found.read_as.map(|code| format!("{text} was read as {code}")));
            Ok(done)
        }
    }
}

/// Several things bear one code: it is for whoever scans to say which.
fn open_choice(done: Done) -> Result<Done, Failure> {
    Ok(Done::no(done.paper))
}

/// The document of this number, if there is one.
fn document(scene: &Scene<'_, '_>, number: &str) -> Result<Option<Done>, Failure> {
    let Ok((_, id)) = read_document_number(number) else {
        return Ok(None);
    };
    let filter = Filter {
        id: Some(id),
        ..Filter::default()
    };
    let found = documents(scene.books, &filter, 1)?.pop();
    let found = found.filter(|found| found.number.eq_ignore_ascii_case(number));
    Ok(found.map(|found| {
        let told = Told {
            number: found.number,
            kind: found.kind,
            day: found.day,
            by: found.by,
            job: found.job,
            reason: found.reason,
            entries: usize::try_from(found.entries).unwrap_or_default(),
            undone_by: found.undone_by,
        };
        Done::yes(document_found(&told, scene.paper(KIND, "")))
    }))
}

/// A line of the list that holds now; an older list is refused as `pick` refuses it.
fn list_line(scene: &Scene<'_, '_>, job: &str, list: i64, n: i64) -> Result<Done, Failure> {
    let job = job_called::<Failure>(scene.books, job)?;
    if list != job.list {
        let (answered, now) = (list, job.list);
        let job = job.number;
        return Err(Refusal::OldList { job, answered, now }.into());
    }
    let mut facts = scene.gather()?;
    gather_jobs(&mut facts, &[job.id])?;
    let stock = facts.done();
    let lines = pick_list(&stock, job.id, &picked_from_list(scene.books, &job)?)?;
    let line = lines.iter().find(|line| line.n == n);
    let line = line.ok_or_else(|| Refusal::Impossible {
        what: format!("line {n} of list {list}"),
        because: "nothing is left to pick on it".to_owned(),
    })?;
    Ok(Done::yes(line_found(&stock, &job, line, scene.paper(KIND, ""))?))
}

/// A maker's label: the lot with its batch and serial, and whether the books say of it what the label says.
fn makers(
    scene: &Scene<'_, '_>,
    label: &MakersLabel,
    swallowed: Option<&Swallowed>,
    bin: Option<&str>,
) -> Result<Done, Failure> {
    let part = part_named(scene, label)?;
    let mut found = of_label(scene, label, part.as_ref())?;
    let mut done = match (found.pop(), found.is_empty(), &part) {
        (Some(only), true, _) => {
            let lot = only.lot.clone();
            let mut done = one(scene, KIND, Thing::Lot(Box::new(only)))?;
            if mind_the_label(label, &lot, scene.day.max(scene.today), &mut done.paper) {
                done.exit = exit::NO;
            }
            done
        }
        (Some(last), false, _) => {
            found.push(last);
            let lots: Vec<_> = found
                .iter()
                .map(|found| (&found.part, &found.lot, &*found.lying))
                .collect();
            let lying: Vec<Lying> = found
                .iter()
                .flat_map(|found| found.lying.iter().cloned())
                .collect();
            let (owners, day) = (owners(scene, &lying)?, scene.day.max(scene.today));
            Done::no(which_of_batch(&lots, &owners, day, scene.paper(KIND, "")))
        }
        (None, _, Some(part)) if label.text("10").or(label.text("21")).is_none() => {
            part_only(scene, part.clone(), bin)?
        }
        (None, ..) => Done::no(not_in_books(label, scene.paper(KIND, ""))),
    };
    done.paper.tables.push(label_table(label));
    if let Some(swallowed) = swallowed {
        done.paper.cautions.push(format!(
            "a separator seems to be missing on the label: ({}) {} may be {}, and ({}) {}; type the lot: \
             bincard scan {}",
            swallowed.ai,
            swallowed.value,
            swallowed.shorter,
            swallowed.swallowed,
            swallowed.day,
            swallowed.shorter
        ));
    }
    Ok(done)
}

/// The part of ours that a maker's label names by its number, his own or ours.
fn part_named(scene: &Scene<'_, '_>, label: &MakersLabel) -> Result<Option<Part>, Failure> {
    for number in ["241", "240"].into_iter().filter_map(|ai| label.text(ai)) {
        if let Some(part) = part_numbered(scene.books, number)? {
            return Ok(Some(part));
        }
    }
    Ok(None)
}

/// The lots with the batch and the serial of a label; both where it bears both.
fn of_label(scene: &Scene<'_, '_>, label: &MakersLabel, part: Option<&Part>) -> Result<Vec<Found>, Failure> {
    let (batch, serial) = (label.text("10"), label.text("21"));
    let same = |one: &Option<String>, other: Option<&str>| match (one, other) {
        (Some(one), Some(other)) => one.eq_ignore_ascii_case(other),
        // What the books or the label leave out contradicts nothing.
        _ => true,
    };
    let Some(code) = serial.or(batch) else {
        return Ok(Vec::new());
    };
    let mut found = lots_of_code(scene.books, code)?;
    if let (true, Some(batch)) = (found.is_empty(), batch) {
        found = lots_of_code(scene.books, batch)?;
    }
    found.retain(|found| {
        let lot = &found.lot;
        let named = lot.batch.is_some() || lot.serial.is_some();
        named
            && same(&lot.batch, batch)
            && same(&lot.serial, serial)
            && part.is_none_or(|part| part.id == found.part.id)
    });
    Ok(found)
}
