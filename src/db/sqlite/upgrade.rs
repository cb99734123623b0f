//! An older store is brought up to the steps that this program knows, in one transaction or not at all.

use super::from_driver;
use super::identity::read_setting;
use crate::db::error::Error;
use crate::db::schema::{KNOWN, STEPS};
use rusqlite::Connection;

/// Runs the steps that a store does not have yet; a store that has them all is left alone.
///
/// The number of steps is read again under the lock, for another process may have brought the store up meanwhile.
pub(super) fn bring_up(connection: &Connection) -> Result<(), Error> {
    if steps_of(connection)? == KNOWN {
        return Ok(());
    }
    connection.execute_batch("BEGIN IMMEDIATE").map_err(from_driver)?;
    let done =
        missing_steps(connection).and_then(|()| connection.execute_batch("COMMIT").map_err(from_driver));
    if done.is_err() && !connection.is_autocommit() {
        connection.execute_batch("ROLLBACK").map_err(from_driver)?;
    }
    done
}

fn missing_steps(connection: &Connection) -> Result<(), Error> {
    let has = steps_of(connection)?;
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
