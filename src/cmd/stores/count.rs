//! `count`: what is to be counted today, a bin's list to count by, and what was counted.

mod cycle;

use crate::cmd::answers::answers;
use crate::cmd::error::Failure;
use crate::cmd::shelf::{bin_called, posted_with, quantity};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::cmd::tolerance::{again, answered, held_against};
use crate::db::stores::counts::{last_document, lots_in, moved_since};
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::counting::{Counted, count};
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::{LotId, PlaceId};
use crate::domain::stores::law::Kind;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::print::stores::count_list::{counted, to_count};
use clap::Args;

/// Show what is to be counted, print the list of a bin to count by, or book what was counted
#[derive(Args, Debug)]
pub struct Ask {
    /// The bin; without it, what is to be counted today
    #[arg(value_name = "BIN")]
    bin: Option<String>,
    /// What was counted: `LINE=QTY`
    #[arg(value_name = "LINE=QTY", requires = "list")]
    found: Vec<String>,
    /// The number of the list that is answered
    #[arg(long, value_name = "NUMBER", requires = "bin")]
    list: Option<i64>,
    /// Book the list as it was printed
    #[arg(long, requires = "list", conflicts_with = "found")]
    as_listed: bool,
    /// Leave out what the book says
    #[arg(long, conflicts_with = "list")]
    blind: bool,
    /// How often the record was right, month by month
    #[arg(long, conflicts_with_all = ["bin", "list", "blind"])]
    accuracy: bool,
    /// What its owner said or was told, where it is not ours
    #[arg(long, value_name = "TEXT")]
    owner_says: Option<String>,
    /// Why
    #[arg(short = 'w', long, value_name = "REASON", num_args = 1..)]
    why: Vec<String>,
}

/// For how many days it is looked again whether what ran out is really gone.
const LATELY: i64 = 30;

/// Prints the list, or books the count.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    match (&ask.bin, ask.list) {
        (None, _) if ask.accuracy => shop.read(cycle::accuracy),
        (None, _) => shop.read(cycle::today),
        (Some(bin), None) => shop.read(|scene| show(scene, ask, bin)),
        (Some(bin), Some(list)) => shop.change(|scene| decide(scene, ask, (bin, list))),
    }
}

fn show(scene: &Scene<'_, '_>, ask: &Ask, bin: &str) -> Result<Done, Failure> {
    let (place, lots, stock) = gathered(scene, bin)?;
    let list = last_document(scene.books)?;
    let paper = scene.paper("count", "");
    Ok(Done::yes(to_count(
        &stock,
        place,
        &lots,
        (list, ask.blind),
        paper,
    )?))
}

/// The bin, its lots in the order of the list, and the facts about them.
fn gathered(scene: &Scene<'_, '_>, bin: &str) -> Result<(PlaceId, Vec<LotId>, Stock), Failure> {
    let place = bin_called(scene, bin)?;
    if place.kind().is_none_or(|kind| kind.code() > Kind::Away.code()) {
        return Err(Refusal::Impossible {
            what: bin.to_owned(),
            because: "it is no place in the house that could be counted".to_owned(),
        }
        .into());
    }
    // What ran out lately is looked for as well: an empty bin is counted like any other.
    let lately = scene.day.plus_days(-LATELY).unwrap_or(scene.day);
    let lots = lots_in(scene.books, place, lately)?;
    let mut facts = scene.gather()?;
    facts.place(place)?;
    facts.place(PlaceId::of(Kind::Counted, 1))?;
    for lot in &lots {
        facts.lot(*lot)?;
    }
    Ok((place, lots, facts.done()))
}

fn decide(scene: &Scene<'_, '_>, ask: &Ask, (bin, list): (&str, i64)) -> Result<Decision<'static>, Failure> {
    let (place, lots, stock) = gathered(scene, bin)?;
    if list > last_document(scene.books)? {
        return Err(Failure::usage(
            format!("no list bears the number {list} yet"),
            "the number stands at the head of the list: `bincard count BIN`",
        ));
    }
    if let Some(by) = moved_since(scene.books, place, list)? {
        let place = stock.place(place)?.code.clone();
        return Err(Refusal::OldCount { place, by }.into());
    }
    let lines = lines(scene, ask, (place, &lots), &stock)?;
    let mut head = scene.head(DocKind::Count);
    head.reason = (!ask.why.is_empty()).then(|| ask.why.join(" "));
    head.owner_word = ask.owner_says.clone();
    let about = answered(scene, place, list)?;
    let posting = count(&stock, head, about, &lines)?;
    let again = again(&stock, place, &posting, &lines, about.alone)?;
    let (good, code) = (lines.len(), stock.place(place)?.code.clone());
    Ok(posted_with(
        posting,
        "count",
        "put right",
        move |stock: &Stock, posting: &Posting| {
            Ok((counted(stock, posting, (good, again.len()), &code)?, again))
        },
    ))
}

/// What was counted, line by line.
fn lines(
    scene: &Scene<'_, '_>,
    ask: &Ask,
    (place, lots): (PlaceId, &[LotId]),
    stock: &Stock,
) -> Result<Vec<Counted>, Failure> {
    let mut found: Vec<(LotId, Qty)> = Vec::new();
    if ask.as_listed {
        found.extend(lots.iter().map(|lot| (*lot, stock.balance(*lot, place).qty)));
    }
    for (n, text) in answers(&ask.found, "3=46")? {
        let lot = usize::try_from(n - 1).ok().and_then(|at| lots.get(at)).copied();
        let lot = lot.ok_or_else(|| {
            Failure::usage(
                format!("the list has no line {n}"),
                format!("its lines are numbered 1 to {}", lots.len()),
            )
        })?;
        if found.iter().any(|(known, _)| *known == lot) {
            return Err(Failure::usage(
                format!("line {n} is answered twice"),
                "answer each line once",
            ));
        }
        found.push((lot, quantity(scene, text, stock.part_of(lot)?)?));
    }
    if found.is_empty() {
        return Err(Failure::usage(
            "nothing was counted",
            "answer lines: `bincard count BIN --list NUMBER 1=17`, or `--as-listed`",
        ));
    }
    held_against(scene, place, &found, stock)
}
