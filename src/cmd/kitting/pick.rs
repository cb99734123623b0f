//! `pick`: the numbered list in walking order, and its confirmation as listed.

use crate::cmd::answers::answers;
use crate::cmd::error::{Failure, exit};
use crate::cmd::keeping::cold_enough;
use crate::cmd::likeness::{beside, taken_for};
use crate::cmd::shelf::quantity;
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::kitting::bills::bill;
use crate::db::kitting::jobs::{gather_jobs, job_called};
use crate::db::kitting::picked::picked_from_list;
use crate::db::stores::notes::open_notes;
use crate::domain::kitting::bill::{Bill, LineKind, pair};
use crate::domain::kitting::job::Job;
use crate::domain::kitting::pick::{Confirmation, PickAnswer, PickLine, pick_as_listed, pick_list};
use crate::domain::kitting::shorts::shorts;
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::{LotId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::lot::Lot;
use crate::domain::stores::stock::Stock;
use crate::print::kitting::job_sheet::called;
use crate::print::kitting::pick_list as paper;
use crate::print::stores::slip::made_short;
use crate::print::words::{count, measured};
use clap::Args;
use std::sync::Arc;

/// Print the pick list of a kit, or book what was picked: as listed, or line by line as it really was
///
/// `7=3` took three of line 7, `12=4:0391K` took another lot, `31=later` leaves line 31 for later. Where a bin
/// has no more than was taken, say why (`-w`): whatever the book says is left there is booked as lost; `7=3:later` leaves the rest for later.
#[derive(Args, Debug)]
pub struct Ask {
    /// Its tag, number or engine serial
    #[arg(value_name = "JOB")]
    job: String,
    /// What was picked: `LINE=QTY`, `LINE=QTY:LOT` or `LINE=later`
    #[arg(value_name = "LINE=QTY", requires = "list")]
    found: Vec<String>,
    /// The number of the list that is answered
    #[arg(long, value_name = "NUMBER")]
    list: Option<i64>,
    /// Book the list as it was printed
    #[arg(long, requires = "list", conflicts_with = "found")]
    as_listed: bool,
    /// Why
    #[arg(short = 'w', long, value_name = "REASON", num_args = 1.., requires = "found")]
    why: Vec<String>,
}

/// Prints the list, or books it.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    match ask.list {
        Some(list) if ask.as_listed || !ask.found.is_empty() => shop.change(|scene| book(scene, ask, list)),
        Some(list) => Err(Failure::usage(
            format!("what was picked from list {list}?"),
            "answer its lines, `7=3 31=later`, or book it `--as-listed`",
        )),
        None => shop.read(|scene| show(scene, ask)),
    }
}

/// The job and everything that could serve it.
fn gathered(scene: &Scene<'_, '_>, ask: &Ask) -> Result<(Job, Stock), Failure> {
    let job = job_called::<Failure>(scene.books, &ask.job)?;
    let mut facts = scene.gather()?;
    gather_jobs(&mut facts, &[job.id])?;
    Ok((job, facts.done()))
}

fn show(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let (job, stock) = gathered(scene, ask)?;
    let lines = pick_list(&stock, job.id, &picked_from_list(scene.books, &job)?)?;
    let short = shorts(&stock, &[job.id])?;
    let bill = job
        .bill
        .map(|id| bill(scene.books, id, scene.day))
        .transpose()?
        .flatten();
    let source = bill.as_ref().map_or("no bill", |bill| bill.data_source.as_str());
    let mut sheet = paper::pick_list(&stock, &job, &lines, &short, source, scene.paper("pick_list", ""))?;
    let said = said_beside(scene, &job, bill.as_ref())?;
    paper::said_beside(&stock, &lines, &said, &mut sheet)?;
    sheet.cautions.extend(beside(scene, &stock, &lines)?);
    if !lines.is_empty() {
        let name = job.tag.clone().unwrap_or(job.number.clone());
        sheet.next.push(format!(
            "bincard pick {name} --list {} --as-listed --by INITIALS   books it",
            job.list
        ));
    }
    Ok(Done::yes(sheet))
}

/// What the bill says beside the parts of the choices taken, and what is handed over about the job.
fn said_beside(scene: &Scene<'_, '_>, job: &Job, bill: Option<&Bill>) -> Result<Vec<paper::Said>, Failure> {
    let mut said = Vec::new();
    if let Some(bill) = bill {
        let typed: Vec<_> = job.choices.split_whitespace().filter_map(pair).collect();
        let chosen = bill.choose(&typed)?;
        let lines = bill
            .reached(|line| chosen.take(line))
            .into_iter()
            .flat_map(|bill| &bill.lines);
        let notes = lines.filter(|line| line.kind == LineKind::Note);
        for line in notes.filter(|line| chosen.take(line)) {
            said.extend(line.text.clone().map(|text| paper::Said {
                part: line.part,
                text,
            }));
        }
    }
    let name = job.tag.as_ref().unwrap_or(&job.number);
    for note in open_notes(scene.books)? {
        if note.job.as_ref() == Some(name) {
            let text = format!("note {} by {}: {}", note.id, note.by, note.text);
            said.push(paper::Said { part: None, text });
        }
    }
    Ok(said)
}

