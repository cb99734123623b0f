//! `hold`: nothing may be used of a lot or from a place until the inspector lifts it.

use crate::cmd::error::{Failure, exit};
use crate::cmd::shelf::lot_called;
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::holds::{OnHold, beneath, lay_there, live_holds, lots_of_batch};
use crate::db::load::Gather;
use crate::db::stores::search::place_of_code;
use crate::db::written::number;
use crate::domain::measure::Day;
use crate::domain::measure::number::read_document_number;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::PlaceId;
use crate::domain::stores::posting::{Held, Posting};
use crate::domain::stores::verbs::holding::{hold_all, lift_all};
use crate::print::tracing::hold_slip::{HoldLine, hold_list, hold_slip};
use clap::Args;

/// Put a lot, a bin or a recalled batch on hold, lift a hold, or list what is held
#[derive(Args, Debug)]
pub struct Ask {
    /// A lot, a bin with all bins in it, or what a hold was put on with; without it, every hold is listed
    #[arg(value_name = "LOT|BIN|DOCUMENT")]
    what: Option<String>,
    /// Every lot of a maker's batch, and all that was made of it
    #[arg(long, value_name = "BATCH", conflicts_with = "what")]
    recalled: Option<String>,
    /// The lots that lay in the bin from this day on, wherever they are now
    #[arg(
        long = "lay-since",
        value_name = "DATE",
        requires = "what",
        conflicts_with = "lift"
    )]
    since: Option<String>,
    /// The last of those days, if not today
    #[arg(long = "lay-until", value_name = "DATE", requires = "since")]
    until: Option<String>,
    /// Lift it: the inspector's decision
    #[arg(long)]
    lift: bool,
    /// Why
    #[arg(short = 'w', long, value_name = "REASON", num_args = 1..)]
    why: Vec<String>,
}

/// Holds, lifts or lists.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    if ask.what.is_none() && ask.recalled.is_none() {
        if ask.lift || !ask.why.is_empty() {
            return Err(Failure::usage(
                "hold what?",
                "name a lot, a bin, or `--recalled BATCH`: `bincard hold B-4 -w cannot be found`",
            ));
        }
        return shop.read(list);
    }
    if ask.why.is_empty() {
        let verb = if ask.lift { "lifted" } else { "held" };
        return Err(Failure::usage(
            format!("why is it {verb}?"),
            "say why: `-w cannot be found`",
        ));
    }
    shop.change(|scene| {
        if ask.lift {
            lift(scene, ask)
        } else {
            hold(scene, ask)
        }
    })
}

fn list(scene: &Scene<'_, '_>) -> Result<Done, Failure> {
    let mut lines = Vec::new();
    for hold in live_holds(scene.books)? {
        lines.push(HoldLine {
            document: document_of(scene, hold.document)?,
            what: hold.what,
            part: hold.part,
            cause: hold.cause,
            by: hold.by,
            day: hold.day,
        });
    }
    Ok(Done::yes(hold_list(&lines, scene.paper("holds", ""))))
}

/// The number of a document as people write it.
fn document_of(scene: &Scene<'_, '_>, id: i64) -> Result<String, Failure> {
    let found = crate::db::written::written(scene.books, crate::domain::stores::ids::DocId(id))?;
    match found {
        Some(document) => Ok(document.number),
        None => Ok(number(DocKind::Hold.word(), id)?),
    }
}

fn hold(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    let mut head = scene.head(DocKind::Hold);
    let cause = ask.why.join(" ");
    head.reason = Some(cause.clone());
    let all = to_hold(scene, ask)?;
    let mut facts = scene.gather()?;
    for held in &all {
        gather(&mut facts, *held)?;
    }
    let posting = hold_all(&facts.done(), head, &all, &cause)?;
    Ok(told(posting))
}

/// Everything about what a hold lies on: its lots, their claims, and the jobs that made them.
fn gather(facts: &mut Gather<'_, '_>, held: Held) -> Result<(), Failure> {
    match held {
        Held::Lot(lot) => facts.lot(lot)?,
        Held::Place(place) => facts.place_with_lots(place)?,
    }
    Ok(())
}

