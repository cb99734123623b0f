//! `log`: the documents, newest first.

use crate::cmd::error::Failure;
use crate::cmd::shelf::no_lot;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::kitting::jobs::job_called;
use crate::db::stores::lots::{Called, lots_called};
use crate::db::stores::search::place_of_code;
use crate::db::stores::stock::part_numbered;
use crate::db::tracing::lot_life::lot_life;
use crate::db::tracing::{Filter, Logged, documents};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{PartId, PlaceId};
use crate::print::cell::Cell;
use crate::print::stores::find_answer::worked_out;
use crate::print::table::Table;
use crate::print::tracing::lot_life::lot_life as life_sheet;
use crate::print::words::count;
use clap::Args;

/// The documents, newest first: who, when, what, and what undid it
#[derive(Args, Debug)]
pub struct Ask {
    /// A part, a bin or a lot: only what touched it; of a lot its whole life, with what each document did to it
    #[arg(value_name = "WHAT", conflicts_with = "part")]
    what: Option<String>,
    /// The job it is about: tag, number or engine serial
    #[arg(short = 'j', long, value_name = "JOB")]
    job: Option<String>,
    /// Only those that moved or promised lots of this part
    #[arg(long, value_name = "PART")]
    part: Option<String>,
    /// Only those of this person
    #[arg(long, value_name = "INITIALS")]
    person: Option<String>,
    /// Only that of this operation id
    #[arg(long, value_name = "ID")]
    op: Option<String>,
    /// No more than this many; without it 20, and a lot's life whole
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(i64).range(1..=1_000_000))]
    most: Option<i64>,
}

/// Shows the log.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.read(|scene| show(scene, ask))
}

/// The part of this number.
fn part_called(scene: &Scene<'_, '_>, asked: &str) -> Result<PartId, Failure> {
    let found = part_numbered(scene.books, asked)?;
    let unknown = || Refusal::Unknown {
        what: "part",
        asked: asked.to_owned(),
        near: vec![],
    };
    Ok(found.ok_or_else(unknown)?.id)
}

/// What a name leads to.
enum Named {
    Part(PartId),
    Place(PlaceId),
    Lot(Called),
}

/// What a name leads to: a whole name goes before a short form of a lot number.
fn named(scene: &Scene<'_, '_>, what: &str) -> Result<Named, Failure> {
    if let Some(part) = part_numbered(scene.books, what)? {
        return Ok(Named::Part(part.id));
    }
    if let Some(place) = place_of_code(scene.books, what)? {
        return Ok(Named::Place(place.id));
    }
    let found = lots_called(scene.books, what)?;
    match found.as_slice() {
        [one] => Ok(Named::Lot(one.clone())),
        [] => Err(no_lot("part, lot or bin", what).into()),
        several => Err(Refusal::Ambiguous {
            what: "lot",
            asked: what.to_owned(),
            fits: several.iter().map(|lot| lot.number.clone()).collect(),
        }
        .into()),
    }
}

/// A lot's whole life.
fn life(scene: &Scene<'_, '_>, ask: &Ask, lot: &Called) -> Result<Done, Failure> {
    if ask.job.is_some() || ask.person.is_some() || ask.op.is_some() {
        return Err(Failure::usage(
            format!("lot {}: its life is shown whole", lot.number),
            format!("leave the other options out: `bincard log {}`", lot.number),
        ));
    }
    let mut facts = scene.gather()?;
    facts.lot(lot.id)?;
    let stock = facts.done();
    let (part, record) = (stock.part_of(lot.id)?, stock.lot(lot.id)?);
    let deeds = lot_life(scene.books, lot.id)?;
    let title = format!("lot {} of {}", record.number, part.number);
    let most = ask.most.map(|most| usize::try_from(most).unwrap_or(usize::MAX));
    let mut paper = life_sheet(&title, part.unit, &deeds, most, scene.paper("lot_life", ""));
    paper.notes.push(worked_out(record, scene.day.max(scene.today)));
    Ok(Done::yes(paper))
}

fn show(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let what = ask.what.as_ref().map(|what| named(scene, what)).transpose()?;
    if let Some(Named::Lot(lot)) = &what {
        return life(scene, ask, lot);
    }
    let job = match &ask.job {
        Some(called) => Some(job_called::<Failure>(scene.books, called)?.id),
        None => None,
    };
    let part = match &ask.part {
        Some(asked) => Some(part_called(scene, asked)?),
        None => match what {
            Some(Named::Part(part)) => Some(part),
            _ => None,
        },
    };
    let place = match what {
        Some(Named::Place(place)) => Some(place),
        _ => None,
    };
    let filter = Filter {
        op: ask.op.as_deref(),
        job,
        by: ask.person.as_deref(),
        part,
        place,
        id: None,
    };
    let found = documents(scene.books, &filter, ask.most.unwrap_or(20))?;
    if let (true, Some(op)) = (found.is_empty(), &ask.op) {
        return Err(Refusal::Unknown {
            what: "operation",
            asked: op.clone(),
            near: vec![],
        }
        .into());
    }
    let table = listed(&found);
    let last = found
        .first()
        .map_or(String::new(), |newest| format!(", the newest {}", newest.number));
    let mut paper = scene.paper("log", format!("{}{last}", count(found.len(), "document")));
    paper.tables.push(table);
    Ok(Done::yes(paper))
}

/// The documents as a table.
fn listed(found: &[Logged]) -> Table {
    let mut table = Table::new(
        "documents",
        &[
            ("document", "document"),
            ("day", "day"),
            ("written", "written"),
            ("by", "by"),
            ("kind", "what"),
            ("job", "job"),
            ("entries", "lines"),
            ("undone", "undone by"),
            ("undoes", "undoes"),
            ("reason", "why"),
        ],
    )
    .spare(&["written", "reason"]);
    for document in found {
        let text = |text: &Option<String>| Cell::text(text.clone().unwrap_or_default());
        table.row(vec![
            Cell::text(document.number.clone()),
            Cell::Day(document.day),
            Cell::text(document.at.clone()),
            Cell::text(document.by.clone()),
            Cell::text(document.kind.clone()),
            text(&document.job),
            Cell::Count(document.entries),
            text(&document.undone_by),
            text(&document.undoes),
            text(&document.reason),
        ]);
    }
    table
}
