//! What people call the records that a finding is about.

use crate::db::books::Open;
use crate::db::value::{Row, values};
use crate::db::written::number;

/// Looks up what people call things. A name is a courtesy: where it cannot be read, the record's own number says which.
pub(super) struct Names<'a, 'b> {
    books: &'a Open<'b>,
}

impl<'a, 'b> Names<'a, 'b> {
    /// The names of these books.
    pub(super) fn of(books: &'a Open<'b>) -> Names<'a, 'b> {
        Names { books }
    }

    fn row(&self, sql: &str, id: i64) -> Option<Row> {
        self.books.row(sql, &values![id]).ok().flatten()
    }

    fn name(&self, sql: &str, id: i64) -> Option<String> {
        self.row(sql, id)?.text(0).ok()
    }

    /// A lot: `lot L000123T`.
    pub(super) fn lot(&self, id: i64) -> String {
        let found = self.name("SELECT number FROM lot WHERE id = $1", id);
        found.map_or_else(|| format!("lot no. {id}"), |number| format!("lot {number}"))
    }

    /// A part by its number.
    pub(super) fn part(&self, id: i64) -> String {
        let found = self.name("SELECT number FROM part WHERE id = $1", id);
        found.unwrap_or_else(|| format!("part no. {id}"))
    }

    /// A place by its code.
    pub(super) fn place(&self, id: i64) -> String {
        let found = self.name("SELECT code FROM place WHERE id = $1", id);
        found.unwrap_or_else(|| format!("place no. {id}"))
    }

    /// Where a lot lies: `lot L000123T at A-1`.
    pub(super) fn lot_at(&self, lot: i64, place: i64) -> String {
        format!("{} at {}", self.lot(lot), self.place(place))
    }

    /// A job by its number.
    pub(super) fn job(&self, id: i64) -> String {
        let found = self.name("SELECT number FROM job WHERE id = $1", id);
        found.unwrap_or_else(|| format!("job no. {id}"))
    }

    /// A job line: `line 3 of J-0012`.
    pub(super) fn line(&self, id: i64) -> String {
        let sql = "SELECT j.number, n.n FROM job_line n JOIN job j ON j.id = n.job WHERE n.id = $1";
        self.numbered(sql, id)
            .unwrap_or_else(|| format!("job line no. {id}"))
    }

    /// A line of an order: `line 2 of PO-0007`.
    pub(super) fn order_line(&self, id: i64) -> String {
        let sql = "SELECT o.number, l.n FROM order_line l JOIN supplier_order o ON o.id = l.supplier_order WHERE l.id = $1";
        self.numbered(sql, id)
            .unwrap_or_else(|| format!("order line no. {id}"))
    }

    fn numbered(&self, sql: &str, id: i64) -> Option<String> {
        let row = self.row(sql, id)?;
        Some(format!("line {} of {}", row.int(1).ok()?, row.text(0).ok()?))
    }

    /// A document by its number.
    pub(super) fn document(&self, id: i64) -> String {
        let kind = self.name("SELECT kind FROM document WHERE id = $1", id);
        let found = kind.and_then(|kind| number(&kind, id).ok());
        found.unwrap_or_else(|| format!("document no. {id}"))
    }

    /// A line of a bin card: `lot L000123T in GRN-000045`.
    pub(super) fn entry(&self, document: i64, lot: i64) -> String {
        format!("{} in {}", self.lot(lot), self.document(document))
    }

    /// A cost layer: `cost layer 5 of ST-160`.
    pub(super) fn layer(&self, id: i64) -> String {
        let sql = "SELECT p.number FROM layer y JOIN part p ON p.id = y.part WHERE y.id = $1";
        let part = self.name(sql, id);
        part.map_or_else(
            || format!("cost layer {id}"),
            |part| format!("cost layer {id} of {part}"),
        )
    }
}
