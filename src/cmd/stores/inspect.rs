//! `inspect`: what waits in receiving or in the cage is accepted onto a shelf, or put into the cage with the reason.

mod papers;

use crate::cmd::answers::{numbered, said_of};
use crate::cmd::error::Failure;
use crate::cmd::keeping::bins_bear;
use crate::cmd::shelf::{bin_of_kind, bin_or_only, lot_called, posted_with, quantity};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::load::Gather;
use crate::db::stores::certificates::papers_of;
use crate::db::stores::notes::{caged_for, returned_as};
use crate::db::stores::orders::{home_of, lots_made_by, waiting};
use crate::domain::acceptance::papers::{Inspected, inspect as judged};
use crate::domain::measure::number::read_document_number;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::{LotId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::enter::Move;
use crate::domain::stores::whereabouts::where_it_lies;
use crate::print::stores::inspection::{accepted, drawn, waiting_list};
use clap::Args;
use papers::shown_for;

/// Accept what waits in receiving or in the cage onto a shelf, or put what is bad into the cage
///
/// What is good goes to the bin where most of the part lies, unless another is named.
#[derive(Args, Debug)]
pub struct Ask {
    /// A goods-received note, or one lot; without it, all that waits is shown
    #[arg(value_name = "GRN|LOT")]
    what: Option<String>,
    /// `LINE=QTY` to accept lines of a note, the quantity for one lot; without any, the lines are shown
    #[arg(value_name = "LINE=QTY", allow_negative_numbers = true)]
    good: Vec<String>,
    /// Where it goes: a bin, or whoever gets it
    #[arg(long, value_name = "[LINE=]BIN")]
    to: Vec<String>,
    /// How much is bad and goes into the cage
    #[arg(long, value_name = "[LINE=]QTY", requires = "why")]
    cage: Vec<String>,
    /// The bin it comes from, where it lies in several
    #[arg(long, value_name = "[LINE=]BIN")]
    from: Vec<String>,
    /// The certificate that came with it; what is accepted is drawn on it
    #[arg(long, value_name = "[LINE=]NUMBER")]
    certificate: Vec<String>,
    /// What was looked at: `all`, or points of the list with commas between; `inspect NUMBER` shows the list
    #[arg(long, value_delimiter = ',', value_name = "POINTS")]
    checked: Vec<String>,
    /// Accept all the same, in the words of a registered inspector
    #[arg(long, value_name = "WORDS", num_args = 1..)]
    concession: Vec<String>,
    /// Why
    #[arg(short = 'w', long, value_name = "REASON", num_args = 1..)]
    why: Vec<String>,
    /// Into the bin though its limit is passed; the document says so
    #[arg(long)]
    over_limit: bool,
}

/// Where goods wait.
const WAITING: [Kind; 2] = [Kind::Receiving, Kind::Quarantine];
/// Where what is good may go.
const SHELVES: [Kind; 2] = [Kind::Shelf, Kind::Bench];

/// Inspects, or shows what waits.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    if ask.good.is_empty() && ask.cage.is_empty() {
        return shop.read(|scene| show(scene, ask.what.as_deref()));
    }
    shop.change(|scene| decide(scene, ask))
}

/// The lots behind a note or a lot number, in the order of their numbers on paper.
fn lots_of(scene: &Scene<'_, '_>, what: &str) -> Result<Vec<LotId>, Failure> {
    if let Ok((prefix, id)) = read_document_number(what)
        && prefix == DocKind::Movement(Movement::BookIn).prefix()
    {
        let lots = lots_made_by(scene.books, id)?;
        if !lots.is_empty() {
            return Ok(lots);
        }
        return Err(Refusal::Unknown {
            what: "goods-received note",
            asked: what.to_owned(),
            near: Vec::new(),
        }
        .into());
    }
    Ok(vec![lot_called(scene, what)?])
}

fn show(scene: &Scene<'_, '_>, what: Option<&str>) -> Result<Done, Failure> {
    let named = what.map(|what| lots_of(scene, what)).transpose()?;
    let mut facts = scene.gather()?;
    let all = waiting(scene.books)?;
    let mut rows: Vec<(i64, LotId, PlaceId)> = Vec::new();
    match &named {
        None => rows.extend((1..).zip(&all).map(|(n, (lot, place))| (n, *lot, *place))),
        Some(lots) => {
            for (n, lot) in (1..).zip(lots) {
                let there = all.iter().filter(|(of, _)| of == lot);
                rows.extend(there.map(|(lot, place)| (n, *lot, *place)));
            }
        }
    }
    for (_, lot, place) in &rows {
        facts.lot(*lot)?;
        facts.place(*place)?;
    }
    let stock = facts.done();
    let there = |(n, lot, place): &(i64, LotId, PlaceId)| (*n, *lot, stock.balance(*lot, *place).qty);
    let named: Vec<_> = rows.iter().filter(|_| what.is_some()).map(there).collect();
    let checks = papers::to_check(scene, &stock, &named)?;
    let mut said = returned_as(scene.books)?;
    for (_, lot, place) in &rows {
        if let (true, Some(reason)) = (place.is(Kind::Quarantine), caged_for(scene.books, *lot)?) {
            said.insert(*lot, reason);
        }
    }
    let paper = scene.paper("inspect", "");
    Ok(Done::yes(waiting_list(
        &stock,
        &rows,
        &said,
        (what, &checks),
        paper,
    )?))
}

