//! `use`: bench stock used up in the workshop, for no engine.

use crate::cmd::error::Failure;
use crate::cmd::shelf::{bin_called, house_place, lot_called, posted_with, quantity};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::stores::stock::part_numbered;
use crate::domain::making::shop_use::{ShopUse, dead_there, use_up};
use crate::domain::measure::Money;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::PartId;
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::print::words::measured;
use clap::Args;

/// Use bench stock up in the workshop, for no engine; it is expensed
///
/// Of a part, what dies first is taken, out of the bench before the shelf; of a lot, that lot. What goes into an engine
/// goes by a kit or over the hatch: `pick`, `give`.
#[derive(Args, Debug)]
pub struct Ask {
    /// A part number, or a lot number, batch or serial
    #[arg(value_name = "PART|LOT")]
    goods: String,
    /// How much
    #[arg(value_name = "QTY", allow_negative_numbers = true)]
    qty: String,
    /// The bin it comes from, where it lies in several
    #[arg(long, value_name = "BIN")]
    from: Option<String>,
    /// Why
    #[arg(short = 'w', long, value_name = "REASON", num_args = 1.., required = true)]
    why: Vec<String>,
}

/// Uses up.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.change(|scene| decide(scene, ask))
}

fn decide(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    let whole_part = part_numbered(scene.books, &ask.goods)?;
    let lot = match &whole_part {
        Some(_) => None,
        None => Some(lot_called(scene, &ask.goods)?),
    };
    let from = ask
        .from
        .as_ref()
        .map(|code| bin_called(scene, code))
        .transpose()?;
    let shop = house_place(Kind::Shop);
    let mut facts = scene.gather()?;
    facts.place(shop)?;
    if let Some(place) = from {
        facts.place(place)?;
    }
    if let Some(lot) = lot {
        facts.lot(lot)?;
    }
    if let Some(part) = &whole_part {
        facts.lots_of_part(part.id)?;
    }
    let stock = facts.done();
    let part = match (&whole_part, lot) {
        (None, Some(lot)) => stock.part_of(lot)?,
        (Some(part), _) => stock.part(part.id)?,
        (None, None) => return Err(Refusal::Nothing.into()),
    };
    let asked = ShopUse {
        part: part.id,
        lot,
        from,
        qty: quantity(scene, &ask.qty, part)?,
    };
    let mut head = scene.head(DocKind::Movement(Movement::Use));
    head.reason = Some(ask.why.join(" "));
    let posting = use_up(&stock, head, shop, asked)?;
    let answer = format!(
        "{} of {} used up in the workshop: {}",
        measured(asked.qty, part.unit),
        part.number,
        ask.why.join(" ")
    );
    let cost: Money = posting.entries.iter().map(|entry| entry.value).sum();
    let mut remarks = vec![format!(
        "expensed: {} {}",
        cost.in_minor(scene.currency),
        scene.currency.code()
    )];
    remarks.extend(dead(&stock, part.id)?);
    let say = move |_: &Stock, _: &Posting| Ok((answer, remarks));
    Ok(posted_with(posting, "use", "used", say))
}

/// What of a part lies dead where it is used from: bench stock dies like any other.
fn dead(stock: &Stock, part: PartId) -> Result<Vec<String>, Refusal> {
    let mut told = Vec::new();
    for (lot, place) in dead_there(stock, part) {
        let (lot, place) = (stock.lot(lot)?, stock.place(place)?);
        let last = lot.expiry.map_or_else(String::new, |last| last.to_string());
        told.push(format!(
            "EXPIRED {last}: {} in {}; scrap it",
            lot.number, place.code
        ));
    }
    Ok(told)
}
