//! `away`: goods that go to an outworker, on loan or to a fitter, and come back; what is out now.

use crate::cmd::error::Failure;
use crate::cmd::shelf::{bin_of_kind, bin_or_only, gather_from, lot_called, posted, posted_with, quantity};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::stores::away::out_with_others;
use crate::domain::making::away::{ends_while_away, judge_going, out_of};
use crate::domain::measure::Day;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::enter::Move;
use crate::domain::stores::verbs::moves::post_moves;
use crate::domain::stores::whereabouts::where_it_lies;
use crate::print::making::away_list::away_list;
use crate::print::words::measured;
use clap::Args;

/// Send goods out that stay ours: to an outworker, on loan, a tool to its fitter; or book them back in
///
/// They go to a place of the kind `away`, and come back to receiving to be inspected. Without a lot, what is out now.
#[derive(Args, Debug)]
pub struct Ask {
    /// Its lot number, batch or serial; a part number where only one lot of it is in the house
    #[arg(value_name = "LOT")]
    lot: Option<String>,
    /// How much; without it, all that lies there
    #[arg(value_name = "QTY", allow_negative_numbers = true)]
    qty: Option<String>,
    /// Where it goes: a bin, or whoever gets it
    #[arg(long, value_name = "WHOM", requires = "lot")]
    to: Option<String>,
    /// When it should be back: YYYY-MM-DD
    #[arg(long, value_name = "DATE", requires = "lot", conflicts_with = "back")]
    due: Option<String>,
    /// It is back
    #[arg(long, requires = "lot")]
    back: bool,
    /// The bin it comes from, where it lies in several
    #[arg(long, value_name = "BIN", requires = "lot")]
    from: Option<String>,
    /// Why
    #[arg(short = 'w', long, value_name = "REASON", num_args = 1..)]
    why: Vec<String>,
}

/// Sends out, books back in, or lists what is out.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    match &ask.lot {
        None => shop.read(list),
        Some(lot) if ask.back => shop.change(|scene| back(scene, ask, lot)),
        Some(lot) => shop.change(|scene| out(scene, ask, lot)),
    }
}

fn list(scene: &Scene<'_, '_>) -> Result<Done, Failure> {
    let out = out_with_others(scene.books)?;
    let day = scene.day.max(scene.today);
    Ok(Done::yes(away_list(&out, day, scene.paper("away", ""))))
}

fn out(scene: &Scene<'_, '_>, ask: &Ask, asked: &str) -> Result<Decision<'static>, Failure> {
    let lot = lot_called(scene, asked)?;
    let to = bin_or_only(scene, ask.to.as_ref(), Kind::Away)?;
    let due = due_day(ask)?;
    if ask.why.is_empty() {
        return Err(Failure::usage(
            format!("nobody said why {asked} goes out"),
            "say why: `-w nickel plating`",
        ));
    }
    let (facts, named) = gather_from(scene, lot, to, ask.from.as_ref())?;
    let stock = facts.done();
    let part = stock.part_of(lot)?;
    let (from, there) = out_of(&stock, lot, named)?;
    judge_going(&stock, lot, from, due)?;
    let typed = ask.qty.as_ref().map(|text| quantity(scene, text, part));
    let qty = typed.transpose()?.unwrap_or(there);
    let mut head = scene.head(DocKind::Movement(Movement::SendOut));
    head.reason = Some(ask.why.join(" "));
    head.due = Some(due);
    let answer = format!(
        "{} of {} away to {}, due back {due}",
        measured(qty, part.unit),
        part.number,
        stock.place(to)?.code
    );
    let remark = ends_while_away(&stock, lot, due)?;
    let moved = Move::new(Movement::SendOut, lot, from, to, qty);
    let posting = post_moves(&stock, head, &[moved])?;
    let say = move |_: &Stock, _: &Posting| Ok((answer, remark.into_iter().collect()));
    Ok(posted_with(posting, "away", "sent out", say))
}

/// The day on which it should be back.
fn due_day(ask: &Ask) -> Result<Day, Failure> {
    let text = ask.due.as_ref().ok_or(Refusal::NoDueDay)?;
    Day::parse(text)
        .map_err(|fault| Failure::usage(format!("--due: {fault}"), "give a day: `--due 2026-12-05`"))
}

fn back(scene: &Scene<'_, '_>, ask: &Ask, asked: &str) -> Result<Decision<'static>, Failure> {
    let lot = lot_called(scene, asked)?;
    let to = bin_or_only(scene, ask.to.as_ref(), Kind::Receiving)?;
    let named = ask
        .from
        .as_ref()
        .map(|code| bin_of_kind(scene, code, &[Kind::Away]))
        .transpose()?;
    let mut facts = scene.gather()?;
    facts.lot(lot)?;
    for place in [Some(to), named].into_iter().flatten() {
        facts.place(place)?;
    }
    let stock = facts.done();
    let part = stock.part_of(lot)?;
    let (from, there) = where_it_lies(&stock, lot, &[Kind::Away], named)?;
    let typed = ask.qty.as_ref().map(|text| quantity(scene, text, part));
    let qty = typed.transpose()?.unwrap_or(there);
    let mut head = scene.head(DocKind::Movement(Movement::BackIn));
    head.reason = (!ask.why.is_empty()).then(|| ask.why.join(" "));
    let answer = format!(
        "{} of {} back from {}, in {} to be inspected",
        measured(qty, part.unit),
        part.number,
        stock.place(from)?.code,
        stock.place(to)?.code
    );
    let moved = Move::new(Movement::BackIn, lot, from, to, qty);
    let posting = post_moves(&stock, head, &[moved])?;
    Ok(posted(posting, "away", "came back", answer))
}
