//! A job and its lines: what one engine's conversion needs, and how far it is.

use crate::domain::measure::{Day, Qty};
use crate::domain::stores::ids::{BillId, DocId, JobId, LineId, PartId, PlaceId};
use crate::domain::stores::lot::Lot;

/// How a job stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JobState {
    /// Parts are reserved, picked and issued for it.
    Open,
    /// Given up; what it had went back.
    Cancelled,
    /// Done, its engine sold.
    Closed,
}

impl JobState {
    /// The word that stands in the books.
    pub fn word(self) -> &'static str {
        match self {
            JobState::Open => "open",
            JobState::Cancelled => "cancelled",
            JobState::Closed => "closed",
        }
    }

    /// The state behind a word of the books.
    pub fn from_word(word: &str) -> Option<JobState> {
        [JobState::Open, JobState::Cancelled, JobState::Closed]
            .into_iter()
            .find(|state| state.word() == word)
    }
}

/// One engine's conversion.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Job {
    /// Under which number the books keep it.
    pub id: JobId,
    /// Its number, as people write it.
    pub number: String,
    /// The bill it was raised from, frozen.
    pub bill: Option<BillId>,
    /// The choices taken, `group=choice` separated by spaces.
    pub choices: String,
    /// The colour of its box.
    pub tag: Option<String>,
    /// Its kit.
    pub kit: PlaceId,
    /// Its crate of take-off parts.
    pub crate_place: Option<PlaceId>,
    /// The engine it is for.
    pub engine: PlaceId,
    /// Whose lots it may use besides the house's.
    pub customer: Option<PlaceId>,
    /// The number of the pick list that holds now.
    pub list: i64,
    /// The day its parts are fitted.
    pub use_day: Day,
    /// Which job goes first on the same day; 1 is first.
    pub priority: i64,
    /// How it stands.
    pub state: JobState,
    /// The document that raised it.
    pub document: DocId,
}

/// One part that a job needs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// Under which number the books keep it.
    pub id: LineId,
    /// The job it belongs to.
    pub job: JobId,
    /// Its number on the papers of the job.
    pub n: i64,
    /// Which part.
    pub part: PartId,
    /// The conditions it takes, each between commas: `,new,overhauled,`.
    pub allows: String,
    /// Whether its choice was taken away.
    pub dropped: bool,
    /// How much it needs.
    pub need: Qty,
    /// How much may stand on it.
    pub most: Qty,
    /// How much of stock is reserved for it.
    pub reserved: Qty,
    /// How much of orders is promised to it.
    pub pegged: Qty,
    /// How much lies in the kit.
    pub kitted: Qty,
    /// How much is on the engine.
    pub fitted: Qty,
    /// The document that made it.
    pub document: DocId,
}

impl Line {
    /// What stands on the line: reserved, promised, in the kit and on the engine.
    pub fn stands(&self) -> Qty {
        self.reserved + self.pegged + self.kitted + self.fitted
    }

    /// What it is still short of.
    pub fn short(&self) -> Qty {
        (self.need - self.stands()).max(Qty::ZERO)
    }

    /// Whether it takes goods in this condition.
    pub fn allows(&self, condition: &str) -> bool {
        self.allows
            .split(',')
            .any(|allowed| !allowed.is_empty() && allowed == condition)
    }
}

impl Job {
    /// Whether it may use goods of this owner: the house's, or its own customer's.
    pub fn may_use(&self, lot: &Lot) -> bool {
        lot.owner.is_none() || lot.owner == self.customer
    }
}
