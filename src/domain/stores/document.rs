//! The head of a document: its kind, its days, whose it is and what it is about.

use crate::domain::measure::Day;
use crate::domain::stores::ids::{DocId, JobId, OrderId};
use crate::domain::stores::law::{MOVEMENTS, Movement};

/// The kind of a document; its prefix stands before its number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DocKind {
    /// The first document of a store.
    Founding,
    /// Records and opening cards taken on from files.
    Import,
    /// A movement of goods by its own name.
    Movement(Movement),
    /// A job raised.
    Job,
    /// A job closed.
    Close,
    /// Parts reserved.
    Reserve,
    /// Reservations given up.
    Free,
    /// A hold put on or lifted.
    Hold,
    /// Fields of records changed.
    Change,
    /// A bin counted.
    Count,
    /// Something noted for those who come after.
    Note,
    /// An order to a supplier raised, changed or closed.
    Order,
}

/// Kinds of document that are no single movement, with their word and prefix.
const PLAIN: [(DocKind, &str, &str); 11] = [
    (DocKind::Founding, "founding", "FND"),
    (DocKind::Import, "import", "IMP"),
    (DocKind::Job, "job", "JOB"),
    (DocKind::Close, "close", "CLS"),
    (DocKind::Reserve, "reserve", "RSV"),
    (DocKind::Free, "free", "FRE"),
    (DocKind::Hold, "hold", "HLD"),
    (DocKind::Change, "change", "CHG"),
    (DocKind::Count, "count", "CNT"),
    (DocKind::Note, "note", "NTE"),
    (DocKind::Order, "order", "ODR"),
];

impl DocKind {
    /// The word that stands in the books.
    pub fn word(self) -> &'static str {
        match self {
            DocKind::Movement(movement) => movement.word(),
            plain => PLAIN
                .iter()
                .find(|(kind, _, _)| *kind == plain)
                .map_or("document", |(_, word, _)| word),
        }
    }

    /// The kind behind a word of the books.
    pub fn from_word(word: &str) -> Option<DocKind> {
        let plain = PLAIN
            .iter()
            .find(|(_, w, _)| *w == word)
            .map(|(kind, _, _)| *kind);
        let movement = || MOVEMENTS.into_iter().find(|m| m.word() == word);
        plain.or_else(|| movement().map(DocKind::Movement))
    }

    /// The three letters before the document's number.
    pub fn prefix(self) -> &'static str {
        match self {
            DocKind::Movement(movement) => movement_prefix(movement),
            plain => PLAIN
                .iter()
                .find(|(kind, _, _)| *kind == plain)
                .map_or("DOC", |(_, _, prefix)| prefix),
        }
    }
}

/// The three letters before the number of a movement's document.
fn movement_prefix(movement: Movement) -> &'static str {
    match movement {
        Movement::BookIn => "GRN",
        Movement::FittedEarly => "FIE",
        Movement::Accept => "ACC",
        Movement::Quarantine => "QUA",
        Movement::Reject => "REJ",
        Movement::SendBack => "SBK",
        Movement::Move => "MOV",
        Movement::Open => "OPN",
        Movement::MakeUp => "MAK",
        Movement::Pick => "PCK",
        Movement::PutBack => "PBK",
        Movement::Rob => "ROB",
        Movement::Issue => "ISS",
        Movement::Use => "USE",
        Movement::Return => "RTN",
        Movement::TakeOff => "TKO",
        Movement::Swap => "SWP",
        Movement::Dispatch => "DSP",
        Movement::Scrap => "SCR",
        Movement::Loss => "LOS",
        Movement::Gain => "GAN",
        Movement::LateCost => "LTC",
        Movement::Restate => "RST",
        Movement::Sold => "SLD",
        Movement::BringForward => "BFW",
        Movement::FoundFitted => "FFT",
        Movement::SendOut => "OUT",
        Movement::BackIn => "BCK",
        Movement::TakeIn => "TIN",
        Movement::Undo => "UND",
    }
}

/// What stands at the head of a document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Head {
    /// What kind of document.
    pub kind: DocKind,
    /// The day it happened.
    pub day: Day,
    /// Whose initials.
    pub by: String,
    /// Who checked it, where a second person did.
    pub checked_by: Option<String>,
    /// Why.
    pub reason: Option<String>,
    /// The job it is about.
    pub job: Option<JobId>,
    /// The order it is about.
    pub order: Option<OrderId>,
    /// The number of the pick list it answers.
    pub list: Option<i64>,
    /// When what goes out should be back.
    pub due: Option<Day>,
    /// The owner's yes, or how he was told.
    pub owner_word: Option<String>,
    /// The document it undoes.
    pub contra: Option<DocId>,
}

impl Head {
    /// A head with nothing said beyond kind, day and initials.
    pub fn new(kind: DocKind, day: Day, by: &str) -> Head {
        Head {
            kind,
            day,
            by: by.to_owned(),
            checked_by: None,
            reason: None,
            job: None,
            order: None,
            list: None,
            due: None,
            owner_word: None,
            contra: None,
        }
    }
}
