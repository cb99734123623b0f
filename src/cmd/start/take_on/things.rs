//! Parts, their sizes and prices, engines and rates.

use super::{Taking, nothing};
use crate::domain::keeping::rule::LifeRule;
use crate::domain::keeping::shelf_life::ShelfLife;
use crate::domain::measure::Life;
use crate::domain::stores::ids::{PartId, PlaceId};
use crate::domain::stores::law::Kind;
use crate::domain::stores::part::Part;
use crate::domain::stores::place::Place;
use crate::domain::stores::posting::Field;
use crate::domain::stores::record::Table;
use crate::domain::stores::search::folded;
use crate::intake::Intake;
use crate::intake::rows_parts::PartRow;
use crate::intake::words::PartClass;
use std::collections::HashMap;

impl Taking<'_> {
    /// Parts, engine models and conversions among them.
    pub(super) fn parts(&mut self, intake: &Intake) {
        let mut by_eye: HashMap<String, Vec<String>> = HashMap::new();
        for number in self.names.parts.keys() {
            by_eye.entry(folded(number)).or_default().push(number.clone());
        }
        for placed in &intake.parts {
            let row = &placed.row;
            let there = self.is_known(placed);
            let id = match self.names.parts.get(&row.number) {
                Some(part) if there => part.id.0,
                _ => self.names.next(Table::Part),
            };
            let part = Part {
                id: PartId(id),
                number: row.number.clone(),
                name: row.name.clone(),
                class: row.class.word().to_owned(),
                unit: row.unit,
                step: row.step,
                hand_out: row.hand_out,
                life: row.life.clone(),
                opened_life: row.opened_life.or_else(|| {
                    let days = row.opened_life_days.map(u32::try_from)?;
                    days.ok().map(Life::Days)
                }),
                bench_stock: row.bench_stock,
                critical: row.critical,
                whole_pack: row.pack_policy.word() == "whole",
            };
            if !there {
                self.part_record(id, row);
                let alike = by_eye.entry(folded(&row.number)).or_default();
                if !alike.is_empty() {
                    self.cautions.push(format!(
                        "part {} reads like {}; is it another part?",
                        row.number,
                        alike.join(", ")
                    ));
                }
                alike.push(row.number.clone());
            }
            // A part that its row changes is from here on what the row makes of it.
            self.stock.parts.insert(part.id, part.clone());
            self.names.parts.insert(row.number.clone(), part);
        }
    }

    fn part_record(&mut self, id: i64, row: &PartRow) {
        self.record(
            Table::Part,
            vec![
                id.into(),
                row.number.as_str().into(),
                row.name.as_str().into(),
                row.class.word().into(),
                row.unit.symbol().into(),
                row.step.into(),
                row.life.as_ref().map(ShelfLife::to_string).into(),
                row.opened_life_days.into(),
                row.bench_stock.into(),
                row.critical.into(),
                row.pack_policy.word().into(),
                row.hand_out.into(),
                row.grams_per_unit.into(),
                row.maker.clone().into(),
                row.issue.clone().into(),
                "live".into(),
            ],
        );
        if let Some(life) = row.opened_life {
            let data = vec![
                id.into(),
                "opened life".into(),
                nothing(),
                life.to_string().into(),
            ];
            self.record(Table::PartSize, data);
        }
    }

    /// Sizes that tell parts apart, and what a model's sums are made with.
    pub(super) fn sizes(&mut self, intake: &Intake) {
        for placed in &intake.sizes {
            let row = &placed.row;
            let Some(part) = self.names.part(&row.part) else {
                self.unknown(placed, "part", &row.part, "part");
                continue;
            };
            if self.is_known(placed) {
                continue;
            }
            let unit = row.unit.map(|unit| unit.word());
            let data = vec![
                part.0.into(),
                row.name.as_str().into(),
                row.value.into(),
                unit.into(),
            ];
            self.record(Table::PartSize, data);
        }
    }

    /// Engines: places of their own, with a model and perhaps a customer.
    pub(super) fn engines(&mut self, intake: &Intake) {
        for placed in &intake.engines {
            let row = &placed.row;
            let model = self
                .names
                .parts
                .get(&row.model)
                .filter(|p| p.class == PartClass::EngineModel.word())
                .cloned();
            let Some(model) = model else {
                self.unknown(placed, "model", &row.model, "engine model");
                continue;
            };
            let customer = match &row.customer {
                None => None,
                Some(code) => match self.names.place_of_kind(code, Kind::Customer) {
                    Some(customer) => Some(customer.id),
                    None => {
                        self.unknown(placed, "customer", code, "customer");
                        continue;
                    }
                },
            };
            if self.is_known(placed) {
                continue;
            }
            if self.names.places.contains_key(&row.serial) {
                self.doubled(placed, "serial", &row.serial, "engine");
                continue;
            }
            let name = format!("engine {} {}", model.number, row.serial);
            let id = self.engine_place(&row.serial, &name, customer);
            self.names.engines.insert(row.serial.clone(), id);
            let data = vec![id.0.into(), row.model.as_str().into(), row.serial.as_str().into()];
            self.record(Table::Engine, data);
        }
    }

    fn engine_place(&mut self, serial: &str, name: &str, owner: Option<PlaceId>) -> PlaceId {
        let id = self.names.next_place(Kind::Engine);
        let place = Place {
            id,
            code: serial.to_owned(),
            name: name.to_owned(),
            walk: None,
            owner,
            held: 0,
        };
        self.stock.places.insert(id, place.clone());
        self.names.places.insert(serial.to_owned(), place);
        let owner = owner.map(|owner| owner.0).into();
        let data = vec![
            id.0.into(),
            serial.into(),
            name.into(),
            nothing(),
            nothing(),
            false.into(),
            nothing(),
            owner,
        ];
        self.record(Table::Place, data);
        id
    }

    /// What suppliers ask.
    pub(super) fn prices(&mut self, intake: &Intake) {
        for placed in &intake.prices {
            let row = &placed.row;
            let Some(part) = self.names.parts.get(&row.part).cloned() else {
                self.unknown(placed, "part", &row.part, "part");
                continue;
            };
            let Some(supplier) = self
                .names
                .place_of_kind(&row.supplier, Kind::Supplier)
                .map(|place| place.id)
            else {
                self.unknown(placed, "supplier", &row.supplier, "supplier");
                continue;
            };
            if part.unit != row.unit {
                let reason = format!("the part is kept in {}", part.unit);
                self.fault(
                    placed,
                    "unit",
                    row.unit.symbol(),
                    reason,
                    "give the price for the part's own unit",
                );
                continue;
            }
            if self.is_known(placed) {
                continue;
            }
            let id = self.names.next(Table::Price);
            self.record(
                Table::Price,
                vec![
                    id.into(),
                    part.id.0.into(),
                    supplier.0.into(),
                    row.basis.word().into(),
                    row.from_day.into(),
                    row.from_qty.into(),
                    row.unit.symbol().into(),
                    row.amount.into(),
                    row.currency.code().into(),
                    nothing(),
                ],
            );
        }
    }

    /// What an hour costs.
    pub(super) fn rates(&mut self, intake: &Intake) {
        for placed in &intake.rates {
            let row = &placed.row;
            if self.is_known(placed) {
                continue;
            }
            let data = vec![
                row.kind.word().into(),
                row.name.as_str().into(),
                row.from_day.into(),
                row.amount.into(),
            ];
            self.record(Table::Rate, data);
        }
    }

    /// Whether a rule of a class is made or changed, or one of how long a family lasts.
    pub(super) fn touches_rules(&self) -> bool {
        let made = self
            .records
            .iter()
            .any(|record| matches!(record.table, Table::ClassRule | Table::LifeRule));
        made || self.changes.iter().any(|change| change.field == Field::RuleText)
    }

    /// What classes of part ask for.
    pub(super) fn rules(&mut self, intake: &Intake) {
        for placed in &intake.rules {
            let row = &placed.row;
            if self.is_known(placed) {
                continue;
            }
            let id = self.names.next(Table::ClassRule);
            let data = vec![
                id.into(),
                row.class.as_str().into(),
                row.name.as_str().into(),
                row.text.as_str().into(),
            ];
            self.record(Table::ClassRule, data);
        }
    }

    /// How long families of material last, by the shop's own table.
    pub(super) fn lives(&mut self, intake: &Intake) {
        for placed in &intake.lives {
            let row = &placed.row;
            if self.is_known(placed) {
                continue;
            }
            let id = self.names.next(Table::LifeRule);
            let data = vec![
                id.into(),
                row.family.as_str().into(),
                row.months.map(i64::from).into(),
                row.source.as_str().into(),
                row.issue.as_str().into(),
                row.from_day.into(),
            ];
            self.record(Table::LifeRule, data);
            let rules = self.names.lives.entry(row.family.clone()).or_default();
            rules.push(LifeRule {
                months: row.months,
                source: row.source.clone(),
                issue: row.issue.clone(),
                from_day: row.from_day,
            });
        }
    }
}
