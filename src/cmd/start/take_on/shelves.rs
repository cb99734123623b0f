//! Opening stock: each row a lot, brought forward from the old cards to where it lies.

use super::Taking;
use crate::domain::keeping::rule::Lasts;
use crate::domain::measure::Day;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::PlaceId;
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::lot::NewLot;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::enter::Move;
use crate::intake::rows_parts::StockRow;
use crate::intake::{Intake, Listed};

impl Taking<'_> {
    /// Brings every opening lot forward; what the law refuses is told with its place.
    pub(super) fn opening_stock(&mut self, intake: &Intake, draft: &mut Draft) {
        let any_there = self.known.has_any("stock");
        draft.posting.lots.reserve(intake.stock.len());
        draft.posting.entries.reserve(intake.stock.len());
        for placed in &intake.stock {
            self.progress.step();
            if any_there && self.known.has("stock", &placed.row.cells()) {
                continue;
            }
            if let Err(misplaced) = self.bring_forward(&placed.row, draft) {
                let (heading, text, refusal) = *misplaced;
                let hint = match refusal {
                    Refusal::Dead { .. } => "bring a dead lot forward into quarantine, or leave it out",
                    _ => "put the name into its file, or the goods where the law lets them lie",
                };
                self.fault(placed, heading, &text, refusal.to_string(), hint);
            }
        }
    }

    /// How long a part lasts, with the rule of its family that holds on a day.
    fn lasts(&self, number: &str, day: Day) -> Option<Lasts> {
        let life = self.names.parts.get(number)?.life.as_ref()?;
        let rules = life.family().and_then(|family| self.names.lives.get(family));
        Some(Lasts::on(life, rules.map_or(&[], Vec::as_slice), day))
    }

    /// Brings one lot forward.
    fn bring_forward(&mut self, row: &StockRow, draft: &mut Draft) -> Result<(), Misplaced> {
        let unknown = |what: &'static str, asked: &str| Refusal::Unknown {
            what,
            asked: asked.to_owned(),
            near: vec![],
        };
        let part = self
            .names
            .part(&row.part)
            .ok_or_else(|| Box::new(("part", row.part.clone(), unknown("part", &row.part))))?;
        let lasts = self.lasts(&row.part, draft.posting.head.day);
        let bin = self.names.places.get(&row.bin).map(|place| place.id);
        let bin = bin.ok_or_else(|| Box::new(("bin", row.bin.clone(), unknown("bin", &row.bin))))?;
        let owner = match &row.owner {
            None => None,
            Some(code) => {
                let customer = self
                    .names
                    .place_of_kind(code, Kind::Customer)
                    .map(|place| place.id);
                Some(customer.ok_or_else(|| Box::new(("owner", code.clone(), unknown("customer", code))))?)
            }
        };
        let new = NewLot {
            owner,
            size: row.serial.as_ref().map(|_| row.qty),
            batch: row.batch.clone(),
            serial: row.serial.clone(),
            maker: row.maker.clone(),
            condition: row.condition.clone(),
            made: row.made.as_ref().map(|made| made.says.last),
            expiry: row.expiry,
            expiry_how: how(row, lasts.as_ref()),
            ..NewLot::default()
        };
        let lot = draft
            .new_lot(part, new, false)
            .map_err(|refusal| Box::new(("part", row.part.clone(), refusal)))?;
        let cards = PlaceId::of(Kind::BroughtForward, 1);
        let asked = Move::new(Movement::BringForward, lot, cards, bin, row.qty).at(row.value);
        draft.enter(asked).map_err(|refusal| place_of(row, refusal))
    }
}

/// How a last day is known: worked out where it is the end of the part's life from the making, or as it is written; and
/// who says so where there is none.
fn how(row: &StockRow, lasts: Option<&Lasts>) -> Option<String> {
    let Some(last) = row.expiry else {
        return lasts.and_then(Lasts::without_limit);
    };
    let worked_out = row
        .made
        .as_ref()
        .zip(lasts)
        .and_then(|(made, lasts)| lasts.end_of(&row.part, made).ok());
    match worked_out {
        Some((Some(end), how)) if end == last => Some(how),
        _ => Some("as the old card has it".to_owned()),
    }
}

/// The cell of a row that cannot be taken, its text, and why.
type Misplaced = Box<(&'static str, String, Refusal)>;

/// Which cell of the row a refusal is about.
fn place_of(row: &StockRow, refusal: Refusal) -> Misplaced {
    Box::new(match refusal {
        Refusal::Dead { .. } => (
            "expiry",
            row.expiry.map(|day| day.to_string()).unwrap_or_default(),
            refusal,
        ),
        Refusal::Nothing | Refusal::Step { .. } => ("qty", row.qty.to_string(), refusal),
        Refusal::OwnedValue { .. } => ("value", row.value.to_string(), refusal),
        _ => ("bin", row.bin.clone(), refusal),
    })
}
