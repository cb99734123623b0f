//! The books of one store: opened for reading or writing, and every statement that runs on them.
//!
//! A second engine would be a second arm in here; the statements above know of none.

use crate::db::error::Error;
use crate::db::sqlite::{Cursor, Purpose, Sqlite};
use crate::db::value::{Given, Row, Value};
use std::path::Path;

/// The books of one store.
pub struct Books {
    engine: Sqlite,
}

/// The books while they are being read or written in one transaction.
pub struct Open<'a> {
    engine: &'a Sqlite,
}

impl Books {
    /// Opens the books of a store that is there; `waiting` is called once if another process keeps us waiting.
    pub fn open(path: &Path, purpose: Purpose, waiting: fn()) -> Result<Books, Error> {
        Ok(Books {
            engine: Sqlite::open(path, purpose, waiting)?,
        })
    }

    /// Where the store as it was before is kept, if opening it brought it up to the steps of today.
    pub fn kept(&self) -> Option<&Path> {
        self.engine.kept()
    }

    /// Opens a copy that nobody writes in; nothing is written to it.
    pub fn open_copy(path: &Path) -> Result<Books, Error> {
        Ok(Books {
            engine: Sqlite::open_copy(path)?,
        })
    }

    /// Whether its schema is the one that this program knows, and not an older one.
    pub fn is_of_today(&self) -> Result<bool, Error> {
        self.engine.is_of_today()
    }

    /// Copies the books as they stand into a new file; `prove` sees the copy before it bears its name.
    pub fn copy_to<T, E: From<Error>>(
        &self,
        target: &Path,
        waiting: fn(),
        prove: impl FnOnce(&Open<'_>) -> Result<T, E>,
    ) -> Result<T, E> {
        self.engine
            .copy_to(target, waiting, |engine| prove(&Open { engine }))
    }

    /// Makes a store where there is none; `found` writes its settings and first document.
    pub fn create<T, E: From<Error>>(
        path: &Path,
        waiting: fn(),
        found: impl FnOnce(&Open<'_>) -> Result<T, E>,
    ) -> Result<T, E> {
        Sqlite::create(path, waiting, |engine| found(&Open { engine }))
    }

    /// Reads in one transaction, so that everything read is of one moment.
    pub fn read<T, E: From<Error>>(&self, work: impl FnOnce(&Open<'_>) -> Result<T, E>) -> Result<T, E> {
        self.engine.transaction(false, |engine| work(&Open { engine }))
    }

    /// Reads, decides and writes in one transaction that holds the writers' lock from its first read on.
    pub fn write<T, E: From<Error>>(&self, work: impl FnOnce(&Open<'_>) -> Result<T, E>) -> Result<T, E> {
        self.engine.transaction(true, |engine| work(&Open { engine }))
    }

    /// Every setting of the connection, as the engine reads it back.
    pub fn settings(&self) -> Result<Vec<(&'static str, String)>, Error> {
        self.engine.settings()
    }
}

impl Open<'_> {
    /// The rows that a statement gives.
    pub fn rows(&self, sql: &str, values: &[Value]) -> Result<Vec<Row>, Error> {
        self.engine.rows(sql, values)
    }

    /// The one row that a statement gives, or none.
    pub fn row(&self, sql: &str, values: &[Value]) -> Result<Option<Row>, Error> {
        Ok(self.engine.rows(sql, values)?.into_iter().next())
    }

    /// Hands over a cursor for each statement, to be read side by side a row at a time.
    pub fn side_by_side<T>(
        &self,
        statements: &[&str],
        work: impl FnOnce(&mut [Cursor<'_>]) -> Result<T, Error>,
    ) -> Result<T, Error> {
        self.engine.side_by_side(statements, work)
    }

    /// Runs a statement that gives no rows; returns how many rows it changed.
    pub fn run(&self, sql: &str, values: &[Value]) -> Result<usize, Error> {
        self.engine.run(sql, values)
    }

    /// Runs a statement that gives no rows once for each of these lists of values.
    pub fn run_each<'v>(&self, sql: &str, all: impl Iterator<Item = impl Given<'v>>) -> Result<(), Error> {
        self.engine.run_each(sql, all)
    }

    /// What the engine's own checks find, a line each.
    pub fn integrity(&self) -> Result<Vec<String>, Error> {
        self.engine.integrity()
    }

    /// Tables, indexes and guards that are not as the steps of the schema made them: what it is about, what should be
    /// there, what is there.
    pub fn schema_faults(&self) -> Result<Vec<[String; 3]>, Error> {
        self.engine.schema_faults()
    }

    /// A setting of the store, if it has it.
    pub fn setting(&self, name: &str) -> Result<Option<String>, Error> {
        let found = self.row(
            "SELECT value FROM setting WHERE name = $1",
            &crate::db::value::values![name],
        )?;
        found.map(|row| row.text(0)).transpose()
    }

    /// Writes a setting of the store.
    pub fn set_setting(&self, name: &str, value: &str) -> Result<(), Error> {
        self.run(
            "INSERT INTO setting (name, value) VALUES ($1, $2) ON CONFLICT (name) DO UPDATE SET value = excluded.value",
            &crate::db::value::values![name, value],
        )?;
        Ok(())
    }
}
