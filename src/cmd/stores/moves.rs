//! `move`: goods change their bin.

use crate::cmd::error::Failure;
use crate::cmd::keeping::bins_bear;
use crate::cmd::shelf::{bin_of_kind, gather_from, lot_called, posted_with, quantity};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::domain::stores::document::DocKind;
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::verbs::enter::Move;
use crate::domain::stores::verbs::moves::post_moves;
use crate::domain::stores::whereabouts::where_it_lies;
use crate::print::words::measured;
use clap::Args;

/// Where goods change their bin: what is reserved stays reserved.
const BINS: [Kind; 5] = [
    Kind::Shelf,
    Kind::Bench,
    Kind::Receiving,
    Kind::Quarantine,
    Kind::Reject,
];

/// Move a lot to another bin; what is reserved stays reserved
#[derive(Args, Debug)]
pub struct Ask {
    /// Its lot number, batch or serial; a part number where only one lot of it is in the house
    #[arg(value_name = "LOT")]
    lot: String,
    /// How much; without it, all that lies there
    #[arg(value_name = "QTY", allow_negative_numbers = true)]
    qty: Option<String>,
    /// Where it goes: a bin, or whoever gets it
    #[arg(long, value_name = "BIN")]
    to: String,
    /// The bin it comes from, where it lies in several
    #[arg(long, value_name = "BIN")]
    from: Option<String>,
    /// Into the bin though its limit is passed; the document says so
    #[arg(long)]
    over_limit: bool,
}

/// Moves.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.change(|scene| decide(scene, ask))
}

fn decide(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    let lot = lot_called(scene, &ask.lot)?;
    let to = bin_of_kind(scene, &ask.to, &BINS)?;
    let (facts, named) = gather_from(scene, lot, to, ask.from.as_ref())?;
    let stock = facts.done();
    let (from, there) = where_it_lies(&stock, lot, &BINS, named)?;
    let part = stock.part_of(lot)?;
    let qty = ask
        .qty
        .as_ref()
        .map_or(Ok(there), |text| quantity(scene, text, part))?;
    let answer = format!(
        "{} of {} moved from {} to {}",
        measured(qty, part.unit),
        part.number,
        stock.place(from)?.code,
        stock.place(to)?.code
    );
    let head = scene.head(DocKind::Movement(Movement::Move));
    let mut posting = post_moves(&stock, head, &[Move::new(Movement::Move, lot, from, to, qty)])?;
    let said = bins_bear(scene, &stock, &mut posting, ask.over_limit)?;
    Ok(posted_with(posting, "move", "moved", move |_, _| {
        Ok((answer, said))
    }))
}