fn book(scene: &Scene<'_, '_>, ask: &Ask, list: i64) -> Result<Decision<'static>, Failure> {
    let (job, mut stock) = gathered(scene, ask)?;
    let picked = picked_from_list(scene.books, &job)?;
    let mut head = scene.head(DocKind::Movement(Movement::Pick));
    head.reason = (!ask.why.is_empty()).then(|| ask.why.join(" "));
    let answers = if ask.as_listed {
        None
    } else {
        // An older list is refused before its numbers are taken for those of the list that holds.
        judge_list(&job, list)?;
        Some(pencilled(
            scene,
            &stock,
            ask,
            &pick_list(&stock, job.id, &picked)?,
        )?)
    };
    counted_place(scene, &mut stock)?;
    let paper = Confirmation {
        list,
        picked: &picked,
        answers: answers.as_deref(),
    };
    let Some(posting) = pick_as_listed(&stock, head, job.id, paper)? else {
        let answer = format!("nothing left to pick on list {list} of {}", called(&job));
        return Ok(Decision::nothing(exit::NO, scene.paper("pick", answer)));
    };
    cold_enough(scene, &stock, &posting)?;
    let in_kit = posting.entries.iter().filter(|entry| entry.to == job.kit).count();
    let lost = posting.entries.len() - in_kit;
    let answer = format!(
        "{} of {} in the kit{}",
        count(in_kit, "line"),
        called(&job),
        if lost > 0 {
            format!(", {} missing from the bin", count(lost, "lot"))
        } else {
            String::new()
        }
    );
    let mut sheet = paper::moved(&stock, &posting, "picked", scene.paper("pick", answer))?;
    sheet.notes.extend(made_short(&stock, &posting)?);
    let name = job.tag.clone().unwrap_or(job.number.clone());
    if lost > 0 || answers.is_some() {
        sheet
            .next
            .push(format!("bincard pick {name}   prints what is left to pick"));
    }
    sheet.next.push(format!(
        "bincard issue {name} --by INITIALS   the kit goes to the engine"
    ));
    Ok(Decision::post(posting, exit::DONE, move |_| Ok(sheet)))
}

/// The list answered is the one that holds.
fn judge_list(job: &Job, list: i64) -> Result<(), Refusal> {
    if list == job.list {
        return Ok(());
    }
    Err(Refusal::OldList {
        job: job.number.clone(),
        answered: list,
        now: job.list,
    })
}

/// The place that what is missing goes to.
fn counted_place(scene: &Scene<'_, '_>, stock: &mut Stock) -> Result<(), Failure> {
    let counted = PlaceId::of(Kind::Counted, 1);
    let mut facts = scene.gather()?;
    facts.place(counted)?;
    let place = facts.done().place(counted)?.clone();
    stock.places.insert(counted, place);
    Ok(())
}

/// What is pencilled on the paper, line by line.
fn pencilled(
    scene: &Scene<'_, '_>,
    stock: &Stock,
    ask: &Ask,
    listed: &[PickLine],
) -> Result<Vec<PickAnswer>, Failure> {
    let mut found = Vec::new();
    for (n, text) in answers(&ask.found, "7=3")? {
        if text == LATER {
            continue;
        }
        let (amount, rest) = text
            .split_once(':')
            .map_or((text, None), |(amount, rest)| (amount, Some(rest)));
        let Some(line) = listed.iter().find(|line| line.n == n) else {
            // The domain says whether the paper has such a line, or nothing is left of it.
            let qty = Qty::parse(amount).map_err(|fault| {
                Failure::usage(
                    format!("line {n}, nothing of which is left to pick: {fault}"),
                    "leave the line out",
                )
            })?;
            found.push(PickAnswer {
                n,
                qty: Some(qty),
                ..PickAnswer::default()
            });
            continue;
        };
        let part = stock.part_of(line.lot)?;
        let qty = quantity(scene, amount, part)?;
        let later = rest == Some(LATER);
        let lot = match rest {
            Some(named) if !later => Some(lot_named(scene, stock, line, named)?),
            _ => None,
        };
        let less = qty < line.qty && !later && lot.is_none();
        if less && ask.why.is_empty() {
            let whole = measured(line.qty, part.unit);
            return Err(Failure::usage(
                format!(
                    "line {n}: {} of {whole} listed, and no word about the rest",
                    measured(qty, part.unit)
                ),
                format!(
                    "the bin has no more: say why, `{n}={amount} -w CAUSE`; the rest comes later: `{n}={amount}:later`"
                ),
            ));
        }
        found.push(PickAnswer {
            n,
            qty: Some(qty),
            lot,
            missing: less,
        });
    }
    Ok(found)
}

/// The word for what is not picked now.
const LATER: &str = "later";

/// The lot of the line's part that a number, batch or serial means.
fn lot_named(scene: &Scene<'_, '_>, stock: &Stock, line: &PickLine, named: &str) -> Result<LotId, Failure> {
    let part = stock.part_of(line.lot)?;
    let same = |text: &str| text.eq_ignore_ascii_case(named);
    let fits: Vec<&Lot> = stock
        .lots
        .values()
        .map(Arc::as_ref)
        .filter(|lot| lot.part == part.id)
        .filter(|lot| {
            let marks = [Some(&lot.number), lot.batch.as_ref(), lot.serial.as_ref()];
            marks.into_iter().flatten().any(|mark| same(mark))
        })
        .collect();
    match fits.as_slice() {
        [one] => Ok(one.id),
        [] => {
            let of_job = stock.line(line.line)?;
            let job = stock.job(of_job.job)?;
            let none = || Refusal::Impossible {
                what: format!("line {}", line.n),
                because: format!("no lot of {} is called {named}", part.number),
            };
            Err(taken_for(scene, (job, of_job), part, (line.n, named))?
                .unwrap_or_else(none)
                .into())
        }
        several => Err(Refusal::Ambiguous {
            what: "lot",
            asked: named.to_owned(),
            fits: several.iter().map(|lot| lot.number.clone()).collect(),
        }
        .into()),
    }
}
