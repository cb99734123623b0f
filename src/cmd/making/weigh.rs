//! `weigh`: a spool or a tube put on the scale; what is left of it is held against the book.

use crate::cmd::error::Failure;
use crate::cmd::shelf::{gather_from, house_place, lot_called, posted_with};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::cmd::tolerance::{again, answered, held_against};
use crate::db::stores::counts::last_document;
use crate::db::stores::notes::{next_note, noted_last};
use crate::db::stores::packs::packing_of;
use crate::domain::making::weigh::{Weighed, grams_per_unit, left_by_weight, one_gram};
use crate::domain::measure::scale::Scale;
use crate::domain::measure::typed::typed_size;
use crate::domain::measure::{Qty, Unit};
use crate::domain::stores::counting::count;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::LotId;
use crate::domain::stores::law::Kind;
use crate::domain::stores::noting::{NewNote, record};
use crate::domain::stores::part::Part;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::whereabouts::where_it_lies;
use crate::print::making::weigh_slip::{Reading, by_weight};
use crate::print::paper::TypedAs;
use clap::Args;

/// Where a lot is weighed.
const WEIGHED_IN: [Kind; 4] = [Kind::Bench, Kind::Shelf, Kind::Receiving, Kind::Quarantine];

/// The topic under which the weight of an empty spool is kept.
const TARE: &str = "tare";

/// Weigh a spool or a tube back: gross less tare says what is left, held against the book
///
/// What differs is posted as a count with its cause. The tare is kept for the lot and need not be given again.
#[derive(Args, Debug)]
pub struct Ask {
    /// Its lot number, batch or serial; a part number where only one lot of it is in the house
    #[arg(value_name = "LOT")]
    lot: String,
    /// What the scale says, spool and all: `1.234kg`, `412.6 g`
    #[arg(long, value_name = "MASS")]
    gross: String,
    /// What the empty spool, tube or tin weighs; without it, what was kept for the lot
    #[arg(long, value_name = "MASS")]
    tare: Option<String>,
    /// The bin it comes from, where it lies in several
    #[arg(long, value_name = "BIN")]
    from: Option<String>,
    /// What its owner said or was told, where it is not ours
    #[arg(long, value_name = "TEXT")]
    owner_says: Option<String>,
    /// Why
    #[arg(short = 'w', long, value_name = "REASON", num_args = 1..)]
    why: Vec<String>,
}

/// Weighs back.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.change(|scene| decide(scene, ask))
}

fn decide(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    let lot = lot_called(scene, &ask.lot)?;
    let (facts, named) = gather_from(scene, lot, house_place(Kind::Counted), ask.from.as_ref())?;
    let stock = facts.done();
    let (place, book) = where_it_lies(&stock, lot, &WEIGHED_IN, named)?;
    let part = stock.part_of(lot)?;
    let (weighed, kept) = on_the_scale(scene, ask, lot, part)?;
    let left = left_by_weight(part, &stock.lot(lot)?.number, weighed)?;
    let mut head = scene.head(DocKind::Count);
    head.reason = (!ask.why.is_empty()).then(|| ask.why.join(" "));
    head.owner_word = ask.owner_says.clone();
    let lines = held_against(scene, place, &[(lot, left)], &stock)?;
    let about = answered(scene, place, last_document(scene.books)?)?;
    let mut posting = count(&stock, head, about, &lines)?;
    if kept != Some(weighed.tare_g) {
        posting.records.push(record(NewNote {
            id: next_note(scene.books)?,
            about: ("lot", lot.0),
            topic: TARE,
            text: format!("{} g", weighed.tare_g),
            answers: None,
        })?);
    }
    let again = again(&stock, place, &posting, &lines, about.alone)?;
    let reading = Reading {
        lot: stock.lot(lot)?.number.clone(),
        part: part.number.clone(),
        unit: part.unit,
        weighed,
        left,
        book,
        one_gram: one_gram(part, weighed.grams_per_unit),
    };
    let say = move |_: &Stock, _: &Posting| {
        let (answer, mut remarks) = by_weight(&reading);
        remarks.extend(again);
        Ok((answer, remarks))
    };
    Ok(posted_with(posting, "weigh", "put right", say))
}

/// What the scale said, in grams, and the tare that was kept for the lot before.
fn on_the_scale(
    scene: &Scene<'_, '_>,
    ask: &Ask,
    lot: LotId,
    part: &Part,
) -> Result<(Weighed, Option<Qty>), Failure> {
    let recorded = packing_of(scene.books, part.id)?.grams_per_unit;
    let grams_per_unit = grams_per_unit(part, recorded)?;
    let kept = tare_kept(scene, lot)?;
    let tare_g = match (&ask.tare, kept) {
        (Some(typed), _) => mass(scene, "--tare", typed)?,
        (None, Some(kept)) => kept,
        (None, None) => {
            return Err(Failure::usage(
                format!("no tare is kept for {}", ask.lot),
                "weigh the empty spool, tube or tin, and say so: `--tare 58g`",
            ));
        }
    };
    let weighed = Weighed {
        gross_g: mass(scene, "--gross", &ask.gross)?,
        tare_g,
        grams_per_unit,
    };
    Ok((weighed, kept))
}

/// The tare that was kept last for a lot, in grams.
fn tare_kept(scene: &Scene<'_, '_>, lot: LotId) -> Result<Option<Qty>, Failure> {
    let kept = noted_last(scene.books, "lot", lot.0, TARE)?;
    kept.map(|text| read_mass("--tare", &text).map(|(grams, _)| grams))
        .transpose()
}

/// A mass as it was typed, in grams; what was understood of it is told on the paper.
fn mass(scene: &Scene<'_, '_>, flag: &str, typed: &str) -> Result<Qty, Failure> {
    let (qty, literal) = read_mass(flag, typed)?;
    if !literal {
        scene.understood.borrow_mut().push(TypedAs {
            typed: typed.trim().to_owned(),
            qty,
            unit: Unit::Gram,
        });
    }
    Ok(qty)
}

/// What a text says of a mass, in grams, and whether it was typed so.
fn read_mass(flag: &str, typed: &str) -> Result<(Qty, bool), Failure> {
    let hint = "give a mass with its unit: `1.234kg`, `412.6 g`";
    let grams =
        Scale::of(Unit::Gram).ok_or_else(|| Failure::usage("no unit is called a gram".to_owned(), hint))?;
    let read =
        typed_size(typed, grams).map_err(|fault| Failure::usage(format!("{flag} {typed}: {fault}"), hint))?;
    Ok((read.qty, read.literal))
}
