//! What a scanned or typed code says: one of our own labels, a maker's label in the syntax of GS1, or a plain text.
//!
//! Our own labels carry an internal application identifier of GS1, 91 to 96, and never an article number of GS1: such
//! numbers are given out by GS1 and are nobody's to invent. What each of ours bears:
//!
//! | AI | bears | such as |
//! |---|---|---|
//! | 91 | a lot number with its check character | `L000123T` |
//! | 92 | the code of a bin | `A-1` |
//! | 93 | a part number | `SP-20` |
//! | 94 | a job number | `J-0012` |
//! | 95 | a document number | `GRN-000045` |
//! | 96 | a line of a numbered pick list: job, list, line | `J-0012/1/7` |

use super::Day;
use rust_decimal::Decimal;
use thiserror::Error;

/// Something of ours that a label names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Own {
    /// A lot, its number whole.
    Lot(String),
    /// A bin, by its code.
    Bin(String),
    /// A part, by its number.
    Part(String),
    /// A job, its number whole.
    Job(String),
    /// A document, its number whole.
    Document(String),
    /// A line of a list that was printed for a job.
    Line {
        /// The job's number.
        job: String,
        /// Which list of that job, from 1.
        list: i64,
        /// The number of the line, from 1.
        n: i64,
    },
}

impl Own {
    /// The application identifier it is labelled with.
    pub fn ai(&self) -> &'static str {
        match self {
            Own::Lot(_) => "91",
            Own::Bin(_) => "92",
            Own::Part(_) => "93",
            Own::Job(_) => "94",
            Own::Document(_) => "95",
            Own::Line { .. } => "96",
        }
    }

    /// What stands behind the identifier, and beside the symbol for eyes.
    pub fn text(&self) -> String {
        match self {
            Own::Lot(text) | Own::Bin(text) | Own::Part(text) | Own::Job(text) | Own::Document(text) => {
                text.clone()
            }
            Own::Line { job, list, n } => format!("{job}/{list}/{n}"),
        }
    }

    /// The data of its label, without what the symbol itself adds; a code that no symbol can bear is refused.
    pub fn element(&self) -> Result<String, ScanFault> {
        let text = self.text();
        let odd = text.chars().find(|mark| !of_the_82(*mark));
        let because = match odd {
            Some(mark) => format!("{mark:?} stands in it"),
            None if text.is_empty() => "it is empty".to_owned(),
            None if text.len() > OWN_MARKS_MAX => format!("it is longer than {OWN_MARKS_MAX} characters"),
            None => return Ok(format!("{}{text}", self.ai())),
        };
        Err(ScanFault::NoSymbol { text, because })
    }
}

/// Whether a character is one of the 82 that GS1 allows in texts (General Specifications, figure 7.11-1).
pub fn of_the_82(mark: char) -> bool {
    mark.is_ascii_alphanumeric() || "!\"%&'()*+,-./:;<=>?_".contains(mark)
}

/// How many characters may stand behind an internal identifier (GS1 Application Identifier Syntax Dictionary).
pub const OWN_MARKS_MAX: usize = 90;

/// A measured quantity of a maker's label, in the unit that its identifier stands for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Measured {
    /// How much, with as many decimals as the label gives.
    pub value: Decimal,
    /// `kg`, `m`, `m2`, `l` or `m3`.
    pub unit: &'static str,
}

/// What one element of a maker's label says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Meaning {
    /// A text, for what the identifier stands for.
    Text(String),
    /// A day; where the label leaves the day out, the last of the month.
    Day {
        /// The day.
        day: Day,
        /// Whether the label names only the month.
        month_only: bool,
    },
    /// A number of things.
    Count(u32),
    /// A measure.
    Measured(Measured),
}

/// One element of a maker's label.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Element {
    /// The application identifier, two to four figures.
    pub ai: String,
    /// What stands behind it, as it stands there.
    pub value: String,
    /// What that means.
    pub meaning: Meaning,
}

/// Everything a maker's label says, in the order of the label.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct MakersLabel {
    /// Its elements.
    pub elements: Vec<Element>,
}

impl MakersLabel {
    /// What stands behind an identifier.
    pub fn text(&self, ai: &str) -> Option<&str> {
        let found = self.elements.iter().find(|element| element.ai == ai);
        found.map(|element| element.value.as_str())
    }

    /// The day behind an identifier.
    pub fn day(&self, ai: &str) -> Option<Day> {
        let found = self.elements.iter().find(|element| element.ai == ai)?;
        match found.meaning {
            Meaning::Day { day, .. } => Some(day),
            _ => None,
        }
    }

    /// The last day for use: that behind 17, else the best-before day behind 15.
    pub fn last_day(&self) -> Option<Day> {
        self.day("17").or_else(|| self.day("15"))
    }
}

/// What a code turned out to be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Scan {
    /// A label of ours.
    Own(Own),
    /// A maker's label.
    Maker(MakersLabel),
    /// A text that only the books can place; some scanners drop what marks a label of ours, so it may be one as well.
    Plain {
        /// The text.
        text: String,
        /// What it says if it is a label of ours.
        own: Option<Own>,
    },
}

/// A field that may have run into the one before it, as happens where a label lacks the separator between them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Swallowed {
    /// The identifier whose value looks too long.
    pub ai: String,
    /// Its value as it was read.
    pub value: String,
    /// The value without the field.
    pub shorter: String,
    /// The identifier of the swallowed field.
    pub swallowed: String,
    /// The day that the swallowed field bears.
    pub day: Day,
}

/// A code as it was read, with what is odd about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scanned {
    /// What it says.
    pub scan: Scan,
    /// Where a separator seems to be missing.
    pub swallowed: Option<Swallowed>,
}

/// Why a code cannot be taken as it stands. Places are counted in characters from 1, in what was scanned.
// The fields are named for what they are; the sentence says them.
#[allow(missing_docs)]
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum ScanFault {
    #[error("nothing was scanned")]
    Nothing,
    #[error("at character {at} of the code stands {shown:?}, which begins no identifier known here")]
    UnknownAi { shown: String, at: usize },
    #[error("({ai}) at character {at} of the code holds {wanted}, not the {found} that stand there")]
    Length {
        ai: String,
        at: usize,
        wanted: String,
        found: String,
    },
    #[error("({ai}) at character {at} of the code holds {wanted}, and {mark:?} stands in it")]
    Character {
        ai: String,
        at: usize,
        wanted: &'static str,
        mark: char,
    },
    #[error("the check digit of ({ai}) {value} is {found} and would be {right}: misread, or misprinted")]
    CheckDigit {
        ai: String,
        value: String,
        found: char,
        right: char,
    },
    #[error("({ai}) {value} is no day: {because}")]
    Day {
        ai: String,
        value: String,
        because: String,
    },
    #[error("({ai}) may not go with ({other}): {instead}")]
    Pair {
        ai: String,
        other: &'static str,
        instead: &'static str,
    },
    #[error("({ai}) {value} says nothing without {needs}")]
    Alone {
        ai: String,
        value: String,
        needs: &'static str,
    },
    #[error("({ai}) stands there twice, as {first} and as {second}")]
    Twice {
        ai: String,
        first: String,
        second: String,
    },
    #[error("({ai}) {value} is no label of ours: {because}")]
    NotOurs {
        ai: String,
        value: String,
        because: String,
    },
    #[error("{text} cannot stand in a symbol: {because}")]
    NoSymbol { text: String, because: String },
}
