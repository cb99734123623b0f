//! A record about to be made: a row of one of the books' tables, in the domain's own values.

use crate::domain::measure::{Day, Money, Qty};

/// One value of a record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Datum {
    /// Nothing said.
    Nothing,
    /// A whole number, a flag (0 or 1) or the number of another record.
    Whole(i64),
    /// A text, a day or a word.
    Text(String),
}

/// A row about to be made in one of the books' tables.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Record {
    /// The table it belongs to.
    pub table: Table,
    /// Its values, in the order in which the table lists its columns.
    pub data: Vec<Datum>,
}

/// The tables that records are made in, besides lots.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
// Each name is the table's.
#[allow(missing_docs)]
pub enum Table {
    Person,
    Place,
    Party,
    Engine,
    Part,
    PartSize,
    Pack,
    Bill,
    BillLine,
    Job,
    JobLine,
    SupplierOrder,
    OrderLine,
    Price,
    Rate,
    CountLine,
    Note,
    Certificate,
    CertificateLot,
    ClassRule,
    LifeRule,
    StandIn,
    Caution,
}

/// Every table that records are made in.
pub const TABLES: [Table; 23] = [
    Table::Person,
    Table::Place,
    Table::Party,
    Table::Engine,
    Table::Part,
    Table::PartSize,
    Table::Pack,
    Table::Bill,
    Table::BillLine,
    Table::Job,
    Table::JobLine,
    Table::SupplierOrder,
    Table::OrderLine,
    Table::Price,
    Table::Rate,
    Table::CountLine,
    Table::Note,
    Table::Certificate,
    Table::CertificateLot,
    Table::ClassRule,
    Table::LifeRule,
    Table::StandIn,
    Table::Caution,
];

impl From<i64> for Datum {
    fn from(whole: i64) -> Datum {
        Datum::Whole(whole)
    }
}

impl From<bool> for Datum {
    fn from(flag: bool) -> Datum {
        Datum::Whole(i64::from(flag))
    }
}

impl From<&str> for Datum {
    fn from(text: &str) -> Datum {
        Datum::Text(text.to_owned())
    }
}

impl From<String> for Datum {
    fn from(text: String) -> Datum {
        Datum::Text(text)
    }
}

impl From<Day> for Datum {
    fn from(day: Day) -> Datum {
        Datum::Text(day.to_string())
    }
}

impl From<Qty> for Datum {
    fn from(qty: Qty) -> Datum {
        Datum::Whole(qty.millionths())
    }
}

impl From<Money> for Datum {
    fn from(money: Money) -> Datum {
        Datum::Whole(money.millionths())
    }
}

impl<T: Into<Datum>> From<Option<T>> for Datum {
    fn from(maybe: Option<T>) -> Datum {
        maybe.map_or(Datum::Nothing, Into::into)
    }
}
