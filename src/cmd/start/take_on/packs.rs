//! What parts come in: packs of a supplier's, and packs that are the same whoever sends them.

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
}
