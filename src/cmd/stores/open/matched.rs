//! `match`: pieces measured one by one become a set, one lot that is reserved and moves only whole.

use super::PLACES;
use crate::cmd::error::Failure;
use crate::cmd::shelf::{bin_called, gather_kit, house_place, line_there, lot_called, posted_with, quantity};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::likeness::sizes::{sized, spreads_of};
use crate::db::stores::notes::next_note;
use crate::db::stores::stock::part_numbered;
use crate::domain::estimating::compression::{Ratio, unequal};
use crate::domain::likeness::fault::LikenessFault;
use crate::domain::likeness::set::{Limit, judge, one_part, told};
use crate::domain::measure::scale::SCALES;
use crate::domain::measure::typed::{Kept, parted, typed_qty, typed_size};
use crate::domain::measure::{Qty, Unit};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::lot::NewLot;
use crate::domain::stores::noting::{NewNote, record};
use crate::domain::stores::part::Part;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::making::{Input, Output, open};
use crate::domain::stores::whereabouts::where_it_lies;
use crate::print::words::measured;
use clap::Args;

/// Match pieces into a set: measured one by one, one lot that is reserved and moves only whole
///
/// How far apart they may be stands among the part's sizes, such as `weight_spread_grams` or `thickness_spread`.
#[derive(Args, Debug)]
pub struct Ask {
    /// What goes in: `LOT=QTY`, each lot of the same part, lying in one place
    #[arg(value_name = "LOT=QTY", required = true)]
    lots: Vec<String>,
    /// What each piece measures, in the order of the lots: `weight=512,513,511.5,512g`
    #[arg(long, value_name = "NAME=FIGURES")]
    measured: Vec<String>,
    /// The engine model they go on; then what unequal thicknesses make of its compression is told
    #[arg(long, value_name = "MODEL")]
    for_model: Option<String>,
    /// The bin it comes from, where it lies in several
    #[arg(long, value_name = "BIN")]
    from: Option<String>,
}

/// Matches.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.change(|scene| decide(scene, ask))
}

fn decide(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    if let Some(model) = &ask.for_model {
        let known = part_numbered(scene.books, model)?;
        known
            .filter(|part| part.class == "engine model")
            .ok_or_else(|| Refusal::Unknown {
                what: "engine model",
                asked: model.clone(),
                near: Vec::new(),
            })?;
    }
    let (part, inputs, stock) = gathered(scene, ask)?;
    let pieces: Qty = inputs.iter().map(|input| input.qty).sum();
    if inputs.is_empty() || pieces < Qty::whole(2) || part.unit != Unit::Each {
        return Err(Failure::usage(
            format!("{} is no set", measured(pieces, part.unit)),
            "a set is two pieces or more, each counted by itself",
        ));
    }
    let found = figures_of(scene, ask, &part, pieces)?;
    let first = stock.lot(inputs.first().ok_or(Refusal::Nothing)?.lot)?;
    let new = NewLot {
        owner: first.owner,
        size: Some(pieces),
        maker: first.maker.clone(),
        condition: first.condition.clone(),
        ..NewLot::default()
    };
    let output = Output {
        part: part.id,
        qty: pieces,
        lot: new,
    };
    let head = scene.head(DocKind::Movement(Movement::Open));
    let mut posting = open(&stock, head, house_place(Kind::Making), &inputs, &[output])?;
    keep(scene, &mut posting, &found)?;
    Ok(posted_with(posting, "match", "matched", move |stock, posting| {
        let made = posting.lots.first().ok_or(Refusal::Nothing)?;
        let set = stock.lot(made.id)?;
        let answer = format!(
            "set {} of {} {}: it goes out only whole",
            set.number,
            measured(pieces, part.unit),
            part.number
        );
        Ok((answer, found))
    }))
}

/// What goes in, each lot of one part, and the facts about it.
fn gathered(scene: &Scene<'_, '_>, ask: &Ask) -> Result<(Part, Vec<Input>, Stock), Failure> {
    let named = ask
        .from
        .as_ref()
        .map(|code| bin_called(scene, code))
        .transpose()?;
    let mut facts = scene.gather()?;
    facts.place(house_place(Kind::Making))?;
    if let Some(place) = named {
        facts.place(place)?;
    }
    let mut goes_in = Vec::new();
    for text in &ask.lots {
        let Some((name, amount)) = text.split_once('=') else {
            return Err(Failure::usage(
                format!("{text} does not say how much of which lot"),
                "type lot and quantity: `bincard match L0000072=4`",
            ));
        };
        let lot = lot_called(scene, name)?;
        facts.lot(lot)?;
        let (place, _) = where_it_lies(facts.so_far(), lot, &PLACES, named)?;
        gather_kit(&mut facts, scene, place)?;
        let part = facts.so_far().part_of(lot)?.clone();
        goes_in.push((lot, place, quantity(scene, amount, &part)?, part));
    }
    let stock = facts.done();
    let (_, _, _, part) = goes_in.first().cloned().ok_or(Refusal::Nothing)?;
    let first = sized(scene.books, part.clone())?;
    let mut inputs = Vec::new();
    for (lot, place, qty, other) in goes_in {
        one_part(&first, &sized(scene.books, other)?).map_err(Refusal::Likeness)?;
        inputs.push(Input {
            lot,
            place,
            qty,
            line: line_there(&stock, lot, place, qty)?,
        });
    }
    Ok((part, inputs, stock))
}

