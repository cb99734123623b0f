//! The driver's errors in our own words.

use crate::db::error::Error;
use rusqlite::ErrorCode;

/// What an error of the driver means to us.
pub(super) fn from_driver(error: rusqlite::Error) -> Error {
    let text = error.to_string();
    let Some(code) = error.sqlite_error_code() else {
        return Error::Fault(text);
    };
    match code {
        ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => Error::Busy,
        ErrorCode::NotADatabase | ErrorCode::DatabaseCorrupt => Error::Unreadable(text),
        ErrorCode::ReadOnly | ErrorCode::PermissionDenied | ErrorCode::AuthorizationForStatementDenied => {
            Error::ReadOnly(text)
        }
        ErrorCode::ConstraintViolation => Error::Refused(text),
        ErrorCode::SystemIoFailure
        | ErrorCode::DiskFull
        | ErrorCode::CannotOpen
        | ErrorCode::NoLargeFileSupport => Error::Io(text),
        _ => Error::Fault(text),
    }
}
