//! Notes for the next shift: written once, closed by another note, never changed.

use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::record::{Record, Table};

/// A note about to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewNote {
    /// Under which number the books keep it.
    pub id: i64,
    /// The table and the record it is about; `store` and 0 where it is about nothing in particular.
    pub about: (&'static str, i64),
    /// What sort of note: `hand-over` or `delivery note`.
    pub topic: &'static str,
    /// What it says.
    pub text: String,
    /// The note that it closes.
    pub answers: Option<i64>,
}

/// The longest note, in characters.
const LONGEST: usize = 500;

/// The document of a note.
pub fn note(head: Head, new: NewNote) -> Result<Posting, Refusal> {
    let mut posting = Posting::new(head);
    posting.records.push(record(new)?);
    Ok(posting)
}

/// A note as the books keep it.
pub fn record(new: NewNote) -> Result<Record, Refusal> {
    let text = new.text.trim();
    if text.is_empty() || text.chars().count() > LONGEST {
        return Err(Refusal::Impossible {
            what: "note".to_owned(),
            because: format!("it says nothing, or more than {LONGEST} characters"),
        });
    }
    Ok(Record {
        table: Table::Note,
        data: vec![
            new.id.into(),
            new.about.0.into(),
            new.about.1.into(),
            new.topic.into(),
            text.into(),
            new.answers.into(),
        ],
    })
}
