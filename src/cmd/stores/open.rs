//! `open`: a pack is opened, and what to write on it.

pub mod matched;

use crate::cmd::error::Failure;
use crate::cmd::shelf::{
    gather_from, gather_kit, hazards_on, house_place, line_there, lot_called, posted_with, quantity,
};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::stores::sizes::size_of;
use crate::domain::making::hazard::Hazard;
use crate::domain::making::pot_life::{CURE, POT_LIFE, PotLife};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::opened::{one_pack, opened_pack};
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::lines::whole_hand_out;
use crate::domain::stores::verbs::making::{Input, Output, open};
use crate::domain::stores::whereabouts::where_it_lies;
use clap::Args;

/// Where a pack may be opened: it stays where it lies.
const PLACES: [Kind; 5] = [
    Kind::Shelf,
    Kind::Bench,
    Kind::Kit,
    Kind::Receiving,
    Kind::Quarantine,
];

/// Open a pack: it becomes a lot of its own, with the last day to write on it
#[derive(Args, Debug)]
pub struct Ask {
    /// Its lot number or batch; a part number where only one lot of it is in the house
    #[arg(value_name = "LOT")]
    lot: String,
    /// How much is opened; without it, one hand-out unit
    #[arg(value_name = "QTY", allow_negative_numbers = true)]
    qty: Option<String>,
    /// The bin it comes from, where it lies in several
    #[arg(long, value_name = "BIN")]
    from: Option<String>,
}

/// Opens.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.change(|scene| decide(scene, ask))
}

fn decide(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    let lot = lot_called(scene, &ask.lot)?;
    let making = house_place(Kind::Making);
    let (mut facts, named) = gather_from(scene, lot, making, ask.from.as_ref())?;
    let (place, there) = where_it_lies(facts.so_far(), lot, &PLACES, named)?;
    gather_kit(&mut facts, scene, place)?;
    let stock = facts.done();
    let part = stock.part_of(lot)?;
    let qty = match &ask.qty {
        Some(text) => quantity(scene, text, part)?,
        None => one_pack(part, there),
    };
    if qty != there {
        whole_hand_out(&stock, lot, qty)?;
    }
    let new = opened_pack(part, stock.lot(lot)?, scene.day, stock.latest_day())?;
    let input = Input {
        lot,
        place,
        qty,
        line: line_there(&stock, lot, place, qty)?,
    };
    let output = Output {
        part: part.id,
        qty,
        lot: new,
    };
    let head = scene.head(DocKind::Movement(Movement::Open));
    let posting = open(&stock, head, making, &[input], &[output])?;
    let hazards = hazards_on(scene, part.id)?;
    // A pot life runs from now: what was opened on another day is long past it.
    let minutes = |name| size_of(scene.books, part.id, name);
    let pot = match scene.day == scene.today {
        true => PotLife::from_mixing(&scene.at, minutes(POT_LIFE)?, minutes(CURE)?),
        false => None,
    };
    let say = move |stock: &Stock, posting: &Posting| {
        let (answer, mut remarks) = label(stock, posting, &hazards)?;
        let told = pot.iter().flat_map(PotLife::told);
        remarks.extend(told.map(|line| format!("once mixed, {line}")));
        Ok((answer, remarks))
    };
    Ok(posted_with(posting, "open", "opened", say))
}

/// What to write on the pack, and how its last day was worked out.
fn label(stock: &Stock, posting: &Posting, hazards: &[Hazard]) -> Result<(String, Vec<String>), Refusal> {
    let made = posting.lots.first().ok_or(Refusal::Nothing)?;
    let pack = stock.lot(made.id)?;
    let opened = pack.opened.map_or_else(String::new, |day| day.to_string());
    let last = pack
        .expiry
        .map_or_else(|| "no last day".to_owned(), |day| format!("use by {day}"));
    let answer = format!("write on the pack: {} opened {opened} {last}", pack.number);
    let how = pack
        .expiry_how
        .as_ref()
        .map(|how| format!("last day worked out: {how}"));
    let mut remarks: Vec<String> = how.into_iter().collect();
    remarks.extend(hazards.iter().map(|hazard| format!("and: {}", hazard.words())));
    Ok((answer, remarks))
}
