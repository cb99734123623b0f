//! Bills, their lines, and orders to suppliers.

use super::{Taking, day};
use crate::domain::stores::ids::BillId;
use crate::domain::stores::record::{Datum, Record, Table};
use crate::intake::rows_kits::BillLineRow;
use crate::intake::words::PartClass;
use crate::intake::{Intake, Placed};

/// Classes of parts that no bill is of.
const WITHOUT_BILL: [PartClass; 3] = [PartClass::EngineModel, PartClass::Tool, PartClass::Core];

impl Taking<'_> {
    /// Bills of materials, each of a conversion or of a sub-assembly in one revision.
    pub(super) fn bills(&mut self, intake: &Intake) {
        for placed in &intake.bills {
            let row = &placed.row;
            let part = self
                .names
                .parts
                .get(&row.part)
                .filter(|p| !WITHOUT_BILL.iter().any(|class| p.class == class.word()))
                .map(|p| p.id);
            let Some(part) = part else {
                self.unknown(
                    placed,
                    "part",
                    &row.part,
                    "conversion, phantom or part that is made here",
                );
                continue;
            };
            if let Some(model) = row.fits.iter().find(|model| {
                self.names
                    .parts
                    .get(*model)
                    .is_none_or(|part| part.class != PartClass::EngineModel.word())
            }) {
                self.unknown(placed, "fits", model, "engine model");
                continue;
            }
            if self.is_known(placed) {
                continue;
            }
            let key = (row.part.clone(), row.revision.clone());
            let id = self.names.next(Table::Bill);
            self.names.bills.insert(key, BillId(id));
            self.record(
                Table::Bill,
                vec![
                    id.into(),
                    part.0.into(),
                    row.revision.as_str().into(),
                    day(row.from_day),
                    day(row.until_day),
                    row.fits.join(" ").into(),
                    row.data_source.as_str().into(),
                ],
            );
        }
    }

    /// The lowest number of the bills that this import makes; past every number where it makes none.
    pub(super) fn first_new_bill(&self) -> i64 {
        let made = self.records.iter().filter(|record| record.table == Table::Bill);
        let number = |record: &Record| match record.data.first() {
            Some(Datum::Whole(id)) => Some(*id),
            _ => None,
        };
        made.filter_map(number).min().unwrap_or(i64::MAX)
    }

    /// The lines of bills.
    pub(super) fn bill_lines(&mut self, intake: &Intake) {
        let first_new = self.first_new_bill();
        for placed in &intake.bill_lines {
            let row = &placed.row;
            let Some(bill) = self
                .names
                .bills
                .get(&(row.bill.clone(), row.revision.clone()))
                .copied()
            else {
                self.unknown(placed, "bill", &format!("{} {}", row.bill, row.revision), "bill");
                continue;
            };
            if self.is_known(placed) {
                continue;
            }
            if bill.0 < first_new {
                let reason = "the revision is in the books already and stays as it is";
                self.fault(
                    placed,
                    "revision",
                    &row.revision,
                    reason,
                    "make a new revision of the bill",
                );
                continue;
            }
            self.bill_line(placed, bill);
        }
    }

    fn bill_line(&mut self, placed: &Placed<BillLineRow>, bill: BillId) {
        let row = &placed.row;
        let part = match &row.part {
            None => None,
            Some(number) => match self.names.part(number) {
                Some(part) => Some(part.0),
                None => return self.unknown(placed, "part", number, "part"),
            },
        };
        let id = self.names.next(Table::BillLine);
        let qty: Datum = row.qty.map(|qty| qty.to_string()).into();
        self.record(
            Table::BillLine,
            vec![
                id.into(),
                bill.0.into(),
                row.n.into(),
                row.kind.word().into(),
                part.into(),
                qty,
                row.per.map(|per| per.word()).into(),
                row.choice.as_ref().map(|choice| choice.group.as_str()).into(),
                row.choice.as_ref().map(|choice| choice.choice.as_str()).into(),
                row.waste.into(),
                row.text.clone().into(),
            ],
        );
    }
}
