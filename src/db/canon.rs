//! The chain of documents: each bears a digest over the one before it and over everything it wrote.
//!
//! The form is versioned and length-prefixed, so that no two contents give the same bytes.

use crate::db::value::Value;
use sha2::{Digest, Sha256};

/// The digest that stands before the first document.
pub const START: [u8; 32] = [0; 32];

/// The version of the form below.
const FORM: u8 = 1;

/// Tables that came with a later step: a document that wrote nothing in one is digested as it was before the step, so
/// that the chain of an older store holds.
const LATER: [&str; 8] = [
    "count_line",
    "note",
    "certificate",
    "certificate_lot",
    "class_rule",
    "life_rule",
    "stand_in",
    "caution",
];

/// The digest of some bytes.
pub fn digest(bytes: &[u8]) -> [u8; 32] {
    Sha256::digest(bytes).into()
}

/// A document's content on its way into a digest.
pub struct Canon {
    hasher: Sha256,
}

impl Canon {
    /// A content that follows the document with this digest.
    pub fn after(previous: &[u8]) -> Canon {
        let mut hasher = Sha256::new();
        hasher.update([0, FORM]);
        hasher.update(previous);
        Canon { hasher }
    }

    /// The rows that the document wrote in one table, in order.
    pub fn rows<'v, R: AsRef<[Value<'v>]>>(&mut self, table: &str, rows: impl ExactSizeIterator<Item = R>) {
        if rows.len() == 0 && LATER.contains(&table) {
            return;
        }
        self.text(table);
        self.whole(rows.len() as u64);
        for row in rows {
            let row = row.as_ref();
            self.whole(row.len() as u64);
            row.iter().for_each(|value| self.value(value));
        }
    }

    /// The digest of all that was put in.
    pub fn done(self) -> [u8; 32] {
        self.hasher.finalize().into()
    }

    fn value(&mut self, value: &Value) {
        match value {
            Value::Null => self.hasher.update([0]),
            Value::Int(whole) => {
                self.hasher.update([1]);
                self.hasher.update(whole.to_be_bytes());
            }
            Value::Text(text) => {
                self.hasher.update([2]);
                self.text(text);
            }
            Value::Blob(bytes) => {
                self.hasher.update([3]);
                self.whole(bytes.len() as u64);
                self.hasher.update(bytes);
            }
        }
    }

    fn text(&mut self, text: &str) {
        self.whole(text.len() as u64);
        self.hasher.update(text.as_bytes());
    }

    fn whole(&mut self, whole: u64) {
        self.hasher.update(whole.to_be_bytes());
    }
}
