//! Writing a posting: the only place that writes a bin card. Each derived row is written once, net, by key.
//!
//! The order: document, records, lots and parents, layers, entries, balances (what falls first), positions, job
//! lines, order lines, other changes, lists, draws on certificates, claims, holds, head.

mod derived;
mod rows;

use crate::db::books::Open;
use crate::db::canon::START;
use crate::db::derive::deltas;
use crate::db::error::Error;
use crate::db::value::{Value, values};
use crate::domain::stores::ids::DocId;
use crate::domain::stores::posting::Posting;
use derived::{
    write_balances, write_changes, write_draws, write_layers, write_lines, write_lists, write_orders,
    write_positions,
};
use rows::Rows;

/// What the shell adds to a posting: when it is written, under which operation, for which request.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stamp {
    /// The instant of writing, UTC.
    pub at: String,
    /// The operation's id, given once.
    pub op: String,
    /// The digest of what was asked for.
    pub request: [u8; 32],
}

/// Reads every document: the columns that stand in the chain, in order, then its digest.
pub const DOCUMENT: &str = "SELECT id, kind, day, at, by, checked_by, reason, job, supplier_order, list, due, owner_word, \
     op, request, contra, first_entry, entries, hash FROM document ORDER BY id";

/// Writes a posting into the books and returns its number.
pub fn post(books: &Open<'_>, posting: &Posting, stamp: &Stamp) -> Result<DocId, Error> {
    let id = next(books, "SELECT COALESCE(MAX(id), 0) + 1 FROM document")?;
    let first = next(books, "SELECT COALESCE(MAX(id), 0) + 1 FROM entry")?;
    let rows = Rows::of(books, posting, id, first)?;
    let document = document_row(posting, stamp, id, first);
    let previous = head(books)?;
    let hash = rows.hash(&previous, &document);
    write_document(books, document, &hash)?;
    rows.write(books)?;
    let deltas = deltas(posting);
    write_layers(books, posting, &deltas)?;
    rows.write_entries(books)?;
    write_balances(books, posting, &deltas)?;
    write_positions(books, posting, &deltas)?;
    write_lines(books, posting, &deltas)?;
    write_orders(books, posting, &deltas)?;
    write_changes(books, posting)?;
    write_lists(books, posting, &deltas)?;
    write_draws(books, posting)?;
    rows.write_promises(books)?;
    books.set_setting("head", &hex(&hash))?;
    Ok(DocId(id))
}

/// The number that a statement gives.
fn next(books: &Open<'_>, sql: &str) -> Result<i64, Error> {
    books
        .row(sql, &[])?
        .ok_or_else(|| Error::Fault(format!("no row from {sql}")))?
        .int(0)
}

/// The digest of the last document.
fn head(books: &Open<'_>) -> Result<Vec<u8>, Error> {
    let last = books.row("SELECT hash FROM document ORDER BY id DESC LIMIT 1", &[])?;
    last.map_or(Ok(START.to_vec()), |row| row.blob(0))
}

/// Bytes as hexadecimal digits.
pub fn hex(bytes: &[u8]) -> String {
    use std::fmt::Write;
    bytes.iter().fold(String::new(), |mut text, byte| {
        // Writing into a string cannot fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

fn document_row<'p>(posting: &'p Posting, stamp: &'p Stamp, id: i64, first: i64) -> Vec<Value<'p>> {
    let head = &posting.head;
    Vec::from(values![
        id,
        head.kind.word(),
        head.day,
        stamp.at.as_str(),
        head.by.as_str(),
        head.checked_by.as_deref(),
        head.reason.as_deref(),
        head.job.map(|job| job.0),
        head.order.map(|order| order.0),
        head.list,
        head.due,
        head.owner_word.as_deref(),
        stamp.op.as_str(),
        stamp.request.to_vec(),
        head.contra.map(|contra| contra.0),
        first,
        posting.entries.len() as i64,
    ])
}

fn write_document(books: &Open<'_>, mut row: Vec<Value>, hash: &[u8]) -> Result<(), Error> {
    row.push(Value::from(hash.to_vec()));
    books.run(
        "INSERT INTO document (id, kind, day, at, by, checked_by, reason, job, supplier_order, list, due, owner_word, \
         op, request, contra, first_entry, entries, hash) \
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18)",
        &row,
    )?;
    Ok(())
}
