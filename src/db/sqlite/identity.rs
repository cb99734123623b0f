//! Whose file a path leads to: asked before anything is set, and without touching the file.

use super::from_driver;
use crate::db::error::Error;
use crate::db::schema;
use rusqlite::types::ValueRef;
use rusqlite::{Connection, ErrorCode, OpenFlags};
use std::os::unix::fs::MetadataExt;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// A path that cannot be taken for anything but a file: not empty, not in memory, absolute.
pub(super) fn checked_path(path: &Path) -> Result<PathBuf, Error> {
    let text = path.to_string_lossy();
    if text.is_empty() {
        return Err(bad_path(path, "it is empty"));
    }
    if text == ":memory:" {
        return Err(bad_path(path, "it would be lost with the process"));
    }
    if text.contains('\0') {
        return Err(bad_path(path, "it contains a NUL"));
    }
    std::path::absolute(path).map_err(|error| Error::Io(error.to_string()))
}

/// Who may read and write a new store: the group as well where it may write in the folder, others never.
pub(super) fn mode_for(path: &Path) -> u32 {
    let shared = path
        .parent()
        .and_then(|folder| std::fs::metadata(folder).ok())
        .is_some_and(|m| m.mode() & 0o020 != 0);
    if shared { 0o660 } else { 0o600 }
}

/// The refusal of a path.
pub(super) fn bad_path(path: &Path, because: &'static str) -> Error {
    Error::BadPath {
        path: path.to_string_lossy().into_owned(),
        because,
    }
}

/// The file opened as something that never changes, so that nothing is written beside it and no log is folded in.
pub(super) fn untouched(path: &Path) -> Result<Connection, Error> {
    use std::fmt::Write;
    let mut uri = String::from("file:");
    for byte in path.as_os_str().as_encoded_bytes() {
        if byte.is_ascii_alphanumeric() || b"/._-".contains(byte) {
            uri.push(char::from(*byte));
        } else {
            write!(uri, "%{byte:02X}").map_err(|error| Error::Fault(error.to_string()))?;
        }
    }
    uri.push_str("?immutable=1");
    let flags =
        OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    Connection::open_with_flags(uri, flags).map_err(from_driver)
}

/// How often, and how far apart, a file is looked at that seems shorter than its first page says.
const LOOKS: u32 = 20;
const BETWEEN_LOOKS: Duration = Duration::from_millis(25);

/// Whose file it is, without touching it. No lock is taken, so that another process may be folding its log in just
/// then, first page first: what looks cut short is looked at again before it is believed.
pub(super) fn identify_untouched(path: &Path) -> Result<(), Error> {
    for _ in 1..LOOKS {
        match identify(&untouched(path)?, path) {
            Err(Error::Unreadable(_)) => std::thread::sleep(BETWEEN_LOOKS),
            known => return known,
        }
    }
    identify(&untouched(path)?, path)
}

/// Whose file it is and which version of the books it holds.
pub(super) fn identify(connection: &Connection, path: &Path) -> Result<(), Error> {
    let not_ours = |because: String| Error::NotOurs {
        path: path.to_owned(),
        because,
    };
    let read = |name: &'static str| {
        read_setting(connection, name)?
            .parse::<i64>()
            .map_err(|error| Error::Fault(error.to_string()))
    };
    if let Err(rusqlite::Error::SqliteFailure(code, because)) =
        connection.pragma_query_value(None, "application_id", |_| Ok(()))
        && code.code == ErrorCode::NotADatabase
    {
        return Err(not_ours(
            because.unwrap_or_else(|| "it is no database".to_owned()),
        ));
    }
    let mark = read("application_id")?;
    if mark != schema::APPLICATION_ID {
        return Err(not_ours("it bears another program's mark, or none".to_owned()));
    }
    let version = read("user_version")?;
    if version > schema::KNOWN {
        return Err(Error::Newer {
            path: path.to_owned(),
            found: version,
            known: schema::KNOWN,
        });
    }
    if version < 1 {
        return Err(not_ours("its making was never finished".to_owned()));
    }
    Ok(())
}

/// One setting as the engine reads it back.
pub(super) fn read_setting(connection: &Connection, name: &'static str) -> Result<String, Error> {
    connection
        .pragma_query_value(None, name, |row| {
            Ok(match row.get_ref(0)? {
                ValueRef::Integer(whole) => whole.to_string(),
                other => other.as_str().map(str::to_owned).unwrap_or_default(),
            })
        })
        .or_else(|error| match error {
            // With no file mapping compiled in or asked for, the engine gives no row at all.
            rusqlite::Error::QueryReturnedNoRows => Ok("0".to_owned()),
            other => Err(from_driver(other)),
        })
}
