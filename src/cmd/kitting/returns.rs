//! `return` and `put-back`: what comes back off the engine or out of the kit, and in what condition.

use crate::cmd::answers::{answers, said_of};
use crate::cmd::error::Failure;
use crate::cmd::keeping::bins_bear;
use crate::cmd::shelf::{bin_of_kind, bin_or_only, lot_called, posted, posted_with, quantity};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::kitting::jobs::job_called;
use crate::db::load::Gather;
use crate::db::stores::notes::next_note;
use crate::db::stores::orders::home_of;
use crate::domain::kitting::job::Job;
use crate::domain::kitting::returns::{Back, give_back, line_numbered, put_back};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::PlaceId;
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::noting::{NewNote, record};
use crate::domain::stores::part::Part;
use crate::domain::stores::posting::Posting;
use crate::print::kitting::job_sheet::called;
use crate::print::words::count;
use clap::Args;

/// Return parts from a job to receiving, each with its condition; the line is short again
///
/// `12=2:unused 7=1:burr` brings two of line 12 back unused and one of line 7 with a burr. The inspector decides what
/// becomes of them: `bincard inspect`.
#[derive(Args, Debug)]
pub struct Ask {
    /// Its tag, number or engine serial
    #[arg(value_name = "JOB")]
    job: String,
    /// What comes back: `LINE=QTY:CONDITION`
    #[arg(value_name = "LINE=QTY:CONDITION", required = true)]
    back: Vec<String>,
    /// The lot, where a line has several: `LINE=LOT`
    #[arg(long, value_name = "LINE=LOT")]
    lot: Vec<String>,
    /// Where it goes: a bin, or whoever gets it
    #[arg(long, value_name = "BIN")]
    to: Option<String>,
}

/// Put parts that lie untouched in a kit back into their bins
#[derive(Args, Debug)]
pub struct PutBackAsk {
    /// Its tag, number or engine serial
    #[arg(value_name = "JOB")]
    job: String,
    /// What goes back: `LINE=QTY`, or `LINE=QTY:LOT` where a line has several lots
    #[arg(value_name = "LINE=QTY[:LOT]", required = true)]
    back: Vec<String>,
    /// The lot, where a line has several: `LINE=LOT`
    #[arg(long, value_name = "LINE=LOT")]
    lot: Vec<String>,
    /// Where it goes: a bin, or whoever gets it
    #[arg(long, value_name = "[LINE=]BIN")]
    to: Vec<String>,
    /// Into the bin though its limit is passed; the document says so
    #[arg(long)]
    over_limit: bool,
}

/// Returns.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.change(|scene| bring_back(scene, ask))
}

/// Puts back.
pub fn back(shop: &mut Shop<'_, '_>, ask: &PutBackAsk) -> Result<Done, Failure> {
    shop.change(|scene| put_away(scene, ask))
}

/// The job with everything in its kit and on its engine.
fn gathered<'s, 'b>(scene: &Scene<'s, 'b>, called: &str) -> Result<(Job, Gather<'s, 'b>), Failure> {
    let job = job_called::<Failure>(scene.books, called)?;
    let mut facts = scene.gather()?;
    facts.job_with_goods(job.id)?;
    Ok((job, facts))
}

/// The part of a line.
fn part_of_line(facts: &Gather<'_, '_>, job: &Job, n: i64) -> Result<Part, Failure> {
    let stock = facts.so_far();
    Ok(stock.part(line_numbered(stock, job.id, n)?.part)?.clone())
}

/// One answered line, with the lot where one is named.
fn one_back(
    scene: &Scene<'_, '_>,
    facts: &mut Gather<'_, '_>,
    (n, amount, part): (i64, &str, &Part),
    named: Option<&str>,
    to: PlaceId,
) -> Result<Back, Failure> {
    let qty = quantity(scene, amount, part)?;
    let lot = named.map(|named| lot_called(scene, named)).transpose()?;
    if let Some(lot) = lot {
        facts.lot(lot)?;
    }
    facts.place(to)?;
    Ok(Back { n, qty, lot, to })
}

fn bring_back(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    let (job, mut facts) = gathered(scene, &ask.job)?;
    let to = bin_or_only(scene, ask.to.as_ref(), Kind::Receiving)?;
    let (mut back, mut conditions) = (Vec::new(), Vec::new());
    for (n, text) in answers(&ask.back, "12=2:unused")? {
        let Some((amount, condition)) = text.split_once(':').filter(|(_, said)| !said.trim().is_empty())
        else {
            return Err(Failure::usage(
                format!("line {n}: in what condition does it come back?"),
                format!("say it: `{n}={text}:unused`, `:opened`, `:used`, or what is wrong with it"),
            ));
        };
        let part = part_of_line(&facts, &job, n)?;
        let named = said_of(&ask.lot, n).first().copied();
        back.push(one_back(scene, &mut facts, (n, amount, &part), named, to)?);
        conditions.push(condition.trim().to_owned());
    }
    let head = scene.head(DocKind::Movement(Movement::Return));
    let mut posting = give_back(&facts.done(), head, job.id, &back)?;
    keep_conditions(scene, &mut posting, &conditions)?;
    let answer = format!(
        "{} of {} back in receiving, to be inspected",
        count(posting.entries.len(), "line"),
        called(&job)
    );
    Ok(posted(posting, "return", "returned", answer))
}

/// Keeps what was said of each lot that came back.
fn keep_conditions(
    scene: &Scene<'_, '_>,
    posting: &mut Posting,
    conditions: &[String],
) -> Result<(), Failure> {
    let first = next_note(scene.books)?;
    let said: Vec<_> = posting
        .entries
        .iter()
        .map(|entry| entry.lot)
        .zip(conditions)
        .collect();
    for (id, (lot, condition)) in (first..).zip(said) {
        posting.records.push(record(NewNote {
            id,
            about: ("lot", lot.0),
            topic: "returned",
            text: condition.clone(),
            answers: None,
        })?);
    }
    Ok(())
}

fn put_away(scene: &Scene<'_, '_>, ask: &PutBackAsk) -> Result<Decision<'static>, Failure> {
    let (job, mut facts) = gathered(scene, &ask.job)?;
    let mut back = Vec::new();
    for (n, text) in answers(&ask.back, "22=4")? {
        let (amount, beside) = text
            .split_once(':')
            .map_or((text, None), |(amount, lot)| (amount, Some(lot)));
        let named = beside.or_else(|| said_of(&ask.lot, n).first().copied());
        let part = part_of_line(&facts, &job, n)?;
        let to = match said_of(&ask.to, n).first() {
            Some(code) => bin_of_kind(scene, code, &[Kind::Shelf, Kind::Bench])?,
            None => home_of(scene.books, part.id)?.ok_or_else(|| {
                Failure::from(Refusal::Unknown {
                    what: "bin for",
                    asked: part.number.clone(),
                    near: Vec::new(),
                })
            })?,
        };
        back.push(one_back(scene, &mut facts, (n, amount, &part), named, to)?);
    }
    let head = scene.head(DocKind::Movement(Movement::PutBack));
    let stock = facts.done();
    let mut posting = put_back(&stock, head, job.id, &back)?;
    let said = bins_bear(scene, &stock, &mut posting, ask.over_limit)?;
    let answer = format!(
        "{} of {} back in the bins",
        count(posting.entries.len(), "line"),
        called(&job)
    );
    Ok(posted_with(posting, "put_back", "put back", move |_, _| {
        Ok((answer, said))
    }))
}
