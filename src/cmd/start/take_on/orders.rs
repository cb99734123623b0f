//! Orders to suppliers: new ones taken on, lines of those in the books changed.

use super::standing::{Changed, stays};
use super::{Taking, day};
use crate::cmd::error::Failure;
use crate::cmd::shop::Scene;
use crate::db::sheets::{Arrived, As, Standing, arrived, written};
use crate::domain::measure::{Currency, Qty};
use crate::domain::stores::law::Kind;
use crate::domain::stores::posting::{Change, Field};
use crate::domain::stores::record::Table;
use crate::intake::rows_kits::OrderRow;
use crate::intake::{Intake, Listed, Placed};
use std::collections::BTreeMap;

/// Where quantity and value stand in a row.
const QTY: usize = 4;
const VALUE: usize = 5;

impl Taking<'_> {
    /// Orders to suppliers, their lines numbered as they come.
    pub(super) fn orders(&mut self, intake: &Intake, scene: &Scene<'_, '_>) -> Result<(), Failure> {
        let mut orders: BTreeMap<String, (i64, i64)> = BTreeMap::new();
        let mut new: Vec<&Placed<OrderRow>> = intake.orders.iter().collect();
        new.retain(|placed| !self.known.has("orders", &placed.row.cells()));
        new.retain(|placed| !self.known.is_to_come(&placed.row.cells()));
        for placed in &new {
            self.progress.step();
            let row = &placed.row;
            if self.known.update && self.names.orders.contains(&row.order) {
                self.change_order(placed, &new, scene)?;
                continue;
            }
            let Some(part) = self.names.part(&row.part) else {
                self.unknown(placed, "part", &row.part, "part");
                continue;
            };
            let Some((order, n)) = self.order(placed, &mut orders, scene.currency) else {
                continue;
            };
            let id = self.names.next(Table::OrderLine);
            self.record(
                Table::OrderLine,
                vec![
                    id.into(),
                    order.into(),
                    n.into(),
                    part.0.into(),
                    row.qty.into(),
                    row.value.into(),
                    day(row.promised),
                    Qty::ZERO.into(),
                ],
            );
        }
        Ok(())
    }

    /// Changes the line of an order in the books that the row is about: the only one of that part.
    fn change_order(
        &mut self,
        placed: &Placed<OrderRow>,
        rows: &[&Placed<OrderRow>],
        scene: &Scene<'_, '_>,
    ) -> Result<(), Failure> {
        let (row, cells) = (&placed.row, placed.row.cells());
        let found = self.known.alike("orders", &cells, &[0, 3]);
        let like =
            |other: &&&Placed<OrderRow>| (&other.row.order, &other.row.part) == (&row.order, &row.part);
        let [standing] = found.as_slice() else {
            let (reason, hint) = match found.len() {
                0 => (
                    format!("order {} is in the books already, without such a line", row.order),
                    "put what is new on an order of another number",
                ),
                _ => (
                    format!("order {} has several lines of the part", row.order),
                    "which of them is meant cannot be told; give the others as the books have them",
                ),
            };
            self.fault(placed, "part", &row.part, reason, hint);
            return Ok(());
        };
        if rows.iter().filter(like).count() > 1 {
            let reason = format!("several rows are about the one line of order {}", row.order);
            self.fault(placed, "part", &row.part, reason, "leave one of them");
            return Ok(());
        }
        let Some(came) = arrived(scene.books, standing.id)? else {
            return Ok(());
        };
        let Some(base) = self.as_read(placed, standing, &came) else {
            return Ok(());
        };
        for (at, (old, new)) in base.iter().zip(&cells).enumerate() {
            if old != new {
                self.change_order_cell(placed, standing.id, at, [old, new]);
            }
        }
        Ok(())
    }

    /// The cells that the row is held against; none where its quantity may not be ordered, which is told.
    ///
    /// Once goods came in, a file may give the line as it was ordered or as `export` gives it, as far as it is still to
    /// come. Another quantity could mean either, and what came was valued by the line: it stays.
    fn as_read(&mut self, placed: &Placed<OrderRow>, line: &Standing, came: &Arrived) -> Option<Vec<String>> {
        let (row, cells) = (&placed.row, placed.row.cells());
        let gone = came.arrived + came.closed;
        if gone.is_positive() {
            let readings = [Some(&line.cells), self.known.to_come(line.id)];
            let amounts = |reading: &&Vec<String>| reading.get(QTY..=VALUE) == cells.get(QTY..=VALUE);
            let found = readings.into_iter().flatten().find(amounts).cloned();
            if found.is_none() {
                let reason = format!(
                    "of {} {} arrived and {} are closed short",
                    came.ordered, came.arrived, came.closed
                );
                let hint = "quantity and value stay; `bincard order close` closes what will not come, more goes on \
                            another order";
                let heading = if line.cells.get(QTY) == cells.get(QTY) {
                    "value"
                } else {
                    "qty"
                };
                let text = cells.get(if heading == "qty" { QTY } else { VALUE }).cloned();
                self.fault(placed, heading, &text.unwrap_or_default(), reason, hint);
            }
            return found;
        }
        if row.qty < came.pegged {
            let reason = format!("{} of it are promised to jobs", came.pegged);
            let hint = "order no less than that; `bincard free JOB` gives promises up";
            self.fault(placed, "qty", &row.qty.to_string(), reason, hint);
            return None;
        }
        let step = self.names.parts.get(&row.part).map(|part| part.step);
        if let Some(step) = step.filter(|step| row.qty.millionths() % step.millionths() != 0) {
            let reason = format!("the part moves in steps of {step}");
            self.fault(placed, "qty", &row.qty.to_string(), reason, "order whole steps");
            return None;
        }
        Some(line.cells.clone())
    }

    /// Changes one cell of a line, or tells why not.
    fn change_order_cell(&mut self, placed: &Placed<OrderRow>, id: i64, at: usize, [old, new]: [&String; 2]) {
        let heading = OrderRow::HEADINGS.get(at).copied().unwrap_or_default();
        let which = format!("{} {}", placed.row.order, placed.row.part);
        let (field, form) = match heading {
            "qty" => (Field::OrderOrdered, As::Number),
            "value" => (Field::OrderValue, As::Amount),
            "promised" => (Field::OrderPromised, As::Text),
            _ => {
                let reason = format!("{which} is in the books already, with \"{old}\" there, and that stays");
                return self.fault(placed, heading, new, reason, stays("orders", heading));
            }
        };
        self.changes.push(Change {
            field,
            id,
            old: written(form, old),
            new: written(form, new),
        });
        self.known.changed.push(Changed {
            stem: "orders",
            which,
            heading,
            old: old.clone(),
            new: new.clone(),
        });
    }

    /// The order that a line belongs to, made with its first line, and the line's number on it.
    fn order(
        &mut self,
        placed: &Placed<OrderRow>,
        orders: &mut BTreeMap<String, (i64, i64)>,
        base: Currency,
    ) -> Option<(i64, i64)> {
        let row = &placed.row;
        if let Some((order, last)) = orders.get_mut(&row.order) {
            *last += 1;
            return Some((*order, *last));
        }
        if self.names.orders.contains(&row.order) {
            self.doubled(placed, "order", &row.order, "order");
            return None;
        }
        let Some(supplier) = self
            .names
            .place_of_kind(&row.supplier, Kind::Supplier)
            .map(|place| place.id)
        else {
            self.unknown(placed, "supplier", &row.supplier, "supplier");
            return None;
        };
        let order = self.names.next(Table::SupplierOrder);
        orders.insert(row.order.clone(), (order, 1));
        self.record(
            Table::SupplierOrder,
            vec![
                order.into(),
                row.order.as_str().into(),
                supplier.0.into(),
                row.day.into(),
                base.code().into(),
                "open".into(),
            ],
        );
        Some((order, 1))
    }
}
