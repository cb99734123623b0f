//! What the commands at the shelf ask before they begin, and what they all say when it is done.

use crate::cmd::error::{Failure, exit};
use crate::cmd::explained::PACK;
use crate::cmd::shop::{Decision, Scene};
use crate::db::load::Gather;
use crate::db::stores::lots::{Called, job_of_kit, lots_called, places_of_kind};
use crate::db::stores::packs::packing_of;
use crate::db::stores::search::place_of_code;
use crate::db::stores::sizes::hazards_of;
use crate::db::stores::stock::{in_house, part_numbered};

use crate::domain::kitting::job::Line;
use crate::domain::making::hazard::{Hazard, hazard};
use crate::domain::measure::Qty;
use crate::domain::measure::number::{NumberFault, read_lot_short};
use crate::domain::measure::typed::{Kept, TypedFault, Understood, typed_qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{LineId, LotId, PartId, PlaceId};
use crate::domain::stores::law::Kind;
use crate::domain::stores::packs::kept;
use crate::domain::stores::part::Part;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::print::paper::{Paper, TypedAs};
use crate::print::stores::slip::{lines, made_short, stands};
use crate::print::table::Table;

/// The one lot that a name means; a part's number will do where only one lot of it is in the house.
pub fn lot_called(scene: &Scene<'_, '_>, asked: &str) -> Result<LotId, Failure> {
    let found = lots_called(scene.books, asked)?;
    match found.as_slice() {
        [one] => Ok(one.id),
        [] => Err(no_lot("lot in the house", asked).into()),
        several => Err(Refusal::Ambiguous {
            what: "lot",
            asked: asked.to_owned(),
            fits: several.iter().map(told).collect(),
        }
        .into()),
    }
}

/// Why no lot is of this name: its check character is wrong, or there is none.
pub fn no_lot(what: &'static str, asked: &str) -> Refusal {
    match read_lot_short(asked) {
        Err(fault @ NumberFault::WrongCheck { .. }) => Refusal::Impossible {
            what: asked.to_owned(),
            because: fault.to_string(),
        },
        _ => Refusal::Unknown {
            what,
            asked: asked.to_owned(),
            near: Vec::new(),
        },
    }
}

fn told(called: &Called) -> String {
    format!("{} of {}", called.number, called.part)
}

/// The facts of a lot, of another place, and of the bin that `--from` names, with that bin.
pub fn gather_from<'s, 'b>(
    scene: &'s Scene<'s, 'b>,
    lot: LotId,
    other: PlaceId,
    from: Option<&String>,
) -> Result<(Gather<'s, 'b>, Option<PlaceId>), Failure> {
    let named = from.map(|code| bin_called(scene, code)).transpose()?;
    let mut facts = scene.gather()?;
    facts.lot(lot)?;
    for place in [Some(other), named].into_iter().flatten() {
        facts.place(place)?;
    }
    Ok((facts, named))
}

/// The place of this code, however it is capitalised.
pub fn bin_called(scene: &Scene<'_, '_>, code: &str) -> Result<PlaceId, Failure> {
    let place = place_of_code(scene.books, code)?.ok_or_else(|| Refusal::Unknown {
        what: "bin",
        asked: code.to_owned(),
        near: Vec::new(),
    })?;
    Ok(place.id)
}

/// The place of this code, which must be of one of these kinds.
pub fn bin_of_kind(scene: &Scene<'_, '_>, code: &str, kinds: &[Kind]) -> Result<PlaceId, Failure> {
    let place = bin_called(scene, code)?;
    if kinds.iter().any(|kind| place.is(*kind)) {
        return Ok(place);
    }
    let wanted: Vec<&str> = kinds.iter().map(|kind| kind.word()).collect();
    Err(Refusal::Impossible {
        what: code.to_owned(),
        because: format!(
            "it is {}, and this wants {}",
            place.kind().map_or("no place of stock", Kind::word),
            wanted.join(" or ")
        ),
    }
    .into())
}

/// The house's only place of a kind that every store has from the start.
pub fn house_place(kind: Kind) -> PlaceId {
    PlaceId::of(kind, 1)
}

/// The place of a kind that is named, or the only one there is.
pub fn bin_or_only(scene: &Scene<'_, '_>, code: Option<&String>, kind: Kind) -> Result<PlaceId, Failure> {
    if let Some(code) = code {
        return bin_of_kind(scene, code, &[kind]);
    }
    let found = places_of_kind(scene.books, kind)?;
    match found.as_slice() {
        [(only, _)] => Ok(*only),
        [] => Err(Refusal::Unknown {
            what: "place for this",
            asked: kind.word().to_owned(),
            near: Vec::new(),
        }
        .into()),
        several => Err(Refusal::Ambiguous {
            what: "place",
            asked: kind.word().to_owned(),
            fits: several.iter().map(|(_, code)| code.clone()).collect(),
        }
        .into()),
    }
}

/// A quantity as it was typed: in the part's unit, another of its kind, a pack of its own, or by weight.
///
/// What is not literally the number in the part's unit is told on the paper.
pub fn quantity(scene: &Scene<'_, '_>, text: &str, part: &Part) -> Result<Qty, Failure> {
    quantity_from(scene, text, part, None)
}

/// The same of goods from a supplier, whose own pack decides what a name means.
pub fn quantity_from(
    scene: &Scene<'_, '_>,
    text: &str,
    part: &Part,
    supplier: Option<PlaceId>,
) -> Result<Qty, Failure> {
    let known = kept(part, packing_of(scene.books, part.id)?, supplier);
    let read = read_quantity(text, part, &known)?;
    if !read.literal {
        scene.understood.borrow_mut().push(TypedAs {
            typed: text.trim().to_owned(),
            qty: read.qty,
            unit: part.unit,
        });
    }
    Ok(read.qty)
}

/// What a text says of how much, where it is known already how the part is kept.
pub fn read_quantity(text: &str, part: &Part, known: &Kept) -> Result<Understood, Failure> {
    typed_qty(text, known).map_err(|fault| not_read(text, part, fault))
}

fn not_read(text: &str, part: &Part, fault: TypedFault) -> Failure {
    match fault {
        TypedFault::SeveralPacks { text, readings } => Refusal::Ambiguous {
            what: PACK,
            asked: text,
            fits: readings,
        }
        .into(),
        other => Failure::usage(
            format!("{text}: {other}"),
            format!("give a quantity of {} in {}", part.number, part.unit),
        ),
    }
}

/// What the goods of a part may do to who handles them, by its record.
pub fn hazards_on(scene: &Scene<'_, '_>, part: PartId) -> Result<Vec<Hazard>, Failure> {
    let codes = hazards_of(scene.books, part)?;
    let known: Result<Vec<Hazard>, Refusal> = codes.iter().map(|code| hazard(code)).collect();
    Ok(known?)
}

/// Hands over the job whose kit a place is, if it is one.
pub fn gather_kit(facts: &mut Gather<'_, '_>, scene: &Scene<'_, '_>, place: PlaceId) -> Result<(), Failure> {
    if place.is(Kind::Kit)
        && let Some(job) = job_of_kit(scene.books, place)?
    {
        facts.job(job)?;
    }
    Ok(())
}

/// The line that has so much of the lot's part in the kit or on the engine; none where the place is no job's.
pub fn line_there(stock: &Stock, lot: LotId, place: PlaceId, qty: Qty) -> Result<Option<LineId>, Refusal> {
    let part = stock.lot(lot)?.part;
    let kitted = |line: &&Line| {
        let job = stock.jobs.get(&line.job);
        line.part == part
            && job.is_some_and(|job| {
                (job.kit == place && line.kitted >= qty) || (job.engine == place && line.fitted >= qty)
            })
    };
    Ok(stock.lines.values().find(kitted).map(|line| line.id))
}

/// Posts, and says what moved, which jobs it made short and how each part stands now.
pub fn posted(
    posting: Posting,
    kind: &'static str,
    title: &'static str,
    answer: String,
) -> Decision<'static> {
    posted_with(posting, kind, title, move |_, _| Ok((answer, Vec::new())))
}