/// What was measured of every piece, held against the part's own limits, a line each.
fn figures_of(scene: &Scene<'_, '_>, ask: &Ask, part: &Part, pieces: Qty) -> Result<Vec<String>, Failure> {
    let limits = spreads_of(scene.books, part.id)?;
    let mut found = Vec::new();
    for limit in &limits {
        let named = |text: &&String| text.split_once('=').is_some_and(|(name, _)| name == limit.name);
        let Some(text) = ask.measured.iter().find(named) else {
            return Err(Refusal::Likeness(LikenessFault::Unmeasured {
                part: part.number.clone(),
                name: limit.name.clone(),
                most: limit.most,
                unit: limit.unit.clone(),
            })
            .into());
        };
        let figures = figures(text, limit)?;
        if Qty::whole(i64::try_from(figures.len()).unwrap_or(i64::MAX)) != pieces {
            return Err(Failure::usage(
                format!("{text}: {} figures for {pieces} pieces", figures.len()),
                "measure each piece and type its figure, a comma between two",
            ));
        }
        let judged = judge(&part.number, limit, &figures);
        let apart = judged.map_err(|fault| with_compression(scene, ask, &figures, fault))?;
        found.push(format!(
            "{} {} {}: {apart} {} apart, {} allowed",
            limit.name,
            told(&figures),
            limit.unit,
            limit.unit,
            limit.most
        ));
    }
    let unknown = |text: &&String| {
        let name = text.split('=').next().unwrap_or_default();
        !limits.iter().any(|limit| limit.name == name)
    };
    match ask.measured.iter().find(unknown) {
        None => Ok(found),
        Some(text) => Err(Failure::usage(
            format!("{text}: {} has no limit on record for it", part.number),
            "put the limit among its sizes: `weight_spread_grams`, or `thickness_spread` in mm",
        )),
    }
}

/// The figures behind the equals sign, in the limit's unit, which stands once at the end.
fn figures(text: &str, limit: &Limit) -> Result<Vec<Qty>, Failure> {
    let (_, figures) = text.split_once('=').unwrap_or_default();
    let (plain, unit) = parted(figures);
    let scale = SCALES.iter().find(|scale| scale.symbol == limit.unit);
    let one = |figure: &str| match scale {
        Some(scale) => typed_size(&format!("{} {unit}", figure.trim()), scale),
        None => typed_qty(figure.trim(), &Kept::plainly(Unit::Each)),
    };
    if unit.is_empty() != limit.unit.is_empty() {
        return Err(Failure::usage(
            format!("{text}: the limit is in {}", limit.unit),
            "type the figures with the unit behind the last: `weight=512,513,511.5,512g`",
        ));
    }
    let read: Result<Vec<Qty>, _> = plain
        .split(',')
        .map(|figure| one(figure).map(|understood| understood.qty))
        .collect();
    read.map_err(|fault| {
        Failure::usage(
            format!("{text}: {fault}"),
            "type the figures with commas between them and the unit behind the last",
        )
    })
}

/// What unequal thicknesses make of the engine's compression, told beside the refusal.
fn with_compression(scene: &Scene<'_, '_>, ask: &Ask, figures: &[Qty], fault: LikenessFault) -> Failure {
    let ratios = || -> Option<String> {
        let model = part_numbered(scene.books, ask.for_model.as_ref()?).ok()??;
        let model = sized(scene.books, model).ok()?;
        let (stroke, ratio) = (model.size("stroke")?, model.size("ratio")?);
        let ratio = Ratio::new(ratio.value.to_decimal()).ok()?;
        let thicknesses: Vec<_> = figures.iter().map(|figure| figure.to_decimal()).collect();
        let spread = unequal(stroke.value.to_decimal(), ratio, &thicknesses).ok()?;
        let told: Vec<String> = spread
            .ratios
            .iter()
            .map(|ratio| ratio.figure().round_dp(2).to_string())
            .collect();
        Some(told.join(", "))
    };
    let fault = match fault {
        LikenessFault::Apart { part, name, because } if name == "thickness" => LikenessFault::Apart {
            because: match ratios() {
                Some(ratios) => format!("{because}; compression {ratios}"),
                None => because,
            },
            part,
            name,
        },
        other => other,
    };
    Refusal::Likeness(fault).into()
}

/// Keeps what was measured, as a note on the set.
fn keep(scene: &Scene<'_, '_>, posting: &mut Posting, found: &[String]) -> Result<(), Failure> {
    let set = posting.lots.first().ok_or(Refusal::Nothing)?.id;
    for (id, text) in (next_note(scene.books)?..).zip(found) {
        posting.records.push(record(NewNote {
            id,
            about: ("lot", set.0),
            topic: "matched",
            text: text.clone(),
            answers: None,
        })?);
    }
    Ok(())
}
