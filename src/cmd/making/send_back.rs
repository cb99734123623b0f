//! `send-back`: goods that go back to whom they came from.

use crate::cmd::error::Failure;
use crate::cmd::shelf::{bin_called, bin_of_kind, lot_called, posted_with, quantity};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::stores::certificates::papers_of;
use crate::domain::making::parcel::{Packed, send_back};
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::{LotId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::whereabouts::where_it_lies;
use crate::print::words::measured;
use clap::Args;

/// From where goods go back.
const BACK_FROM: [Kind; 4] = [Kind::Quarantine, Kind::Receiving, Kind::Reject, Kind::Shelf];

/// Send goods back to the supplier they came from, or to the customer whose they are, with the reason
///
/// The order they came in on is not opened again: order what is still wanted.
#[derive(Args, Debug)]
pub struct Ask {
    /// Its lot number, batch or serial; a part number where only one lot of it is in the house
    #[arg(value_name = "LOT")]
    lot: String,
    /// How much
    #[arg(value_name = "QTY", allow_negative_numbers = true)]
    qty: String,
    /// Where it goes: a bin, or whoever gets it
    #[arg(long, value_name = "WHOM")]
    to: Option<String>,
    /// The bin it comes from, where it lies in several
    #[arg(long, value_name = "BIN")]
    from: Option<String>,
    /// Why
    #[arg(short = 'w', long, value_name = "REASON", num_args = 1.., required = true)]
    why: Vec<String>,
}

/// Sends back.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.change(|scene| decide(scene, ask))
}

fn decide(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    let lot = lot_called(scene, &ask.lot)?;
    let to = whom(scene, ask, lot)?;
    let named = ask.from.as_ref().map(|code| bin_called(scene, code));
    let named = named.transpose()?;
    let mut facts = scene.gather()?;
    facts.lot(lot)?;
    for place in [Some(to), named].into_iter().flatten() {
        facts.place(place)?;
    }
    let stock = facts.done();
    let (from, _) = where_it_lies(&stock, lot, &BACK_FROM, named)?;
    let part = stock.part_of(lot)?;
    let qty = quantity(scene, &ask.qty, part)?;
    let mut head = scene.head(DocKind::Movement(Movement::SendBack));
    head.reason = Some(ask.why.join(" "));
    let posting = send_back(&stock, head, to, Packed { lot, from, qty })?;
    let answer = format!(
        "{} of {} sent back to {}",
        measured(qty, part.unit),
        part.number,
        stock.place(to)?.code
    );
    let remarks = vec![format!("because: {}", ask.why.join(" "))];
    let say = move |_: &Stock, _: &Posting| Ok((answer, remarks));
    Ok(posted_with(posting, "send-back", "sent back", say))
}

/// Who gets it: who is named, else whom the lot came from.
fn whom(scene: &Scene<'_, '_>, ask: &Ask, lot: LotId) -> Result<PlaceId, Failure> {
    if let Some(code) = &ask.to {
        return bin_of_kind(scene, code, &[Kind::Supplier, Kind::Customer]);
    }
    let came = papers_of(scene.books, lot)?.from;
    came.filter(|from| from.is(Kind::Supplier) || from.is(Kind::Customer))
        .ok_or_else(|| {
            Failure::usage(
                format!("the books do not say from whom {} came", ask.lot),
                "name the supplier: `--to SUPPLIER`",
            )
        })
}