/// The same, with an answer and remarks made from the facts as they stand afterwards.
pub fn posted_with(
    posting: Posting,
    kind: &'static str,
    title: &'static str,
    say: impl FnOnce(&Stock, &Posting) -> Result<(String, Vec<String>), Refusal> + 'static,
) -> Decision<'static> {
    let shown = posting.clone();
    Decision::post(posting, exit::DONE, move |scene| {
        let stock = afterwards(scene, &shown)?;
        let (answer, remarks) = say(&stock, &shown)?;
        let mut paper = scene.paper(kind, answer);
        paper.tables.push(lines(&stock, &shown, title)?);
        paper.notes.extend(remarks);
        paper.notes.extend(made_short(&stock, &shown)?);
        standing(scene, &stock, &shown, &mut paper)?;
        Ok(paper)
    })
}

/// Posts, and prints a list of its own instead of what moved, which jobs it made short and how each part stands now.
pub fn posted_on(
    posting: Posting,
    kind: &'static str,
    list: Table,
    (answer, remarks): (String, Vec<String>),
) -> Decision<'static> {
    let shown = posting.clone();
    Decision::post(posting, exit::DONE, move |scene| {
        let stock = afterwards(scene, &shown)?;
        let mut paper = scene.paper(kind, answer);
        paper.tables.push(list);
        paper.notes.extend(remarks);
        paper.notes.extend(made_short(&stock, &shown)?);
        standing(scene, &stock, &shown, &mut paper)?;
        Ok(paper)
    })
}

/// Everything that a posting touched, as it stands now.
fn afterwards(scene: &Scene<'_, '_>, posting: &Posting) -> Result<Stock, Failure> {
    let mut facts = scene.gather()?;
    for entry in &posting.entries {
        facts.lot(entry.lot)?;
        facts.place(entry.from)?;
        facts.place(entry.to)?;
    }
    for claim in &posting.stripped {
        facts.line(claim.line)?;
    }
    Ok(facts.done())
}

/// How each part that moved stands now.
fn standing(
    scene: &Scene<'_, '_>,
    stock: &Stock,
    posting: &Posting,
    paper: &mut Paper,
) -> Result<(), Failure> {
    let mut told = Vec::new();
    for entry in &posting.entries {
        let number = stock.part_of(entry.lot)?.number.clone();
        if told.contains(&number) {
            continue;
        }
        if let Some(part) = part_numbered(scene.books, &number)? {
            let house = in_house(scene.books, part)?;
            paper.notes.push(stands(&house, scene.day.max(scene.today)));
        }
        told.push(number);
    }
    Ok(())
}
