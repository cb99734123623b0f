//! `make`: stock becomes other stock in the house, in one document that knows all it was made of.

use crate::cmd::error::Failure;
use crate::cmd::shelf::{
    bin_called, bin_or_only, hazards_on, house_place, lot_called, posted_with, quantity,
};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::stores::lives::lasts_on;
use crate::db::stores::sizes::size_of;
use crate::db::stores::stock::part_numbered;
use crate::domain::making::made::{Wish, is_same_part, make};
use crate::domain::making::pot_life::{CURE, POT_LIFE, PotLife};
use crate::domain::measure::Day;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::{LotId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::part::Part;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::making::Input;
use crate::domain::stores::whereabouts::where_it_lies;
use crate::print::making::made_slip::made;
use clap::Args;

/// From where goods go into a making.
const TAKEN_FROM: [Kind; 4] = [Kind::Bench, Kind::Shelf, Kind::Receiving, Kind::Quarantine];

/// Make a part out of others: cut, ground, put together, mixed; a set broken up
///
/// What comes out has the value, the earliest last day and every hold of what went in. Another part waits in receiving to
/// be inspected; the same part stays in its bin, a set broken up as so many.
#[derive(Args, Debug)]
pub struct Ask {
    /// The part
    #[arg(value_name = "PART")]
    part: String,
    /// How much
    #[arg(value_name = "QTY", allow_negative_numbers = true)]
    qty: String,
    /// What goes in: `LOT=QTY`
    #[arg(long, value_name = "LOT=QTY", num_args = 1.., required = true)]
    of: Vec<String>,
    /// The day after which it is not used: YYYY-MM-DD
    #[arg(long, value_name = "DATE")]
    last_day: Option<String>,
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

/// Makes.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.change(|scene| decide(scene, ask))
}

fn decide(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    let part = part_numbered(scene.books, &ask.part)?.ok_or_else(|| Refusal::Unknown {
        what: "part",
        asked: ask.part.clone(),
        near: Vec::new(),
    })?;
    let wish = wish(scene, ask, &part)?;
    let receiving = bin_or_only(scene, None, Kind::Receiving)?;
    let named = ask.from.as_ref().map(|code| bin_called(scene, code));
    let named = named.transpose()?;
    let taken = taken(scene, &ask.of)?;
    let mut facts = scene.gather()?;
    facts.part(part.id)?;
    for place in [Some(house_place(Kind::Making)), Some(receiving), named]
        .into_iter()
        .flatten()
    {
        facts.place(place)?;
    }
    for (lot, _) in &taken {
        facts.lot(*lot)?;
    }
    let stock = facts.done();
    let inputs = inputs(scene, &stock, &taken, named)?;
    let movement = if is_same_part(&stock, &inputs, part.id)? {
        Movement::Open
    } else {
        Movement::MakeUp
    };
    let mut head = scene.head(DocKind::Movement(movement));
    head.reason = (!ask.why.is_empty()).then(|| ask.why.join(" "));
    head.owner_word = ask.owner_says.clone();
    let places = (house_place(Kind::Making), receiving);
    let posting = make(&stock, head, places, &inputs, &wish)?;
    // A pot life runs from now: what was mixed on another day has long set.
    let pot = if scene.day == scene.today {
        let minutes = |name| size_of(scene.books, part.id, name);
        PotLife::from_mixing(&scene.at, minutes(POT_LIFE)?, minutes(CURE)?)
    } else {
        None
    };
    let hazards = hazards_on(scene, part.id)?;
    let say = move |stock: &Stock, posting: &Posting| {
        let (answer, mut remarks) = made(stock, posting, pot.as_ref())?;
        remarks.extend(
            hazards
                .iter()
                .map(|hazard| format!("write on it: {}", hazard.words())),
        );
        Ok((answer, remarks))
    };
    Ok(posted_with(posting, "make", "made", say))
}

/// What is to be made, as it was typed.
fn wish(scene: &Scene<'_, '_>, ask: &Ask, part: &Part) -> Result<Wish, Failure> {
    let expiry = ask.last_day.as_ref().map(|text| {
        Day::parse(text).map_err(|fault| {
            Failure::usage(
                format!("--last-day: {fault}"),
                "give a day: `--last-day 2027-05-31`",
            )
        })
    });
    Ok(Wish {
        part: part.id,
        qty: quantity(scene, &ask.qty, part)?,
        expiry: expiry.transpose()?,
        lasts: lasts_on(scene.books, part, scene.day)?,
    })
}

/// The lots that go in, each once, with the quantity as it was typed.
fn taken<'a>(scene: &Scene<'_, '_>, of: &'a [String]) -> Result<Vec<(LotId, &'a str)>, Failure> {
    let mut taken: Vec<(LotId, &str)> = Vec::new();
    for word in of {
        let (lot, qty) = word.rsplit_once('=').ok_or_else(|| {
            Failure::usage(
                format!("{word} says no quantity"),
                "say how much of each lot goes in: `--of L000054N=2.5`",
            )
        })?;
        let lot = lot_called(scene, lot)?;
        if taken.iter().any(|(known, _)| *known == lot) {
            return Err(Failure::usage(
                format!("{word}: the lot is named twice"),
                "name each lot once",
            ));
        }
        taken.push((lot, qty));
    }
    Ok(taken)
}

/// Where each lot lies, and how much of it goes in.
fn inputs(
    scene: &Scene<'_, '_>,
    stock: &Stock,
    taken: &[(LotId, &str)],
    named: Option<PlaceId>,
) -> Result<Vec<Input>, Failure> {
    let mut inputs = Vec::new();
    for (lot, typed) in taken {
        let (place, _) = where_it_lies(stock, *lot, &TAKEN_FROM, named)?;
        inputs.push(Input {
            lot: *lot,
            place,
            qty: quantity(scene, typed, stock.part_of(*lot)?)?,
            line: None,
        });
    }
    Ok(inputs)
}