fn decide(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    let what = ask.what.as_deref().unwrap_or_default();
    let lots = lots_of(scene, what)?;
    let good = by_line(&ask.good, lots.len())?;
    let bad = by_line(&ask.cage, lots.len())?;
    let mut facts = scene.gather()?;
    for lot in &lots {
        facts.lot(*lot)?;
    }
    let mut moves = Vec::new();
    for (n, lot) in (1..).zip(&lots) {
        let there = |found: &[(i64, String)]| {
            found
                .iter()
                .find(|(of, _)| *of == n)
                .map(|(_, text)| text.clone())
        };
        let (accept, reject) = (there(&good), there(&bad));
        if accept.is_none() && reject.is_none() {
            continue;
        }
        moves.extend(line_of(scene, ask, &mut facts, (n, *lot), [accept, reject])?);
    }
    let mut head = scene.head(DocKind::Movement(Movement::Accept));
    head.reason = papers::reason(ask);
    if moves.is_empty() {
        return Err(Refusal::Nothing.into());
    }
    let stock = facts.done();
    let papers = papers::judge(scene, ask, &stock, &moves)?;
    let mut posting = judged(&stock, head, &moves)?;
    papers::keep_answers(scene, &mut posting, &papers)?;
    let mut draws = drawn(&stock, &posting)?;
    draws.extend(papers.told);
    draws.extend(bins_bear(scene, &stock, &mut posting, ask.over_limit)?);
    Ok(posted_with(
        posting,
        "inspect",
        "inspected",
        move |stock, posting| {
            let (answer, mut remarks) = accepted(stock, posting)?;
            remarks.splice(0..0, draws);
            Ok((answer, remarks))
        },
    ))
}

/// What becomes of one line: so much accepted, so much put into the cage.
fn line_of(
    scene: &Scene<'_, '_>,
    ask: &Ask,
    facts: &mut Gather<'_, '_>,
    (n, lot): (i64, LotId),
    [accept, reject]: [Option<String>; 2],
) -> Result<Vec<Inspected>, Failure> {
    let named = said_of(&ask.from, n)
        .first()
        .map(|code| bin_of_kind(scene, code, &WAITING))
        .transpose()?;
    if let Some(place) = named {
        facts.place(place)?;
    }
    let (from, _) = where_it_lies(facts.so_far(), lot, &WAITING, named)?;
    let part = facts.so_far().part_of(lot)?.clone();
    let typed = |text: &Option<String>| text.as_ref().map(|text| quantity(scene, text, &part)).transpose();
    let mut moves = Vec::new();
    if let Some(qty) = typed(&accept)?.filter(|qty| !qty.is_zero()) {
        let to = shelf_for(scene, ask, n, facts.so_far(), lot)?;
        facts.place(to)?;
        moves.push(Inspected {
            moved: Move::new(Movement::Accept, lot, from, to, qty),
            certificates: shown_for(scene, facts, said_of(&ask.certificate, n), part.id)?,
            papers: papers_of(scene.books, lot)?,
        });
    }
    if let Some(qty) = typed(&reject)?.filter(|qty| !qty.is_zero()) {
        let cage = bin_or_only(scene, None, Kind::Quarantine)?;
        facts.place(cage)?;
        moves.push(Inspected {
            moved: Move::new(Movement::Quarantine, lot, from, cage, qty),
            certificates: Vec::new(),
            papers: papers_of(scene.books, lot)?,
        });
    }
    Ok(moves)
}

/// What is pencilled for each line; a bare quantity speaks of the only lot there is.
fn by_line(words: &[String], lots: usize) -> Result<Vec<(i64, String)>, Failure> {
    let mut found: Vec<(i64, String)> = Vec::new();
    for word in words {
        let (line, text) = match numbered(word) {
            Some((line, text)) => (line, text.to_owned()),
            None if lots == 1 => (1, word.clone()),
            None => {
                return Err(Failure::usage(
                    format!("{word} answers no line"),
                    "type the number on the paper and how much: `1=15`",
                ));
            }
        };
        if usize::try_from(line).map_or(true, |line| line == 0 || line > lots) {
            return Err(Failure::usage(
                format!("{word}: there is no line {line}"),
                "the lines are numbered on the paper: `bincard inspect GRN`",
            ));
        }
        if found.iter().any(|(of, _)| *of == line) {
            return Err(Failure::usage(
                format!("line {line} is answered twice"),
                "answer each line once",
            ));
        }
        found.push((line, text));
    }
    Ok(found)
}

/// The bin for what is good: the one named, or the one where most of the part lies.
fn shelf_for(
    scene: &Scene<'_, '_>,
    ask: &Ask,
    n: i64,
    stock: &Stock,
    lot: LotId,
) -> Result<PlaceId, Failure> {
    if let Some(code) = said_of(&ask.to, n).first() {
        return bin_of_kind(scene, code, &SHELVES);
    }
    let part = stock.part_of(lot)?;
    home_of(scene.books, part.id)?
        .ok_or_else(|| Failure::usage(format!("{} has no bin yet", part.number), "name one: `--to BIN`"))
}
