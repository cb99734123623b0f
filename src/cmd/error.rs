//! What a command answers when it cannot do what was asked: number, hint and exit of every fault, in one place.

use crate::cmd::explained::{self, explained};
use crate::db;
use crate::domain::measure::scan::ScanFault;
use crate::domain::refusal::Refusal;
use crate::intake::Faults;
use crate::print::paper::Paper;

/// The documented exits.
pub mod exit {
    /// Done.
    pub const DONE: u8 = 0;
    /// The answer is no, or the store refused.
    pub const NO: u8 = 1;
    /// It cannot be understood.
    pub const USAGE: u8 = 2;
    /// What stands in a file, or a file that is not ours.
    pub const DATA: u8 = 65;
    /// No such input or store.
    pub const NO_INPUT: u8 = 66;
    /// Our own fault.
    pub const OURS: u8 = 70;
    /// Cannot be made.
    pub const CANNOT_CREATE: u8 = 73;
    /// Reading or writing failed.
    pub const IO: u8 = 74;
    /// Busy; try again.
    pub const BUSY: u8 = 75;
    /// Not permitted.
    pub const NOT_PERMITTED: u8 = 77;
    /// A newer schema, or settings.
    pub const NEWER: u8 = 78;
}

/// Why a command did not do what was asked.
// The fields are named for what they are.
#[allow(missing_docs)]
#[derive(Debug)]
pub enum Failure {
    /// The domain refused.
    Refusal(Refusal),
    /// The books could not be opened, read or written.
    Books(db::error::Error),
    /// Files hold faults.
    Faults(Faults),
    /// A code cannot be read as it stands.
    Scan(ScanFault),
    /// It cannot be understood.
    Usage { what: String, hint: String },
    /// A file could not be read or made.
    File { path: String, because: String, exit: u8 },
    /// Whoever read the answer has gone; nothing more is said.
    ReaderGone,
    /// A trial run: everything was done, shown and rolled back.
    Trial(Box<Paper>, u8),
}

impl From<Refusal> for Failure {
    fn from(refusal: Refusal) -> Failure {
        Failure::Refusal(refusal)
    }
}

impl From<ScanFault> for Failure {
    fn from(fault: ScanFault) -> Failure {
        Failure::Scan(fault)
    }
}

impl From<db::error::Error> for Failure {
    fn from(error: db::error::Error) -> Failure {
        Failure::Books(error)
    }
}

impl From<Faults> for Failure {
    fn from(faults: Faults) -> Failure {
        Failure::Faults(faults)
    }
}

impl Failure {
    /// Something that cannot be understood, with what to type instead.
    pub fn usage(what: impl Into<String>, hint: impl Into<String>) -> Failure {
        Failure::Usage {
            what: what.into(),
            hint: hint.into(),
        }
    }

    /// What is typed or piped in could not be read, or what is told on the way not be written.
    pub fn of_stream(error: std::io::Error) -> Failure {
        Failure::File {
            path: "-".to_owned(),
            because: error.to_string(),
            exit: exit::IO,
        }
    }

    /// What failed, in a sentence.
    pub fn message(&self) -> String {
        match self {
            Failure::Refusal(refusal) => refusal.to_string(),
            Failure::Books(error) => error.to_string(),
            Failure::Faults(faults) => faults.to_string(),
            Failure::Scan(fault) => fault.to_string(),
            Failure::Usage { what, .. } => what.clone(),
            Failure::File { path, because, .. } => format!("{path}: {because}"),
            Failure::ReaderGone => String::new(),
            Failure::Trial(paper, _) => paper.answer.clone(),
        }
    }

    /// The number under which `explain` tells more.
    pub fn number(&self) -> u16 {
        match self {
            Failure::Refusal(refusal) => explained::number(refusal),
            Failure::Books(error) => explained::books_number(error),
            Failure::Faults(_) => 401,
            Failure::Scan(fault) => explained::scan_number(fault),
            Failure::Usage { .. } => 402,
            Failure::File { .. } => 403,
            Failure::ReaderGone | Failure::Trial(..) => 0,
        }
    }

    /// What to do next.
    pub fn hint(&self) -> String {
        match self {
            Failure::Refusal(refusal) => explained::hint(refusal),
            Failure::Usage { hint, .. } => hint.clone(),
            other => explained(other.number())
                .map(|e| e.next.to_owned())
                .unwrap_or_default(),
        }
    }

    /// The documented exit.
    pub fn exit(&self) -> u8 {
        use db::error::Error;
        match self {
            Failure::Refusal(Refusal::NotAuthorised { .. }) => exit::NOT_PERMITTED,
            Failure::Refusal(Refusal::Unread { .. }) => exit::OURS,
            Failure::Refusal(_) | Failure::Scan(_) => exit::NO,
            Failure::Faults(_) => exit::DATA,
            Failure::Usage { .. } => exit::USAGE,
            Failure::File { exit, .. } => *exit,
            Failure::ReaderGone => exit::DONE,
            Failure::Trial(_, exit) => *exit,
            Failure::Books(error) => match error {
                Error::NoStore(_) => exit::NO_INPUT,
                Error::BadPath { .. } => exit::USAGE,
                Error::Empty(_)
                | Error::NotOurs { .. }
                | Error::Strange { .. }
                | Error::BroughtUpUnsound { .. } => exit::DATA,
                Error::Newer { .. } => exit::NEWER,
                Error::Exists(_) | Error::CannotCreate { .. } | Error::NotKept { .. } => exit::CANNOT_CREATE,
                Error::Busy => exit::BUSY,
                Error::ReadOnly(_) => exit::NOT_PERMITTED,
                Error::Unreadable(_) | Error::Io(_) => exit::IO,
                Error::OtherRequest { .. } => exit::NO,
                Error::Refused(_) | Error::Setting { .. } | Error::Fault(_) => exit::OURS,
            },
        }
    }
}