/// What is to be held.
fn to_hold(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Vec<Held>, Failure> {
    if let Some(batch) = &ask.recalled {
        let lots = lots_of_batch(scene.books, batch)?;
        if lots.is_empty() {
            return Err(unknown("batch", batch));
        }
        return Ok(lots.into_iter().map(Held::Lot).collect());
    }
    let what = ask.what.as_deref().unwrap_or_default();
    let place = place_of_code(scene.books, what)?;
    let Some(place) = place else {
        if ask.since.is_some() {
            return Err(unknown("bin", what));
        }
        return Ok(vec![Held::Lot(lot_called(scene, what)?)]);
    };
    let places = beneath(scene.books, place.id)?;
    if let Some(since) = &ask.since {
        return lay_in(scene, ask, &places, day("--lay-since", since)?);
    }
    if !place.id.in_house() {
        return Err(Refusal::Impossible {
            what: what.to_owned(),
            because: "only a place in the house is held; hold the lot".to_owned(),
        }
        .into());
    }
    Ok(places.into_iter().map(Held::Place).collect())
}

/// The lots that lay in some places on some days.
fn lay_in(scene: &Scene<'_, '_>, ask: &Ask, places: &[PlaceId], since: Day) -> Result<Vec<Held>, Failure> {
    let until = ask
        .until
        .as_deref()
        .map(|text| day("--lay-until", text))
        .transpose()?;
    let until = until.unwrap_or(scene.day);
    if until < since {
        return Err(Failure::usage(
            format!("{until} comes before {since}"),
            "give the days in order: `--lay-since 2026-11-21 --lay-until 2026-11-23`",
        ));
    }
    let mut lots = Vec::new();
    for place in places {
        for lot in lay_there(scene.books, *place, since, until)? {
            if !lots.contains(&Held::Lot(lot)) {
                lots.push(Held::Lot(lot));
            }
        }
    }
    if lots.is_empty() {
        return Err(Refusal::Impossible {
            what: ask.what.clone().unwrap_or_default(),
            because: format!("nothing lay there from {since} to {until}"),
        }
        .into());
    }
    Ok(lots)
}

fn day(option: &str, text: &str) -> Result<Day, Failure> {
    Day::parse(text).map_err(|fault| {
        Failure::usage(
            format!("{option}: {fault}"),
            format!("give a day: `{option} 2026-11-21`"),
        )
    })
}

fn lift(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    let holds = to_lift(scene, ask)?;
    let mut head = scene.head(DocKind::Hold);
    head.reason = Some(ask.why.join(" "));
    let mut facts = scene.gather()?;
    let mut ids = Vec::new();
    for hold in &holds {
        facts.hold(hold.id)?;
        ids.push(hold.id);
    }
    let posting = lift_all(&facts.done(), head, &ids)?;
    Ok(told(posting))
}

/// The live holds that are meant: those of a document or a batch, else the only one on a lot or a place.
fn to_lift(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Vec<OnHold>, Failure> {
    let live = live_holds(scene.books)?;
    let what = ask.what.as_deref().unwrap_or_default();
    let found: Vec<OnHold> = if let Some(batch) = &ask.recalled {
        let lots = lots_of_batch(scene.books, batch)?;
        live.into_iter()
            .filter(|hold| hold.lot.is_some_and(|lot| lots.contains(&lot)))
            .collect()
    } else if let Ok((prefix, id)) = read_document_number(what)
        && prefix == DocKind::Hold.prefix()
    {
        live.into_iter().filter(|hold| hold.document == id).collect()
    } else {
        return only_one(scene, what, live);
    };
    match found.is_empty() {
        true => Err(unknown("live hold", ask.recalled.as_deref().unwrap_or(what))),
        false => Ok(found),
    }
}

/// The only live hold on a lot or a place.
fn only_one(scene: &Scene<'_, '_>, what: &str, live: Vec<OnHold>) -> Result<Vec<OnHold>, Failure> {
    let place = place_of_code(scene.books, what)?.map(|place| place.code);
    let on: Vec<OnHold> = match place {
        Some(code) => live
            .into_iter()
            .filter(|hold| hold.lot.is_none() && hold.what == code)
            .collect(),
        None => {
            let lot = lot_called(scene, what)?;
            live.into_iter().filter(|hold| hold.lot == Some(lot)).collect()
        }
    };
    match on.len() {
        0 => Err(unknown("live hold", what)),
        1 => Ok(on),
        _ => {
            let mut fits = Vec::new();
            for hold in on {
                fits.push(format!("{} ({})", document_of(scene, hold.document)?, hold.cause));
            }
            Err(Refusal::Ambiguous {
                what: "hold",
                asked: what.to_owned(),
                fits,
            }
            .into())
        }
    }
}

fn unknown(what: &'static str, asked: &str) -> Failure {
    Refusal::Unknown {
        what,
        asked: asked.to_owned(),
        near: Vec::new(),
    }
    .into()
}

/// Posts and shows where what was held or let go lies.
fn told(posting: Posting) -> Decision<'static> {
    let shown = posting.clone();
    Decision::post(posting, exit::DONE, move |scene| {
        let mut facts = scene.gather()?;
        for hold in &shown.holds {
            gather(&mut facts, hold.on)?;
        }
        for claim in &shown.stripped {
            facts.line(claim.line)?;
        }
        let places: Vec<PlaceId> = facts.so_far().balances.keys().map(|(_, place)| *place).collect();
        for place in places {
            facts.place(place)?;
        }
        Ok(hold_slip(&facts.done(), &shown, scene.paper("hold", ""))?)
    })
}
