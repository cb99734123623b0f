//! Statements read side by side, a row at a time, so that a long history never lies in memory whole.

use super::values::from_ref;
use super::{Sqlite, from_driver};
use crate::db::error::Error;
use crate::db::value::Value;
use rusqlite::Rows;

/// One statement being read: the row it has come to, until there is none.
pub struct Cursor<'a> {
    rows: Rows<'a>,
    columns: usize,
    row: Vec<Value<'static>>,
    ended: bool,
}

impl Cursor<'_> {
    /// The row it has come to; none after the last.
    pub fn row(&self) -> Option<&[Value<'_>]> {
        (!self.ended).then_some(self.row.as_slice())
    }

    /// Goes on to the next row.
    pub fn advance(&mut self) -> Result<(), Error> {
        self.row.clear();
        match self.rows.next().map_err(from_driver)? {
            None => self.ended = true,
            Some(row) => {
                for at in 0..self.columns {
                    let value = row.get_ref(at).map_err(from_driver).and_then(from_ref)?;
                    self.row.push(value);
                }
            }
        }
        Ok(())
    }

    /// Puts the row it has come to at the end of `onto` and goes on to the next.
    pub fn take(&mut self, onto: &mut Vec<Value<'static>>) -> Result<(), Error> {
        if !self.ended {
            onto.append(&mut self.row);
        }
        self.advance()
    }
}

impl Sqlite {
    /// Hands over a cursor for each statement, each at its first row.
    pub fn side_by_side<T>(
        &self,
        statements: &[&str],
        work: impl FnOnce(&mut [Cursor<'_>]) -> Result<T, Error>,
    ) -> Result<T, Error> {
        let prepared = statements.iter().map(|sql| self.connection.prepare(sql));
        let mut prepared = prepared.collect::<Result<Vec<_>, _>>().map_err(from_driver)?;
        let mut cursors = Vec::with_capacity(prepared.len());
        for statement in &mut prepared {
            let mut cursor = Cursor {
                columns: statement.column_count(),
                rows: statement.raw_query(),
                row: Vec::new(),
                ended: false,
            };
            cursor.advance()?;
            cursors.push(cursor);
        }
        work(&mut cursors)
    }
}
