//! `dispatch`: goods that go to a customer, with a packing list.

use crate::cmd::error::Failure;
use crate::cmd::shelf::{bin_of_kind, hazards_on, lot_called, posted_on, quantity};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::stores::certificates::certificates_of;
use crate::domain::making::hazard::Hazard;
use crate::domain::making::parcel::{Packed, dispatch, judge_plain};
use crate::domain::measure::Qty;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::LotId;
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::whereabouts::where_it_lies;
use crate::print::making::packing_list::{InParcel, packing_list};
use crate::print::words::count;
use clap::Args;

/// Dispatch goods to a customer, ours or his own, with a packing list of lots, life left and their certificates
///
/// A parcel with a flammable liquid inside gets no plain list: `--dangerous` says how it is marked.
#[derive(Args, Debug)]
pub struct Ask {
    /// What goes: `LOT=QTY`
    #[arg(value_name = "LOT=QTY", required = true)]
    goods: Vec<String>,
    /// Where it goes: a bin, or whoever gets it
    #[arg(long, value_name = "CUSTOMER")]
    to: String,
    /// How a parcel with dangerous goods is marked: UN number, class, packing group
    #[arg(long, value_name = "TEXT")]
    dangerous: Option<String>,
    /// Why
    #[arg(short = 'w', long, value_name = "REASON", num_args = 1..)]
    why: Vec<String>,
}

/// Dispatches.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.change(|scene| decide(scene, ask))
}

fn decide(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    let customer = bin_of_kind(scene, &ask.to, &[Kind::Customer])?;
    let mut facts = scene.gather()?;
    facts.place(customer)?;
    let mut goods: Vec<(LotId, &str)> = Vec::new();
    for word in &ask.goods {
        let (lot, qty) = word.rsplit_once('=').ok_or_else(|| {
            Failure::usage(
                format!("{word} says no quantity"),
                "say how much of each lot goes: `bincard dispatch L000012F=2 --to CUSTOMER`",
            )
        })?;
        let lot = lot_called(scene, lot)?;
        if goods.iter().any(|(known, _)| *known == lot) {
            return Err(Failure::usage(
                format!("{word}: the lot is named twice"),
                "name each lot once",
            ));
        }
        facts.lot(lot)?;
        goods.push((lot, qty));
    }
    let stock = facts.done();
    let (mut packed, mut rows) = (Vec::new(), Vec::new());
    for (lot, typed) in goods {
        let (from, _) = where_it_lies(&stock, lot, &[Kind::Shelf], None)?;
        let part = stock.part_of(lot)?;
        let qty = quantity(scene, typed, part)?;
        let hazards = hazards_on(scene, part.id)?;
        judge_plain(&stock.lot(lot)?.number, &hazards, ask.dangerous.as_deref())?;
        packed.push(Packed { lot, from, qty });
        rows.push(in_parcel(scene, &stock, (lot, qty), hazards)?);
    }
    let mut head = scene.head(DocKind::Movement(Movement::Dispatch));
    head.reason = (!ask.why.is_empty()).then(|| ask.why.join(" "));
    let posting = dispatch(&stock, head, customer, &packed)?;
    let whom = stock.place(customer)?;
    let answer = format!("{} dispatched to {}", count(packed.len(), "lot"), whom.name);
    let day = scene.day.max(scene.today);
    let (table, remarks) = packing_list(&rows, day, ask.dangerous.as_deref());
    Ok(posted_on(posting, "dispatch", table, (answer, remarks)))
}

/// A line of the packing list, with the certificates that were drawn for the lot.
fn in_parcel(
    scene: &Scene<'_, '_>,
    stock: &Stock,
    (lot, qty): (LotId, Qty),
    hazards: Vec<Hazard>,
) -> Result<InParcel, Failure> {
    let (goods, part) = (stock.lot(lot)?, stock.part_of(lot)?);
    Ok(InParcel {
        lot: goods.number.clone(),
        part: part.number.clone(),
        name: part.name.clone(),
        unit: part.unit,
        qty,
        batch: goods.batch.clone().or_else(|| goods.serial.clone()),
        last: goods.expiry,
        certificates: certificates_of(scene.books, lot)?,
        hazards,
    })
}
