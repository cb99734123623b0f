//! An older store is brought up to the steps that this program knows, in one transaction or not at all; as it was
//! before is kept beside it.

use super::copy::{Part, clear, nothing_there, place};
use super::identity::{checked_path, read_setting, untouched};
use super::{Sqlite, from_driver};
use crate::db::error::Error;
use crate::db::schema::{KNOWN, STEPS};
use crate::db::value::Value;
use rusqlite::{Connection, OpenFlags};
use std::path::{Path, PathBuf};

/// How many copies of one step may lie beside a store.
const MOST_COPIES: u32 = 99;

/// Runs the steps that a store does not have yet; a store that has them all is left alone. Returns where the store as
/// it was before is kept.
///
/// The number of steps is read again under the lock, for another process may have brought the store up meanwhile. The
/// copy is taken under the same lock, so that nothing is posted between it and the steps.
pub(super) fn bring_up(connection: &Connection, path: &Path, keep: bool) -> Result<Option<PathBuf>, Error> {
    if steps_of(connection)? == KNOWN {
        return Ok(None);
    }
    connection.execute_batch("BEGIN IMMEDIATE").map_err(from_driver)?;
    let mut kept = None;
    let done = missing_steps(connection, || {
        kept = keep.then(|| keep_before(path)).transpose()?;
        Ok(())
    })
    .and_then(|()| connection.execute_batch("COMMIT").map_err(from_driver));
    if done.is_err() {
        if !connection.is_autocommit() {
            connection.execute_batch("ROLLBACK").map_err(from_driver)?;
        }
        // The store is as it was: another copy with every try would only fill the disk.
        kept.as_deref().map_or(Ok(()), clear)?;
    }
    done.map(|()| kept)
}

fn missing_steps(connection: &Connection, keep: impl FnOnce() -> Result<(), Error>) -> Result<(), Error> {
    let has = steps_of(connection)?;
    if has == KNOWN {
        return Ok(());
    }
    keep()?;
    for (number, step) in (1..).zip(STEPS) {
        if number > has {
            connection.execute_batch(step).map_err(from_driver)?;
        }
    }
    connection
        .pragma_update(None, "user_version", KNOWN)
        .map_err(from_driver)
}

fn steps_of(connection: &Connection) -> Result<i64, Error> {
    let found = read_setting(connection, "user_version")?;
    found
        .parse()
        .map_err(|_| Error::Fault(format!("user_version is {found}")))
}

/// Copies the store beside itself under a name that nothing bears, proves the copy, and says where it lies.
fn keep_before(store: &Path) -> Result<PathBuf, Error> {
    let target = free_name(store)?;
    let failed = |error: Error| Error::NotKept {
        path: target.clone(),
        because: error.to_string(),
    };
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let connection = Connection::open_with_flags(store, flags).map_err(|error| failed(from_driver(error)))?;
    let source = Sqlite::of(connection);
    let part = Part::of(&target);
    let made = source
        .set_text("query_only", "ON")
        .and_then(|()| source.fill_copy(part.path(), &target))
        .and_then(|()| proved(&source, part.path()))
        .and_then(|()| place(part.path(), &target));
    match made {
        Ok(()) => Ok(target),
        Err(error) => Err(failed(match clear(part.path()) {
            Ok(()) => error,
            Err(left) => Error::Io(format!("{error}; what was begun could not be removed: {left}")),
        })),
    }
}

/// The copy is whole, and ends with the document that the store ends with.
fn proved(source: &Sqlite, part: &Path) -> Result<(), Error> {
    let copy = Sqlite::of(untouched(part)?);
    if let Some(fault) = copy.integrity()?.into_iter().next() {
        return Err(Error::Unreadable(fault));
    }
    match ends(&copy)? == ends(source)? {
        true => Ok(()),
        false => Err(Error::Unreadable(
            "the copy ends elsewhere than the store".to_owned(),
        )),
    }
}

/// Version, number of documents and head of a store.
fn ends(store: &Sqlite) -> Result<Vec<Vec<Value<'static>>>, Error> {
    let documents = "SELECT COUNT(*), (SELECT value FROM setting WHERE name = 'head') FROM document";
    let rows = [
        store.rows("PRAGMA user_version", &[])?,
        store.rows(documents, &[])?,
    ];
    Ok(rows.into_iter().flatten().map(|row| row.0).collect())
}

/// `store.before-0003.db` beside `store.db`; where that is taken, `store.before-0003-2.db` and so on.
fn free_name(store: &Path) -> Result<PathBuf, Error> {
    let store = checked_path(store)?;
    let mut taken = Error::Exists(store.clone());
    for nth in 1..=MOST_COPIES {
        let mut name = store.file_stem().unwrap_or_default().to_owned();
        name.push(format!(".before-{KNOWN:04}"));
        if nth > 1 {
            name.push(format!("-{nth}"));
        }
        if let Some(ending) = store.extension() {
            name.push(".");
            name.push(ending);
        }
        let target = store.with_file_name(name);
        match nothing_there(&target) {
            Ok(()) => return Ok(target),
            Err(error) => taken = error,
        }
    }
    Err(Error::NotKept {
        because: format!("{taken}, and so are {MOST_COPIES} names like it"),
        path: store,
    })
}
