//! Fields that a document changed, set back by its undo.

use crate::domain::acceptance::certificate::may_cover;
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::CertificateId;
use crate::domain::stores::posting::{Change, Field};
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::undo::Written;

impl Draft {
    /// Sets a field back, if it still holds what the document wrote; a training day is moved on again by itself.
    pub(super) fn set_back(&mut self, change: &Change, written: &Written) -> Result<(), Refusal> {
        if change.field == Field::Training {
            return Ok(());
        }
        if change.field.is_of_a_record() {
            return self.set_record_back(change, written);
        }
        let before = self.posting.changes.len();
        self.set_field(change.field, change.id, change.old.clone())?;
        let found = self
            .posting
            .changes
            .get(before)
            .map_or(change.old.clone(), |made| made.old.clone());
        if found == change.new {
            return Ok(());
        }
        Err(written.stands(changed_since(change)))
    }

    /// Sets a field of a record back, which no fact of stock hangs on.
    fn set_record_back(&mut self, change: &Change, written: &Written) -> Result<(), Refusal> {
        if written.changed_since.contains(&(change.field, change.id)) {
            return Err(written.stands(changed_since(change)));
        }
        self.still_covers(change, written)?;
        let stands = written
            .stood_on_since
            .iter()
            .find(|(field, id, _)| (*field, *id) == (change.field, change.id));
        if let Some((field, _, what)) = stands {
            let (column, table) = (field.column(), field.table());
            return Err(written.stands(format!("{column} of the {table} bears something since: {what}")));
        }
        self.posting.changes.push(Change {
            old: change.new.clone(),
            new: change.old.clone(),
            ..change.clone()
        });
        Ok(())
    }

    /// A certificate still covers what was drawn on it when what it covers is set back.
    fn still_covers(&self, change: &Change, written: &Written) -> Result<(), Refusal> {
        let (Field::CertificateCovers, Some(old)) = (change.field, change.old.as_ref()) else {
            return Ok(());
        };
        let certificate = self.stock.certificate(CertificateId(change.id))?;
        let covers = old.parse().map_or(Qty::ZERO, Qty::from_millionths);
        may_cover(certificate, covers).map_err(|refusal| written.stands(refusal.to_string()))
    }
}

/// Why a field cannot be set back.
fn changed_since(change: &Change) -> String {
    let (column, table) = (change.field.column(), change.field.table());
    format!("{column} of the {table} was changed since")
}
