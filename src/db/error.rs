//! What can go wrong with the books, as data; hints and exits are the command's.

use std::fmt;
use std::path::PathBuf;

/// Why the books could not be opened, read or written.
// The fields are named for what they are; `Display` says them in a sentence.
#[allow(missing_docs)]
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Error {
    /// There is no file at the path.
    NoStore(PathBuf),
    /// The path cannot be a store: empty, `:memory:`, a folder.
    BadPath { path: String, because: &'static str },
    /// The file is empty.
    Empty(PathBuf),
    /// The file is no store of ours.
    NotOurs { path: PathBuf, because: String },
    /// The store was written by a newer program.
    Newer { path: PathBuf, found: i64, known: i64 },
    /// There is a file already where a store should be made.
    Exists(PathBuf),
    /// The store could not be made.
    CannotCreate { path: PathBuf, because: String },
    /// An older store could not be kept as it was, and so was not brought up.
    NotKept { path: PathBuf, because: String },
    /// An older store was brought up, and the check after it finds faults.
    BroughtUpUnsound { faults: usize, kept: PathBuf },
    /// Another process kept the books longer than we wait.
    Busy,
    /// The books may not be written: read-only file or disk.
    ReadOnly(String),
    /// The books could not be read; they are not necessarily damaged.
    Unreadable(String),
    /// Reading or writing failed: disk full, input/output error.
    Io(String),
    /// The books refused what was written: a guard of the database bit.
    Refused(String),
    /// A setting of the connection did not take.
    Setting {
        name: &'static str,
        wanted: String,
        found: String,
    },
    /// The books hold something that no rule of ours could have written.
    Strange { what: &'static str, found: String },
    /// The same operation id came with another request.
    OtherRequest { op: String, document: i64 },
    /// Our own mistake in a statement.
    Fault(String),
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Error::NoStore(path) => write!(f, "there is no store at {}", path.display()),
            Error::BadPath { path, because } => write!(f, "{path:?} cannot be a store: {because}"),
            Error::Empty(path) => write!(f, "{} is an empty file, not a store", path.display()),
            Error::NotOurs { path, because } => {
                write!(f, "{} is not a store of ours: {because}", path.display())
            }
            Error::Newer { path, found, known } => {
                let path = path.display();
                write!(
                    f,
                    "{path} is written in version {found} of the books, this program knows up to {known}"
                )
            }
            Error::Exists(path) => write!(f, "{} is there already", path.display()),
            Error::CannotCreate { path, because } => write!(f, "cannot make {}: {because}", path.display()),
            Error::NotKept { path, because } => {
                let path = path.display();
                write!(
                    f,
                    "the store is of an older version and was not brought up: no copy of it could be kept as {path}: {because}"
                )
            }
            Error::BroughtUpUnsound { faults, kept } => write!(
                f,
                "the store was brought up, and the check after it finds {faults} of its rules broken; as it was it is kept at {}",
                kept.display()
            ),
            Error::Busy => write!(
                f,
                "another bincard process kept the books for more than 30 seconds"
            ),
            Error::ReadOnly(because) => write!(f, "the books may not be written: {because}"),
            Error::Unreadable(because) => {
                write!(
                    f,
                    "the books could not be read, which need not mean that they are damaged: {because}"
                )
            }
            Error::Io(because) => write!(f, "reading or writing the books failed: {because}"),
            Error::Refused(because) => write!(f, "the books refused it: {because}"),
            Error::Setting { name, wanted, found } => {
                write!(f, "the setting {name} should be {wanted} and is {found}")
            }
            Error::Strange { what, found } => write!(f, "the books hold a strange {what}: {found}"),
            Error::OtherRequest { op, document } => {
                write!(
                    f,
                    "operation {op} was recorded with another request, as document {document}"
                )
            }
            Error::Fault(because) => write!(f, "a statement of ours failed: {because}"),
        }
    }
}

impl std::error::Error for Error {}
