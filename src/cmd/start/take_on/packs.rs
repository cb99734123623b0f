//! What parts come in, packs of a supplier's or the same whoever sends them, and what may stand in for them.

use super::Taking;
use crate::domain::measure::scale::scales_called;
use crate::domain::stores::law::Kind;
use crate::domain::stores::packs::ANYONE;
use crate::domain::stores::record::Table;
use crate::intake::Intake;

impl Taking<'_> {
    /// Packs; one that would break a step of its part is told.
    pub(super) fn packs(&mut self, intake: &Intake) {
        for placed in &intake.packs {
            let row = &placed.row;
            let Some(part) = self.names.parts.get(&row.part).cloned() else {
                self.unknown(placed, "part", &row.part, "part");
                continue;
            };
            let supplier = match &row.supplier {
                None => ANYONE,
                Some(code) => match self.names.place_of_kind(code, Kind::Supplier) {
                    Some(supplier) => supplier.id,
                    None => {
                        self.unknown(placed, "supplier", code, "supplier");
                        continue;
                    }
                },
            };
            if row.holds.millionths() % part.step.millionths().max(1) != 0 {
                let reason = format!("{} moves by {} {}", part.number, part.step, part.unit);
                let hint = "say what one pack holds in whole steps of the part";
                self.fault(placed, "holds", &row.holds.to_string(), reason, hint);
                continue;
            }
            if scales_called(&row.unit)
                .iter()
                .any(|scale| scale.stock == Some(part.unit))
            {
                let reason = format!("is what {} is kept in", part.number);
                let hint = "call the pack something else";
                self.fault(placed, "unit", &row.unit, reason, hint);
                continue;
            }
            if self.is_known(placed) {
                continue;
            }
            let data = vec![
                part.id.0.into(),
                supplier.0.into(),
                row.unit.as_str().into(),
                row.holds.into(),
            ];
            self.record(Table::Pack, data);
        }
    }

    /// What may stand in for what: two parts kept in one unit.
    pub(super) fn stand_ins(&mut self, intake: &Intake) {
        for placed in &intake.standins {
            let row = &placed.row;
            let (Some(part), Some(other)) = (
                self.names.parts.get(&row.part).cloned(),
                self.names.parts.get(&row.other).cloned(),
            ) else {
                for (heading, number) in [("part", &row.part), ("other", &row.other)] {
                    if !self.names.parts.contains_key(number) {
                        self.unknown(placed, heading, number, "part");
                    }
                }
                continue;
            };
            if part.unit != other.unit {
                let reason = format!("is kept in {}, and {} in {}", other.unit, part.number, part.unit);
                let hint = "what stands in is counted as what it stands in for";
                self.fault(placed, "other", &row.other, reason, hint);
                continue;
            }
            if self.is_known(placed) {
                continue;
            }
            let bounds = row.bounds.to_string();
            let id = self.names.next(Table::StandIn);
            let data = vec![
                id.into(),
                part.id.0.into(),
                other.id.0.into(),
                row.manner.word().into(),
                (!bounds.is_empty()).then_some(bounds).into(),
                row.authority.as_str().into(),
                row.from_day.into(),
                row.until_day.into(),
            ];
            self.record(Table::StandIn, data);
        }
    }
}
