//! The shelf life that a part's record states: a length of its own or a family's, and whether it may be extended.
//!
//! ```text
//! life   = length [ " type 1" | " type 2" ]
//! length = NUMBER " days|weeks|months|years" | "family " NAME
//! life   = "code " CODE, which is kept as the length and type that it stands for
//! ```

use crate::domain::measure::Life;
use crate::domain::measure::numeral::shown;
use std::fmt;
use thiserror::Error;

/// Whether a life that has run out may be extended after a test.
///
/// Source: DoD 4140.27-M as publicly restated: type I is definite, type II may be extended after inspection or test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LifeType {
    /// Never extended.
    One,
    /// Extended while unopened, on a test that was passed.
    Two,
}

/// How long unopened goods last.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Length {
    /// So long.
    Own(Life),
    /// As long as the shop's rule says of this family.
    Family(String),
}

/// What a part's record says of its life on the shelf.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShelfLife {
    /// How long.
    pub length: Length,
    /// Whether it may be extended; none where the record does not say.
    pub life_type: Option<LifeType>,
}

/// Why a text is no shelf life, and what to type instead.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum ShelfLifeFault {
    /// The length is none.
    #[error("{0}; or the family whose rule says it, such as family NBR; type 1 or type 2 may follow either")]
    Length(String),
    /// A code that is not read.
    #[error("code {} {because}", shown(text))]
    Code {
        /// The code as given.
        text: String,
        /// Why, and what to type.
        because: &'static str,
    },
    /// A type that there is not.
    #[error(
        "'{}' is no type of life: type 1 is never extended, type 2 is after a test",
        shown(text)
    )]
    Type {
        /// The text as given.
        text: String,
    },
    /// A family whose name is none.
    #[error("'{}' is no name of a family: type one word, such as family NBR", shown(text))]
    Family {
        /// The text as given.
        text: String,
    },
}

impl LifeType {
    /// As it is written.
    pub fn word(self) -> &'static str {
        match self {
            LifeType::One => "type 1",
            LifeType::Two => "type 2",
        }
    }
}

impl ShelfLife {
    /// Reads `24 months`, `24 months type 2`, `family NBR` or `family NBR type 1`.
    pub fn parse(text: &str) -> Result<ShelfLife, ShelfLifeFault> {
        if let Some(code) = text.strip_prefix("code ") {
            return coded(code);
        }
        let (length, life_type) = match text.split_once(" type ") {
            None => (text, None),
            Some((length, "1" | "I")) => (length, Some(LifeType::One)),
            Some((length, "2" | "II")) => (length, Some(LifeType::Two)),
            Some((_, other)) => {
                return Err(ShelfLifeFault::Type {
                    text: other.to_owned(),
                });
            }
        };
        let length = match length.strip_prefix("family ") {
            Some(name) if is_family(name) => Length::Family(name.to_owned()),
            Some(name) => {
                return Err(ShelfLifeFault::Family {
                    text: name.to_owned(),
                });
            }
            None => Life::parse(length)
                .map(Length::Own)
                .map_err(|fault| ShelfLifeFault::Length(fault.to_string()))?,
        };
        Ok(ShelfLife { length, life_type })
    }

    /// The family whose rule says how long, where one does.
    pub fn family(&self) -> Option<&str> {
        match &self.length {
            Length::Own(_) => None,
            Length::Family(family) => Some(family),
        }
    }
}

/// The codes of labels whose life and type were seen in 41 CFR 101-27.205 and its public restatements.
const CODES: [(&str, u32, LifeType); 7] = [
    ("A", 1, LifeType::One),
    ("B", 2, LifeType::One),
    ("C", 3, LifeType::One),
    ("D", 4, LifeType::One),
    ("H", 12, LifeType::One),
    ("M", 24, LifeType::One),
    ("1", 3, LifeType::Two),
];

/// What a code of a label stands for; of the others none is guessed.
fn coded(code: &str) -> Result<ShelfLife, ShelfLifeFault> {
    let refused = |because| ShelfLifeFault::Code {
        text: code.to_owned(),
        because,
    };
    match code {
        "0" => return Err(refused("is of what does not deteriorate: leave the life blank")),
        "X" => {
            return Err(refused(
                "is of type 2 and longer than 60 months: type the length, such as 72 months type 2",
            ));
        }
        _ => {}
    }
    let known = CODES.iter().find(|(known, _, _)| *known == code);
    let (_, months, life_type) = known.ok_or_else(|| {
        refused("is not known here: type the length and type behind it, such as 18 months type 1")
    })?;
    Ok(ShelfLife {
        length: Length::Own(Life::Months(*months)),
        life_type: Some(*life_type),
    })
}

/// Whether a text can name a family: one word of at most twenty letters, figures and hyphens.
pub fn is_family(text: &str) -> bool {
    (1..=20).contains(&text.len())
        && text
            .bytes()
            .all(|byte| byte.is_ascii_alphanumeric() || byte == b'-')
}

impl fmt::Display for ShelfLife {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.length {
            Length::Own(life) => write!(f, "{life}")?,
            Length::Family(family) => write!(f, "family {family}")?,
        }
        self.life_type
            .map_or(Ok(()), |life_type| write!(f, " {}", life_type.word()))
    }
}
