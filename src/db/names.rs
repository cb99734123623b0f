//! What people call things, and under which number the books keep them; and the numbers that come next.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::facts::{self, part_columns};
use crate::db::stores::lives::lives;
use crate::db::value::values;
use crate::domain::keeping::rule::LifeRule;
use crate::domain::stores::ids::{BillId, KIND_STEP, PartId, PlaceId};
use crate::domain::stores::law::{KINDS, Kind};
use crate::domain::stores::part::Part;
use crate::domain::stores::place::Place;
use crate::domain::stores::record::Table;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Every name in the books, and the numbers that come next.
#[derive(Clone, Debug, Default)]
pub struct Names {
    /// Parts by part number.
    pub parts: HashMap<String, Part>,
    /// Places by code, suppliers, customers and engines among them.
    pub places: HashMap<String, Place>,
    /// Engine places by serial.
    pub engines: BTreeMap<String, PlaceId>,
    /// Bills by part number and revision.
    pub bills: BTreeMap<(String, String), BillId>,
    /// Initials.
    pub people: BTreeSet<String>,
    /// Orders by number.
    pub orders: BTreeSet<String>,
    /// Rates by kind, name and day.
    pub rates: BTreeSet<(String, String, String)>,
    /// How long families of material last, by family.
    pub lives: BTreeMap<String, Vec<LifeRule>>,
    /// The last number of each table that counts.
    last: BTreeMap<Table, i64>,
    /// The last number of each kind of place.
    last_place: BTreeMap<Kind, i64>,
}

impl Names {
    /// Reads every name.
    pub fn read(books: &Open<'_>) -> Result<Names, Error> {
        let mut names = Names::default();
        names.read_parts(books)?;
        names.read_places(books)?;
        for row in books.rows("SELECT serial, place FROM engine", &[])? {
            names.engines.insert(row.text(0)?, PlaceId(row.int(1)?));
        }
        let bills = "SELECT p.number, b.revision, b.id FROM bill b JOIN part p ON p.id = b.part";
        for row in books.rows(bills, &[])? {
            names
                .bills
                .insert((row.text(0)?, row.text(1)?), BillId(row.int(2)?));
        }
        for row in books.rows("SELECT initials FROM person", &[])? {
            names.people.insert(row.text(0)?);
        }
        for row in books.rows("SELECT number FROM supplier_order", &[])? {
            names.orders.insert(row.text(0)?);
        }
        for row in books.rows("SELECT kind, name, from_day FROM rate", &[])? {
            names.rates.insert((row.text(0)?, row.text(1)?, row.text(2)?));
        }
        names.lives = lives(books)?;
        names.read_last(books)?;
        Ok(names)
    }

    fn read_parts(&mut self, books: &Open<'_>) -> Result<(), Error> {
        let sql = concat!("SELECT ", part_columns!(), " FROM part p");
        for row in books.rows(sql, &[])? {
            let part = facts::part(&row)?;
            self.parts.insert(part.number.clone(), part);
        }
        Ok(())
    }

    fn read_places(&mut self, books: &Open<'_>) -> Result<(), Error> {
        for row in books.rows("SELECT id, code, name, walk, owner, held FROM place", &[])? {
            let place = facts::place(&row)?;
            self.places.insert(place.code.clone(), place);
        }
        for kind in KINDS {
            let first = kind.code() * KIND_STEP;
            let sql = "SELECT COALESCE(MAX(id), $1) FROM place WHERE id >= $1 AND id < $2";
            if let Some(row) = books.row(sql, &values![first, first + KIND_STEP])? {
                self.last_place.insert(kind, row.int(0)? - first);
            }
        }
        Ok(())
    }

    fn read_last(&mut self, books: &Open<'_>) -> Result<(), Error> {
        for (table, sql) in [
            (Table::Person, "SELECT COALESCE(MAX(id), 0) FROM person"),
            (Table::Part, "SELECT COALESCE(MAX(id), 0) FROM part"),
            (Table::Bill, "SELECT COALESCE(MAX(id), 0) FROM bill"),
            (Table::BillLine, "SELECT COALESCE(MAX(id), 0) FROM bill_line"),
            (Table::Job, "SELECT COALESCE(MAX(id), 0) FROM job"),
            (Table::JobLine, "SELECT COALESCE(MAX(id), 0) FROM job_line"),
            (
                Table::SupplierOrder,
                "SELECT COALESCE(MAX(id), 0) FROM supplier_order",
            ),
            (Table::OrderLine, "SELECT COALESCE(MAX(id), 0) FROM order_line"),
            (Table::ClassRule, "SELECT COALESCE(MAX(id), 0) FROM class_rule"),
            (Table::StandIn, "SELECT COALESCE(MAX(id), 0) FROM stand_in"),
            (Table::LifeRule, "SELECT COALESCE(MAX(id), 0) FROM life_rule"),
            (Table::Price, "SELECT COALESCE(MAX(id), 0) FROM price"),
        ] {
            if let Some(row) = books.row(sql, &[])? {
                self.last.insert(table, row.int(0)?);
            }
        }
        Ok(())
    }

    /// The next number of a table that counts.
    pub fn next(&mut self, table: Table) -> i64 {
        let last = self.last.entry(table).or_default();
        *last += 1;
        *last
    }

    /// The next number of a kind of place.
    pub fn next_place(&mut self, kind: Kind) -> PlaceId {
        let last = self.last_place.entry(kind).or_default();
        *last += 1;
        PlaceId::of(kind, *last)
    }

    /// The place of this code, if it is of this kind.
    pub fn place_of_kind(&self, code: &str, kind: Kind) -> Option<&Place> {
        self.places.get(code).filter(|place| place.id.is(kind))
    }

    /// The number of a part.
    pub fn part(&self, number: &str) -> Option<PartId> {
        self.parts.get(number).map(|part| part.id)
    }
}
