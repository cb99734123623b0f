//! The chain proved: every document digested again from what it wrote, records as they were when it made them.

use super::Report;
use super::changes::Changes;
use super::documents::Document;
use crate::db::books::Open;
use crate::db::canon::{Canon, START};
use crate::db::error::Error;
use crate::db::post::hex;
use crate::db::value::Value;
use crate::db::written::number;

/// The chain as far as it was proved.
pub(super) struct Chain {
    changes: Changes,
    /// The digest of the document before, as it stands in the books, so that one forgery is told once.
    previous: Vec<u8>,
    documents: i64,
}

impl Chain {
    /// Before the first document.
    pub(super) fn begin(changes: Changes) -> Chain {
        Chain {
            changes,
            previous: START.to_vec(),
            documents: 0,
        }
    }

    /// Digests a document again; its records are put back to what they were when it made them.
    pub(super) fn prove(
        &mut self,
        document: &mut Document,
        report: &mut Report<'_, '_>,
    ) -> Result<(), Error> {
        let mut canon = Canon::after(&self.previous);
        canon.rows("document", [document.head.as_slice()].into_iter());
        for wrote in &mut document.wrote {
            let table = wrote.table;
            let Some(shape) = wrote.shape else {
                canon.rows(table, wrote.rows());
                continue;
            };
            if shape.numbered {
                for row in wrote.rows_mut() {
                    self.changes.walk_back(table, shape.columns, row, report);
                }
            }
            // In the order of their values, as they were digested when they were written.
            let mut rows: Vec<&[Value]> = wrote.rows().collect();
            rows.sort();
            canon.rows(table, rows.into_iter());
        }
        let digest = canon.done();
        if document.digest != digest {
            let about = report.names.document(document.id);
            report.add("I19 chain", about, hex(&digest), hex(&document.digest));
        }
        self.previous.clone_from(&document.digest);
        self.documents += 1;
        Ok(())
    }

    /// The head that is noted in the settings is the last document's digest, and every change was of something.
    pub(super) fn finish(self, books: &Open<'_>, report: &mut Report<'_, '_>) -> Result<(), Error> {
        self.changes.finish(books, report)?;
        if self.documents == 0 {
            return Ok(());
        }
        let last = hex(&self.previous);
        let noted = books.setting("head")?;
        if noted.as_ref() != Some(&last) {
            let noted = noted.unwrap_or_else(|| "nothing".to_owned());
            report.add(
                "I19 head",
                "the head noted in the settings".to_owned(),
                last,
                noted,
            );
        }
        Ok(())
    }
}

/// The document whose digest begins with these digits, and how many came after it; nothing where none does: the end was
/// cut off since, or the digits are another store's.
pub fn standing_at(books: &Open<'_>, digits: &str) -> Result<Option<(String, i64)>, Error> {
    let digits = digits.to_ascii_lowercase();
    let mut found = None;
    for row in books.rows("SELECT id, kind, hash FROM document ORDER BY id", &[])? {
        found = match found {
            None if hex(&row.blob(2)?).starts_with(&digits) => Some((number(&row.text(1)?, row.int(0)?)?, 0)),
            found => found.map(|(document, later)| (document, later + 1)),
        };
    }
    Ok(found)
}
