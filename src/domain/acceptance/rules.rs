//! What a class of part asks for at acceptance: papers, what must be known of it, what is looked at, life left.
//!
//! Built in are the usual minimum for each class (Part-145 145.A.42 and its acceptable means of compliance: a release
//! certificate for components; conformity to the standard for standard parts; for materials a conformity statement with
//! the maker's and the supplier's source). A shop's own rules replace them one by one.

use crate::domain::acceptance::certificate::{PAPER_KINDS, PaperKind};
use crate::domain::measure::Qty;

/// Something that is looked at when goods are inspected.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Point {
    /// The package is whole, and right for what is in it.
    Package,
    /// The goods are not damaged.
    Damage,
    /// They were counted.
    Count,
    /// Part number and maker's mark are as ordered.
    Marking,
    /// The paper is of these goods: lot, serial and issue.
    Paper,
    /// Enough of its life on the shelf is left.
    Life,
}

/// Every point of the list, in its order.
pub const POINTS: [Point; 6] = [
    Point::Package,
    Point::Damage,
    Point::Count,
    Point::Marking,
    Point::Paper,
    Point::Life,
];

impl Point {
    /// The word on the list.
    pub fn word(self) -> &'static str {
        match self {
            Point::Package => "package",
            Point::Damage => "damage",
            Point::Count => "count",
            Point::Marking => "marking",
            Point::Paper => "paper",
            Point::Life => "life",
        }
    }

    /// What is looked at.
    pub fn asks(self) -> &'static str {
        match self {
            Point::Package => "whole, and right for what is in it",
            Point::Damage => "none seen",
            Point::Count => "counted",
            Point::Marking => "part number and maker's mark are as ordered",
            Point::Paper => "is of these goods: lot or serial, and issue",
            Point::Life => "enough is left",
        }
    }

    /// The point behind its word.
    pub fn from_word(word: &str) -> Option<Point> {
        POINTS.into_iter().find(|point| point.word() == word)
    }
}

/// What must be known of where a lot came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Known {
    /// Who made it.
    Maker,
    /// Which supplier it came from.
    Supplier,
    /// The maker's batch.
    Batch,
}

const KNOWN: [(Known, &str); 3] = [
    (Known::Maker, "maker"),
    (Known::Supplier, "supplier"),
    (Known::Batch, "batch"),
];

impl Known {
    /// Its word.
    pub fn word(self) -> &'static str {
        KNOWN
            .iter()
            .find(|(of, _)| *of == self)
            .map_or("", |(_, word)| word)
    }
}

/// The rules that a class may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RuleName {
    /// Which papers will do, `or` between them.
    Papers,
    /// What must be known of where it came from.
    Source,
    /// What is looked at.
    Checks,
    /// The least share of its life that must be left when it comes, in percent.
    LeastLife,
}

/// Every rule.
pub const RULE_NAMES: [RuleName; 4] = [
    RuleName::Papers,
    RuleName::Source,
    RuleName::Checks,
    RuleName::LeastLife,
];

impl RuleName {
    /// The word that stands in the books and in files.
    pub fn word(self) -> &'static str {
        match self {
            RuleName::Papers => "papers",
            RuleName::Source => "source",
            RuleName::Checks => "checks",
            RuleName::LeastLife => "least life",
        }
    }

    /// The rule behind its word.
    pub fn from_word(word: &str) -> Option<RuleName> {
        RULE_NAMES.into_iter().find(|name| name.word() == word)
    }
}

/// What a class asks for.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct ClassRules {
    /// Any one of these papers will do; none is asked for where there is none.
    pub papers: Vec<PaperKind>,
    /// What must be known of where it came from.
    pub source: Vec<Known>,
    /// What is looked at.
    pub checks: Vec<Point>,
    /// The least share of its life that must be left when it comes, in percent.
    pub least_life_percent: Option<Qty>,
}

