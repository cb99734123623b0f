//! A document read back: to undo it, to print it again, to prove it.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::facts;
use crate::db::leaning::came_since;
use crate::db::load::Gather;
use crate::db::value::values;
use crate::domain::measure::number::document_number;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::{CertificateId, DocId, JobId, LotId, OrderId, OrderLineId, PlaceId};
use crate::domain::stores::posting::{Change, Field, Held, Source};
use crate::domain::stores::verbs::undo::{LaterEntry, Written};

/// The number of a document as people write it.
pub fn number(kind: &str, id: i64) -> Result<String, Error> {
    let kind = DocKind::from_word(kind).ok_or(Error::Strange {
        what: "document kind",
        found: kind.to_owned(),
    })?;
    Ok(document_number(kind.prefix(), id))
}

/// A document with everything it wrote and what was written later on its lots.
pub fn written(books: &Open<'_>, id: DocId) -> Result<Option<Written>, Error> {
    let sql = "SELECT kind, contra, by FROM document WHERE id = $1";
    let Some(row) = books.row(sql, &values![id.0])? else {
        return Ok(None);
    };
    let word = row.text(0)?;
    let kind = DocKind::from_word(&word).ok_or(Error::Strange {
        what: "document kind",
        found: word,
    })?;
    let undone = books.row("SELECT kind, id FROM document WHERE contra = $1", &values![id.0])?;
    let undone_by = undone.map(|row| number(&row.text(0)?, row.int(1)?)).transpose()?;
    let entries = all(
        books,
        "SELECT e.law, e.lot, e.from_place, e.to_place, e.from_line, e.to_line, e.qty, e.value, e.layer \
         FROM document d JOIN entry e ON e.id >= d.first_entry AND e.id < d.first_entry + d.entries \
         WHERE d.id = $1 ORDER BY e.id",
        id,
        facts::entry,
    )?;
    let claims = "SELECT line, lot, order_line, qty, why FROM claim WHERE document = $1 ORDER BY id";
    let holds = "SELECT id, lot, place, cause, lifts FROM hold WHERE document = $1 ORDER BY id";
    let changes = "SELECT what, what_id, field, old, new FROM change WHERE document = $1 ORDER BY id";
    let draws = "SELECT certificate, lot, qty FROM certificate_lot WHERE document = $1 ORDER BY id";
    let jobs = "SELECT id FROM job WHERE document = $1 ORDER BY id";
    let later = later(books, id)?;
    let restated =
        "SELECT 1 FROM change WHERE what = 'setting' AND field = 'method' AND document > $1 LIMIT 1";
    let changes: Vec<Change> = all(books, changes, id, facts::change)?
        .into_iter()
        .flatten()
        .collect();
    Ok(Some(Written {
        id,
        number: document_number(kind.prefix(), id.0),
        kind,
        by: row.text(2)?,
        contra: row.maybe_int(1)?.map(DocId),
        undone_by,
        entries,
        claims: all(books, claims, id, facts::claim)?,
        holds: all(books, holds, id, facts::hold)?,
        stood_on_since: stood_on_since(books, &changes, id)?,
        changes,
        draws: all(books, draws, id, facts::draw)?,
        jobs: all(books, jobs, id, |row| row.int(0).map(JobId))?,
        later,
        restated_since: books.row(restated, &values![id.0])?.is_some(),
        changed_since: changed_since(books, id)?,
    }))
}

/// The fields that a document changed and a later one changed again.
fn changed_since(books: &Open<'_>, id: DocId) -> Result<Vec<(Field, i64)>, Error> {
    let sql = "SELECT DISTINCT c.what, c.field, c.what_id FROM change c JOIN change x ON x.what = c.what \
               AND x.what_id = c.what_id AND x.field = c.field AND x.document > c.document WHERE c.document = $1";
    let mut fields = Vec::new();
    for row in books.rows(sql, &values![id.0])? {
        let field = Field::from_names(&row.text(0)?, &row.text(1)?);
        fields.extend(field.map(|field| row.int(2).map(|id| (field, id))));
    }
    fields.into_iter().collect()
}

/// What came since of the fields that a document changed.
fn stood_on_since(
    books: &Open<'_>,
    changes: &[Change],
    id: DocId,
) -> Result<Vec<(Field, i64, &'static str)>, Error> {
    let mut stood_on = Vec::new();
    for change in changes {
        let what = came_since(books, change, id.0)?;
        stood_on.extend(what.map(|what| (change.field, change.id, what)));
    }
    Ok(stood_on)
}

/// Every row that a statement gives for a document, turned into something.
fn all<T>(
    books: &Open<'_>,
    sql: &str,
    id: DocId,
    turn: impl Fn(&crate::db::value::Row) -> Result<T, Error>,
) -> Result<Vec<T>, Error> {
    books.rows(sql, &values![id.0])?.iter().map(turn).collect()
}

/// The lines of bin cards that later documents wrote on the lots of this one, oldest first.
fn later(books: &Open<'_>, id: DocId) -> Result<Vec<LaterEntry>, Error> {
    let rows = books.rows(
        "SELECT d.kind, d.id, e.lot, e.from_place, e.to_place FROM entry e JOIN document d ON d.id = e.document \
         WHERE e.document > $1 AND e.lot IN (SELECT x.lot FROM document o \
           JOIN entry x ON x.id >= o.first_entry AND x.id < o.first_entry + o.entries WHERE o.id = $1) \
         ORDER BY e.id",
        &values![id.0],
    )?;
    rows.iter()
        .map(|row| {
            Ok(LaterEntry {
                number: number(&row.text(0)?, row.int(1)?)?,
                lot: LotId(row.int(2)?),
                places: [PlaceId(row.int(3)?), PlaceId(row.int(4)?)],
            })
        })
        .collect()
}

/// Gathers everything that undoing a document is decided on.
pub fn gather(facts: &mut Gather<'_, '_>, written: &Written) -> Result<(), Error> {
    for entry in &written.entries {
        facts.lot(entry.lot)?;
        facts.place(entry.from)?;
        facts.place(entry.to)?;
        if let Some(layer) = entry.layer {
            facts.layer(layer)?;
        }
        for (place, line) in [(entry.from, entry.from_line), (entry.to, entry.to_line)] {
            let Some(line) = line else { continue };
            if crate::domain::stores::posting::Entry::counts_on_line(place) {
                facts.line(crate::domain::stores::ids::LineId(line))?;
            } else {
                facts.order_line(OrderLineId(line))?;
            }
        }
    }
    for claim in &written.claims {
        facts.line(claim.line)?;
        match claim.source {
            Source::Lot(lot) => facts.lot(lot)?,
            Source::Order(order) => facts.order_line(order)?,
        }
    }
    for hold in &written.holds {
        match hold.on {
            Held::Lot(lot) => facts.lot(lot)?,
            Held::Place(place) => facts.place_with_lots(place)?,
        }
    }
    for draw in &written.draws {
        facts.certificate(draw.certificate)?;
    }
    for job in &written.jobs {
        facts.job(*job)?;
    }
    for change in &written.changes {
        match change.field.table() {
            "job" => facts.job(JobId(change.id))?,
            "job_line" => facts.line(crate::domain::stores::ids::LineId(change.id))?,
            "lot" => facts.lot(LotId(change.id))?,
            "order_line" => facts.order_line(OrderLineId(change.id))?,
            "supplier_order" => facts.supplier_order(OrderId(change.id))?,
            "certificate" => facts.certificate(CertificateId(change.id))?,
            _ => {}
        }
    }
    Ok(())
}
