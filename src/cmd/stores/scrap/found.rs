//! Goods that were found and that no card knows: a new lot in the cage, without papers and worth nothing.

use crate::cmd::error::Failure;
use crate::cmd::shelf::{house_place, posted, quantity};
use crate::cmd::shop::{Decision, Scene};
use crate::db::stores::stock::part_numbered;
use crate::domain::measure::Money;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::PlaceId;
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::lot::NewLot;
use crate::domain::stores::verbs::birth::{Birth, bear};
use crate::print::words::measured;

/// The code that stands before the reason.
const CODE: &str = "found";

/// Books what was found into the cage.
pub(super) fn decide(
    scene: &Scene<'_, '_>,
    (number, qty): (&str, &str),
    to: PlaceId,
    why: &[String],
) -> Result<Decision<'static>, Failure> {
    let part = part_numbered(scene.books, number)?.ok_or_else(|| Refusal::Unknown {
        what: "part",
        asked: number.to_owned(),
        near: Vec::new(),
    })?;
    let scales = house_place(Kind::Counted);
    let mut facts = scene.gather()?;
    facts.part(part.id)?;
    facts.place(scales)?;
    facts.place(to)?;
    let qty = quantity(scene, qty, &part)?;
    let birth = Birth {
        movement: Movement::Gain,
        part: part.id,
        lot: NewLot::default(),
        from: scales,
        to,
        qty,
        value: Money::ZERO,
        line: None,
    };
    let mut head = scene.head(DocKind::Movement(Movement::Gain));
    let why = why.join(" ");
    head.reason = Some(if why.starts_with(CODE) {
        why
    } else {
        format!("{CODE}: {why}")
    });
    let stock = facts.done();
    let answer = format!(
        "{} of {} found, in {} without papers",
        measured(qty, part.unit),
        part.number,
        stock.place(to)?.code
    );
    Ok(posted(bear(&stock, head, &[birth])?, "gain", "found", answer))
}
