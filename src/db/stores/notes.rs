//! Notes: those that nobody has closed, and the number of the next.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::{Row, values};
use crate::domain::measure::Day;
use crate::domain::stores::ids::LotId;
use std::collections::BTreeMap;

/// A note as the books have it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Note {
    /// Its number.
    pub id: i64,
    /// What sort of note.
    pub topic: String,
    /// What it says.
    pub text: String,
    /// The day it was written.
    pub day: Day,
    /// By whom.
    pub by: String,
    /// The job it is about, by tag or number.
    pub job: Option<String>,
}

/// The hand-over notes that nobody has closed, the oldest first.
pub fn open_notes(books: &Open<'_>) -> Result<Vec<Note>, Error> {
    let rows = books.rows(
        "SELECT n.id, n.topic, n.text, d.day, d.by, COALESCE(j.tag, j.number) \
         FROM note n JOIN document d ON d.id = n.document LEFT JOIN job j ON n.what = 'job' AND j.id = n.what_id \
         WHERE n.topic = 'hand-over' AND n.answers IS NULL \
         AND NOT EXISTS (SELECT 1 FROM note a WHERE a.answers = n.id) ORDER BY n.id",
        &[],
    )?;
    rows.iter().map(read).collect()
}

/// What was noted about a record, the oldest first.
pub fn notes_about(books: &Open<'_>, what: &str, id: i64) -> Result<Vec<Note>, Error> {
    let rows = books.rows(
        "SELECT n.id, n.topic, n.text, d.day, d.by, NULL FROM note n JOIN document d ON d.id = n.document \
         WHERE n.what = $1 AND n.what_id = $2 ORDER BY n.id",
        &values![what, id],
    )?;
    rows.iter().map(read).collect()
}

/// What was noted last of a record under a topic, in a document that was not undone.
pub fn noted_last(books: &Open<'_>, what: &str, id: i64, topic: &str) -> Result<Option<String>, Error> {
    let row = books.row(
        "SELECT n.text FROM note n WHERE n.what = $1 AND n.what_id = $2 AND n.topic = $3 \
         AND NOT EXISTS (SELECT 1 FROM document u WHERE u.contra = n.document) ORDER BY n.id DESC LIMIT 1",
        &values![what, id, topic],
    )?;
    row.map(|row| row.text(0)).transpose()
}

/// What was said last of each lot that came back from a job.
pub fn returned_as(books: &Open<'_>) -> Result<BTreeMap<LotId, String>, Error> {
    let sql = "SELECT what_id, text FROM note WHERE what = 'lot' AND topic = 'returned' ORDER BY id";
    let rows = books.rows(sql, &[])?;
    rows.iter()
        .map(|row| Ok((LotId(row.int(0)?), row.text(1)?)))
        .collect()
}

/// Why a lot went into the cage the last time; nothing where nobody said, or it never did.
pub fn caged_for(books: &Open<'_>, lot: LotId) -> Result<Option<String>, Error> {
    let row = books.row(
        "SELECT d.reason FROM entry e JOIN document d ON d.id = e.document \
         WHERE e.lot = $1 AND e.to_place / 1000000 = 4 ORDER BY e.id DESC LIMIT 1",
        &values![lot.0],
    )?;
    Ok(row.map(|row| row.maybe_text(0)).transpose()?.flatten())
}

fn read(row: &Row) -> Result<Note, Error> {
    Ok(Note {
        id: row.int(0)?,
        topic: row.text(1)?,
        text: row.text(2)?,
        day: row.day(3)?,
        by: row.text(4)?,
        job: row.maybe_text(5)?,
    })
}

/// The number that the next note bears.
pub fn next_note(books: &Open<'_>) -> Result<i64, Error> {
    let row = books.row("SELECT COALESCE(MAX(id), 0) + 1 FROM note", &[])?;
    row.map_or(Ok(1), |row| row.int(0))
}
