//! `scrap` and `quarantine`: goods that may not be used, thrown away or put into the cage.

mod found;

use crate::cmd::error::Failure;
use crate::cmd::shelf::{
    bin_or_only, gather_from, gather_kit, house_place, line_there, lot_called, posted, quantity,
};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::kitting::jobs::job_called;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::PlaceId;
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::verbs::enter::Move;
use crate::domain::stores::verbs::moves::post_moves;
use crate::domain::stores::whereabouts::where_it_lies;
use crate::print::words::measured;
use clap::Args;

/// Scrap goods, with the reason; jobs that had them reserved are named
#[derive(Args, Debug)]
pub struct Ask {
    #[command(flatten)]
    goods: Goods,
    /// What its owner said or was told, where it is not ours
    #[arg(long, value_name = "TEXT")]
    owner_says: Option<String>,
}

/// Put goods into quarantine, with the reason; jobs that had them reserved are named
#[derive(Args, Debug)]
pub struct CageAsk {
    #[command(flatten)]
    goods: Goods,
    /// It was found and no card knows it: LOT names the part; it becomes a lot without papers, worth nothing
    #[arg(long, conflicts_with_all = ["from", "job"])]
    found: bool,
    /// Where it goes: a bin, or whoever gets it
    #[arg(long, value_name = "BIN")]
    to: Option<String>,
}

/// Which goods, and why.
#[derive(Args, Debug)]
struct Goods {
    /// Its lot number, batch or serial; a part number where only one lot of it is in the house
    #[arg(value_name = "LOT")]
    lot: String,
    /// How much
    #[arg(value_name = "QTY", allow_negative_numbers = true)]
    qty: String,
    /// The bin it comes from, where it lies in several
    #[arg(long, value_name = "BIN")]
    from: Option<String>,
    /// The job it is about: tag, number or engine serial
    #[arg(short = 'j', long, value_name = "JOB", conflicts_with = "from")]
    job: Option<String>,
    /// Why
    #[arg(short = 'w', long, value_name = "REASON", num_args = 1.., required = true)]
    why: Vec<String>,
}

/// Where a thing can be scrapped.
const ANYWHERE: [Kind; 9] = [
    Kind::Receiving,
    Kind::Shelf,
    Kind::Bench,
    Kind::Quarantine,
    Kind::Reject,
    Kind::Kit,
    Kind::Crate,
    Kind::Away,
    Kind::Engine,
];

/// From where a thing goes into the cage.
const TO_THE_CAGE: [Kind; 4] = [Kind::Receiving, Kind::Shelf, Kind::Bench, Kind::Kit];

/// Scraps.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.change(|scene| {
        let to = house_place(Kind::Scrap);
        let way = Way {
            movement: Movement::Scrap,
            kinds: &ANYWHERE,
            to,
            done: "scrapped",
        };
        decide(scene, &ask.goods, &way, ask.owner_says.clone())
    })
}

/// Puts into quarantine.
pub fn cage(shop: &mut Shop<'_, '_>, ask: &CageAsk) -> Result<Done, Failure> {
    shop.change(|scene| {
        let to = bin_or_only(scene, ask.to.as_ref(), Kind::Quarantine)?;
        if ask.found {
            return found::decide(scene, (&ask.goods.lot, &ask.goods.qty), to, &ask.goods.why);
        }
        let way = Way {
            movement: Movement::Quarantine,
            kinds: &TO_THE_CAGE,
            to,
            done: "put into quarantine",
        };
        decide(scene, &ask.goods, &way, None)
    })
}

/// How goods leave.
struct Way {
    movement: Movement,
    kinds: &'static [Kind],
    to: PlaceId,
    done: &'static str,
}

fn decide(
    scene: &Scene<'_, '_>,
    goods: &Goods,
    way: &Way,
    owner_word: Option<String>,
) -> Result<Decision<'static>, Failure> {
    let lot = lot_called(scene, &goods.lot)?;
    let job = goods
        .job
        .as_ref()
        .map(|called| job_called::<Failure>(scene.books, called))
        .transpose()?;
    let (mut facts, named) = gather_from(scene, lot, way.to, goods.from.as_ref())?;
    if let Some(job) = &job {
        facts.job(job.id)?;
    }
    let kinds: Vec<Kind> = match &job {
        None => way
            .kinds
            .iter()
            .copied()
            .filter(|kind| *kind != Kind::Engine)
            .collect(),
        Some(_) => way
            .kinds
            .iter()
            .copied()
            .filter(|kind| matches!(kind, Kind::Kit | Kind::Crate | Kind::Engine))
            .collect(),
    };
    let named = named.or_else(|| {
        let job = job.as_ref()?;
        let has = |place: &PlaceId| facts.so_far().balance(lot, *place).qty.is_positive();
        [Some(job.kit), Some(job.engine), job.crate_place]
            .into_iter()
            .flatten()
            .find(has)
    });
    let (from, _) = where_it_lies(facts.so_far(), lot, &kinds, named)?;
    gather_kit(&mut facts, scene, from)?;
    let stock = facts.done();
    let part = stock.part_of(lot)?;
    let qty = quantity(scene, &goods.qty, part)?;
    let mut head = scene.head(DocKind::Movement(way.movement));
    head.reason = Some(goods.why.join(" "));
    head.owner_word = owner_word;
    head.job = job.as_ref().map(|job| job.id);
    let moved = Move {
        from_line: line_there(&stock, lot, from, qty)?,
        ..Move::new(way.movement, lot, from, way.to, qty)
    };
    let answer = format!(
        "{} of {} {}: {}",
        measured(qty, part.unit),
        part.number,
        way.done,
        goods.why.join(" ")
    );
    let posting = post_moves(&stock, head, &[moved])?;
    Ok(posted(posting, way.movement.word(), "moved", answer))
}
