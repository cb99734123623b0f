//! People, customers, suppliers and bins.

use super::{Taking, day, nothing};
use crate::domain::stores::ids::PlaceId;
use crate::domain::stores::law::Kind;
use crate::domain::stores::place::Place;
use crate::domain::stores::record::Table;
use crate::intake::rows_house::{BinRow, SupplierRow};
use crate::intake::{Intake, Placed};

impl Taking<'_> {
    /// The register of initials.
    pub(super) fn people(&mut self, intake: &Intake) {
        for placed in &intake.people {
            let row = &placed.row;
            if self.is_known(placed) {
                continue;
            }
            let id = self.names.next(Table::Person);
            let roles: Vec<&str> = row.roles.iter().map(|role| role.word()).collect();
            self.record(
                Table::Person,
                vec![
                    id.into(),
                    row.initials.as_str().into(),
                    row.name.as_str().into(),
                    roles.join(" ").into(),
                    day(row.authorised_from),
                    day(row.authorised_until),
                ],
            );
        }
    }

    /// Whether somebody is added to the register, or changed in it.
    pub(super) fn touches_people(&self) -> bool {
        let added = self.records.iter().any(|record| record.table == Table::Person);
        added
            || self
                .asked
                .iter()
                .any(|(change, _)| change.field.table() == "person")
    }

    /// Customers and suppliers: places with an address and terms.
    pub(super) fn parties(&mut self, intake: &Intake) {
        for placed in &intake.customers {
            let row = &placed.row;
            if self.is_known(placed) {
                continue;
            }
            if let Some(id) = self.place(placed, "code", &row.code, &row.name, Kind::Customer, None, None) {
                self.party(id, None);
            }
        }
        for placed in &intake.suppliers {
            let row = &placed.row;
            if self.is_known(placed) {
                continue;
            }
            if let Some(id) = self.place(placed, "code", &row.code, &row.name, Kind::Supplier, None, None) {
                self.party(id, Some(row));
            }
        }
    }

    fn party(&mut self, place: PlaceId, supplier: Option<&SupplierRow>) {
        let data = vec![
            place.0.into(),
            nothing(),
            supplier.map(|row| row.currency.code()).into(),
            day(supplier.and_then(|row| row.approved.0)),
            day(supplier.and_then(|row| row.approved.1)),
            supplier.and_then(|row| row.scope.clone()).into(),
            supplier.and_then(|row| row.lead_days).into(),
        ];
        self.record(Table::Party, data);
    }

    /// Bins, those above before those within.
    pub(super) fn bins(&mut self, intake: &Intake) {
        let mut waiting: Vec<&Placed<BinRow>> = self.bins_outside_themselves(intake);
        loop {
            let (ready, later): (Vec<_>, Vec<_>) = waiting.into_iter().partition(|placed| {
                placed
                    .row
                    .parent
                    .as_ref()
                    .is_none_or(|parent| self.names.places.contains_key(parent))
            });
            if ready.is_empty() {
                for placed in later {
                    let parent = placed.row.parent.clone().unwrap_or_default();
                    self.unknown(placed, "parent", &parent, "bin");
                }
                return;
            }
            for placed in ready {
                let row = &placed.row;
                if self.is_known(placed) {
                    continue;
                }
                let parent = row
                    .parent
                    .as_ref()
                    .and_then(|code| self.names.places.get(code))
                    .map(|place| place.id);
                if self
                    .place(placed, "code", &row.code, &row.name, row.kind, parent, row.walk)
                    .is_some()
                {
                    self.limited(row);
                }
            }
            waiting = later;
        }
    }

    /// What the bin bears whose record was just made.
    fn limited(&mut self, row: &BinRow) {
        let data = self.records.last_mut().map(|record| record.data.as_mut_slice());
        if let Some([_, _, _, _, _, one_lot, limits, ..]) = data {
            *one_lot = row.one_lot.into();
            *limits = row.limits.map(|limits| limits.to_string()).into();
        }
    }

    /// The bins less those that would lie in themselves, which are told.
    fn bins_outside_themselves<'a>(&mut self, intake: &'a Intake) -> Vec<&'a Placed<BinRow>> {
        let mut parents = self.known.parents();
        for placed in &intake.bins {
            parents.insert(
                placed.row.code.clone(),
                placed.row.parent.clone().unwrap_or_default(),
            );
        }
        let lies_in_itself = |code: &String| {
            // No chain is longer than there are bins.
            let above = |code: &&String| parents.get(*code);
            std::iter::successors(Some(code), above)
                .skip(1)
                .take(parents.len() + 1)
                .any(|found| found == code)
        };
        let mut outside = Vec::new();
        for placed in &intake.bins {
            if lies_in_itself(&placed.row.code) {
                let parent = placed.row.parent.clone().unwrap_or_default();
                let reason = format!("{} would lie in itself", placed.row.code);
                self.fault(placed, "parent", &parent, reason, "name the bin around it");
            } else {
                outside.push(placed);
            }
        }
        outside
    }

    /// Makes a place under a code that is not taken.
    #[expect(
        clippy::too_many_arguments,
        reason = "a place is made of this much, and in one place"
    )]
    pub(super) fn place<T>(
        &mut self,
        placed: &Placed<T>,
        heading: &str,
        code: &str,
        name: &str,
        kind: Kind,
        parent: Option<PlaceId>,
        walk: Option<i64>,
    ) -> Option<PlaceId> {
        if self.names.places.contains_key(code) {
            self.doubled(placed, heading, code, "place");
            return None;
        }
        let id = self.names.next_place(kind);
        let place = Place {
            id,
            code: code.to_owned(),
            name: name.to_owned(),
            walk,
            owner: None,
            held: 0,
        };
        self.stock.places.insert(id, place.clone());
        self.names.places.insert(code.to_owned(), place);
        self.record(
            Table::Place,
            vec![
                id.0.into(),
                code.into(),
                name.into(),
                parent.map(|parent| parent.0).into(),
                walk.into(),
                false.into(),
                nothing(),
                nothing(),
            ],
        );
        Some(id)
    }
}
