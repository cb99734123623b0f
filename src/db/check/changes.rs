//! What was changed of records later: each change follows on the one before it, the field holds what the last one
//! wrote, and a record can be put back to what it was when it was made.

use super::Report;
use super::cells::{maybe_text, text, whole, written};
use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::{Value, values};
use std::collections::{BTreeMap, HashMap};

/// Columns of records that hold a number or nothing: an old number of one that is empty now was a number too. Every
/// other column that may be empty holds a text. (A test holds the list against the schema.)
pub const NUMBERS_OR_NOTHING: [(&str, &str); 19] = [
    ("place", "parent"),
    ("place", "walk"),
    ("place", "owner"),
    ("party", "lead_days"),
    ("part", "opened_life_days"),
    ("part", "hand_out"),
    ("part", "grams_per_unit"),
    ("part_size", "value"),
    ("bill_line", "part"),
    ("bill_line", "waste"),
    ("job", "bill"),
    ("job", "crate"),
    ("job", "customer"),
    ("job", "quote"),
    ("lot", "owner"),
    ("lot", "size"),
    ("lot", "off_engine"),
    ("lot", "order_line"),
    ("price", "supplier"),
];

/// What a field held before its first change, and after its last.
struct Field {
    first_old: Option<String>,
    last_new: Option<String>,
}

/// The changed fields of one record, by column.
type Fields = BTreeMap<String, Field>;

/// Every field that was ever changed.
pub(super) struct Changes {
    tables: BTreeMap<String, HashMap<i64, Fields>>,
}

impl Changes {
    /// Reads them all; a change that does not follow on the one before it is reported.
    pub(super) fn read(books: &Open<'_>, report: &mut Report<'_, '_>) -> Result<Changes, Error> {
        let mut tables: BTreeMap<String, HashMap<i64, Fields>> = BTreeMap::new();
        let sql = "SELECT what, what_id, field, old, new, document FROM change ORDER BY id";
        for row in books.rows(sql, &[])? {
            let (table, id, column) = (text(&row.0, 0)?, whole(&row.0, 1)?, text(&row.0, 2)?);
            let owned = |at| Ok::<_, Error>(maybe_text(&row.0, at)?.map(str::to_owned));
            let (old, new) = (owned(3)?, owned(4)?);
            let fields = tables.entry(table.to_owned()).or_default().entry(id).or_default();
            match fields.get_mut(column) {
                None => {
                    let field = Field {
                        first_old: old,
                        last_new: new,
                    };
                    fields.insert(column.to_owned(), field);
                }
                Some(field) => {
                    if field.last_new != old {
                        let document = report.names.document(whole(&row.0, 5)?);
                        let about = format!("{document} changing {column} of {table} no. {id}");
                        differs(report, about, &field.last_new, &old);
                    }
                    field.last_new = new;
                }
            }
        }
        Ok(Changes { tables })
    }

    /// Puts a record back to what it was when it was made; a field that does not hold what its last change wrote is
    /// reported. The record's changes are done with then.
    pub(super) fn walk_back(
        &mut self,
        table: &'static str,
        columns: &[&'static str],
        row: &mut [Value],
        report: &mut Report<'_, '_>,
    ) {
        let Some(records) = self.tables.get_mut(table) else {
            return;
        };
        let Some(Value::Int(id)) = row.first() else {
            return;
        };
        let id = *id;
        let Some(fields) = records.remove(&id) else {
            return;
        };
        for (column, field) in fields {
            let at = columns.iter().position(|name| *name == column);
            let about = format!("{column} of {table} no. {id}");
            match at.and_then(|at| row.get_mut(at)) {
                None => differs(report, about, &field.last_new, &Some("no such field".to_owned())),
                Some(cell) => {
                    let now = written(cell);
                    if now != field.last_new {
                        differs(report, about, &field.last_new, &now);
                    }
                    *cell = as_made(cell, table, &column, field.first_old);
                }
            }
        }
    }

    /// The settings that were changed hold what their last change wrote; changes of records that are not there are
    /// reported.
    pub(super) fn finish(self, books: &Open<'_>, report: &mut Report<'_, '_>) -> Result<(), Error> {
        for (table, records) in self.tables {
            for (id, fields) in records {
                for (column, field) in fields {
                    let now = if table == "setting" {
                        let sql = "SELECT value FROM setting WHERE name = $1";
                        let row = books.row(sql, &values![column.as_str()])?;
                        row.map(|row| row.text(0)).transpose()?
                    } else {
                        Some("no such record".to_owned())
                    };
                    if now != field.last_new {
                        differs(
                            report,
                            format!("{column} of {table} no. {id}"),
                            &field.last_new,
                            &now,
                        );
                    }
                }
            }
        }
        Ok(())
    }
}

fn differs(report: &mut Report<'_, '_>, about: String, should_be: &Option<String>, is: &Option<String>) {
    let shown = |value: &Option<String>| value.clone().unwrap_or_else(|| "nothing".to_owned());
    report.add("I19 changed field", about, shown(should_be), shown(is));
}

/// An old text as the column keeps it.
fn as_made(now: &Value<'_>, table: &str, column: &str, old: Option<String>) -> Value<'static> {
    let Some(old) = old else { return Value::Null };
    let number = match now {
        Value::Int(_) => true,
        Value::Null => NUMBERS_OR_NOTHING.contains(&(table, column)),
        Value::Text(_) | Value::Blob(_) => false,
    };
    match old.parse() {
        Ok(whole) if number => Value::Int(whole),
        _ => Value::from(old),
    }
}
