//! `count`: a bin's list to count by, and what was counted.

use crate::cmd::answers::answers;
use crate::cmd::error::Failure;
use crate::cmd::shelf::{bin_called, posted_with, quantity};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::stores::counts::{last_document, lots_in, moved_since, next_line};
use crate::domain::refusal::Refusal;
use crate::domain::stores::counting::{CountList, Counted, count};
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::{LotId, PlaceId};
use crate::domain::stores::law::Kind;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::print::stores::count_list::{counted, to_count};
use clap::Args;

/// Print the list of a bin to count by, or book what was counted
#[derive(Args, Debug)]
pub struct Ask {
    /// The bin
    #[arg(value_name = "BIN")]
    bin: String,
    /// What was counted: `LINE=QTY`
    #[arg(value_name = "LINE=QTY", requires = "list")]
    found: Vec<String>,
    /// The number of the list that is answered
    #[arg(long, value_name = "NUMBER")]
    list: Option<i64>,
    /// Book the list as it was printed
    #[arg(long, requires = "list", conflicts_with = "found")]
    as_listed: bool,
    /// Leave out what the book says
    #[arg(long, conflicts_with = "list")]
    blind: bool,
    /// What its owner said or was told, where it is not ours
    #[arg(long, value_name = "TEXT")]
    owner_says: Option<String>,
    /// Why
    #[arg(short = 'w', long, value_name = "REASON", num_args = 1..)]
    why: Vec<String>,
}

/// Prints the list, or books the count.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    match ask.list {
        None => shop.read(|scene| show(scene, ask)),
        Some(list) => shop.change(|scene| decide(scene, ask, list)),
    }
}

fn show(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let (place, lots, stock) = gathered(scene, &ask.bin)?;
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
    let lots = lots_in(scene.books, place)?;
    let mut facts = scene.gather()?;
    facts.place(place)?;
    facts.place(PlaceId::of(Kind::Counted, 1))?;
    for lot in &lots {
        facts.lot(*lot)?;
    }
    Ok((place, lots, facts.done()))
}

fn decide(scene: &Scene<'_, '_>, ask: &Ask, list: i64) -> Result<Decision<'static>, Failure> {
    let (place, lots, stock) = gathered(scene, &ask.bin)?;
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
    let mut lines = Vec::new();
    if ask.as_listed {
        lines.extend(lots.iter().map(|lot| Counted {
            lot: *lot,
            counted: stock.balance(*lot, place).qty,
        }));
    }
    for (n, text) in answers(&ask.found, "3=46")? {
        let lot = usize::try_from(n - 1).ok().and_then(|at| lots.get(at)).copied();
        let lot = lot.ok_or_else(|| {
            Failure::usage(
                format!("list {list} has no line {n}"),
                format!("its lines are numbered 1 to {}", lots.len()),
            )
        })?;
        if lines.iter().any(|line: &Counted| line.lot == lot) {
            return Err(Failure::usage(
                format!("line {n} is answered twice"),
                "answer each line once",
            ));
        }
        lines.push(Counted {
            lot,
            counted: quantity(scene, text, stock.part_of(lot)?)?,
        });
    }
    if lines.is_empty() {
        return Err(Failure::usage(
            "nothing was counted",
            "answer lines: `bincard count BIN --list NUMBER 1=17`, or `--as-listed`",
        ));
    }
    let mut head = scene.head(DocKind::Count);
    head.reason = (!ask.why.is_empty()).then(|| ask.why.join(" "));
    head.owner_word = ask.owner_says.clone();
    let about = CountList {
        place,
        marked_at: list,
        first_line: next_line(scene.books)?,
    };
    let posting = count(&stock, head, about, &lines)?;
    let (good, code) = (lines.len(), stock.place(place)?.code.clone());
    Ok(posted_with(
        posting,
        "count",
        "put right",
        move |stock: &Stock, posting: &Posting| Ok((counted(stock, posting, good, &code)?, Vec::new())),
    ))
}