/// The classes of part that come in as goods.
pub const CLASSES: [&str; 5] = ["component", "standard part", "material", "tool", "core"];

/// What stands where a rule asks for nothing.
const NONE: &str = "none";

impl ClassRules {
    /// What is built in for a class.
    pub fn usual(class: &str) -> ClassRules {
        use Point::{Count, Damage, Life, Marking, Package, Paper};
        let goods = vec![Package, Damage, Count, Marking, Paper];
        match class {
            "component" => ClassRules {
                papers: vec![PaperKind::Release],
                checks: goods,
                ..ClassRules::default()
            },
            "standard part" => ClassRules {
                papers: vec![PaperKind::Conformity],
                checks: goods,
                ..ClassRules::default()
            },
            "material" => ClassRules {
                papers: vec![PaperKind::Conformity],
                source: vec![Known::Maker, Known::Supplier, Known::Batch],
                checks: [goods, vec![Life]].concat(),
                ..ClassRules::default()
            },
            _ => ClassRules::default(),
        }
    }

    /// Replaces one rule; the fault says what may stand there.
    pub fn set(&mut self, name: RuleName, text: &str) -> Result<(), String> {
        let text = text.trim();
        match name {
            RuleName::Papers => {
                self.papers = listed(
                    text.split(" or "),
                    PaperKind::from_word,
                    &PAPER_KINDS.map(PaperKind::word),
                )?;
            }
            RuleName::Source => {
                let from_word =
                    |word: &str| KNOWN.iter().find(|(_, known)| *known == word).map(|(of, _)| *of);
                self.source = listed(words(text), from_word, &KNOWN.map(|(_, word)| word))?;
            }
            RuleName::Checks => {
                self.checks = listed(words(text), Point::from_word, &POINTS.map(Point::word))?;
            }
            RuleName::LeastLife => self.least_life_percent = percent(text)?,
        }
        Ok(())
    }

    /// One rule as it is written in the books.
    pub fn text(&self, name: RuleName) -> String {
        let words: Vec<&str> = match name {
            RuleName::Papers => self.papers.iter().map(|kind| kind.word()).collect(),
            RuleName::Source => self.source.iter().map(|known| known.word()).collect(),
            RuleName::Checks => self.checks.iter().map(|point| point.word()).collect(),
            RuleName::LeastLife => {
                let least = self.least_life_percent.map(|least| least.to_string());
                return least.unwrap_or_else(|| NONE.to_owned());
            }
        };
        let between = if name == RuleName::Papers { " or " } else { " " };
        if words.is_empty() {
            NONE.to_owned()
        } else {
            words.join(between)
        }
    }
}

/// Words with blanks or commas between them.
fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split([' ', ',']).filter(|word| !word.is_empty())
}

/// Every word turned into what it means; `none` alone is an empty list.
fn listed<'a, T>(
    found: impl Iterator<Item = &'a str>,
    from_word: impl Fn(&str) -> Option<T>,
    known: &[&str],
) -> Result<Vec<T>, String> {
    let found: Vec<&str> = found.map(str::trim).collect();
    if found == [NONE] {
        return Ok(Vec::new());
    }
    if found.iter().all(|word| word.is_empty()) {
        return Err(format!(
            "says nothing; it may hold {}, or {NONE}",
            known.join(", ")
        ));
    }
    let read = |word: &str| {
        from_word(word).ok_or_else(|| format!("holds {word}; it may hold {}, or {NONE}", known.join(", ")))
    };
    found.into_iter().map(read).collect()
}

/// A share in percent, from 0 to 100.
fn percent(text: &str) -> Result<Option<Qty>, String> {
    if text == NONE {
        return Ok(None);
    }
    let bare = text.trim_end_matches('%').trim_end();
    match Qty::parse(bare) {
        Ok(share) if !share.is_negative() && share <= Qty::whole(100) => Ok(Some(share)),
        _ => Err(format!("is no share from 0 to 100 percent, nor {NONE}")),
    }
}
