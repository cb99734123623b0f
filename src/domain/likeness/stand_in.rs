//! Parts that may stand in for others: in which direction, where, from when until when, and by whose authority.

use crate::domain::likeness::fault::LikenessFault;
use crate::domain::measure::scale::SCALES;
use crate::domain::measure::typed::typed_size;
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::ids::PartId;
use std::fmt;

/// In which direction one part may stand in for another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Manner {
    /// Either for the other.
    TwoWay,
    /// The new for the old, never the old for the new.
    OneWay,
    /// The new for the old, and the old for the new as long as there is some.
    UseUp,
    /// The other for the part, within bounds; never the part for the other.
    Substitute,
}

/// Every manner.
pub const MANNERS: [Manner; 4] = [Manner::TwoWay, Manner::OneWay, Manner::UseUp, Manner::Substitute];

impl Manner {
    /// The word for it in files and books.
    pub fn word(self) -> &'static str {
        match self {
            Manner::TwoWay => "two-way",
            Manner::OneWay => "one-way",
            Manner::UseUp => "use-up",
            Manner::Substitute => "substitute",
        }
    }

    /// The manner of this word.
    pub fn from_word(word: &str) -> Option<Manner> {
        MANNERS.into_iter().find(|manner| manner.word() == word)
    }
}

/// Where only a part may stand in, and what a bolt or stud must keep to.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Bounds {
    /// The conversions; none means every one.
    pub conversions: Vec<String>,
    /// The engine models; none means every one.
    pub engines: Vec<String>,
    /// What it goes through before its thread begins to hold, in mm.
    pub stack_mm: Option<Qty>,
    /// How deep the thread of the blind hole is, in mm.
    pub hole_mm: Option<Qty>,
    /// How much of its thread must hold at least, in mm.
    pub engagement_mm: Option<Qty>,
}

/// What a text of bounds may name.
const KNOWN: &str = "conversion, engine, stack, hole, engagement";

impl Bounds {
    /// Reads `conversion=TC-W TC-L; engine=W28; stack=20mm; hole=18mm; engagement=8mm`, in any order.
    pub fn parse(text: &str) -> Result<Bounds, String> {
        let mut bounds = Bounds::default();
        for bound in text.split(';').map(str::trim).filter(|bound| !bound.is_empty()) {
            let (name, value) = bound
                .split_once('=')
                .ok_or_else(|| format!("says {bound}, and a bound is NAME=VALUE with {KNOWN}"))?;
            let (name, value) = (name.trim(), value.trim());
            match name {
                "conversion" => bounds.conversions = words(value),
                "engine" => bounds.engines = words(value),
                "stack" => bounds.stack_mm = Some(millimetres(name, value)?),
                "hole" => bounds.hole_mm = Some(millimetres(name, value)?),
                "engagement" => bounds.engagement_mm = Some(millimetres(name, value)?),
                _ => return Err(format!("names {name}, and what may be named is {KNOWN}")),
            }
        }
        let measured = bounds.hole_mm.is_some() || bounds.engagement_mm.is_some();
        if measured != bounds.stack_mm.is_some() {
            return Err(
                "needs the stack with the hole or the engagement, and none without the other".to_owned(),
            );
        }
        Ok(bounds)
    }
}

fn words(value: &str) -> Vec<String> {
    value.split_whitespace().map(str::to_owned).collect()
}

/// A length with its unit, in mm.
fn millimetres(name: &str, value: &str) -> Result<Qty, String> {
    if !value.contains(char::is_alphabetic) {
        return Err(format!("gives {name} without its unit, such as 18mm"));
    }
    let scale = SCALES.iter().find(|scale| scale.symbol == "mm");
    let scale = scale.ok_or_else(|| "cannot be measured".to_owned())?;
    let read = typed_size(value, scale).map_err(|fault| format!("gives {name}: {fault}"))?;
    match read.qty.is_negative() {
        true => Err(format!("gives {name} below nought")),
        false => Ok(read.qty),
    }
}

impl fmt::Display for Bounds {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut told = Vec::new();
        for (name, named) in [("conversion", &self.conversions), ("engine", &self.engines)] {
            if !named.is_empty() {
                told.push(format!("{name}={}", named.join(" ")));
            }
        }
        for (name, length_mm) in [
            ("stack", self.stack_mm),
            ("hole", self.hole_mm),
            ("engagement", self.engagement_mm),
        ] {
            told.extend(length_mm.map(|length_mm| format!("{name}={length_mm}mm")));
        }
        write!(f, "{}", told.join("; "))
    }
}

/// A record that one part may stand in for another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StandIn {
    /// The part that is wanted; of two issues the older.
    pub part: PartId,
    /// The part that may stand in for it; of two issues the newer.
    pub other: PartId,
    /// In which direction.
    pub manner: Manner,
    /// Where only.
    pub bounds: Bounds,
    /// Who says so.
    pub authority: String,
    /// The first day on which it holds.
    pub from: Option<Day>,
    /// The last day on which it holds.
    pub until: Option<Day>,
}

/// What a part that stands in is to be used for.
#[derive(Clone, Copy, Debug)]
pub struct Purpose<'a> {
    /// The number of the part that is wanted.
    pub wanted: &'a str,
    /// The number of the part that is given.
    pub given: &'a str,
    /// The length of the part that is given, in mm, where it has one on record.
    pub length_mm: Option<Qty>,
    /// The conversion.
    pub conversion: &'a str,
    /// The engine model.
    pub engine: &'a str,
    /// The day on which it is used.
    pub day: Day,
}

impl StandIn {
    /// Whether the direction allows one part for another.
    pub fn allows(&self, wanted: PartId, given: PartId) -> bool {
        let back = matches!(self.manner, Manner::TwoWay | Manner::UseUp);
        (wanted, given) == (self.part, self.other) || (back && (wanted, given) == (self.other, self.part))
    }

    /// Whether it holds on a day.
    pub fn holds_on(&self, day: Day) -> bool {
        self.from.is_none_or(|from| from <= day) && self.until.is_none_or(|until| day <= until)
    }

    /// How, by whose authority, on which days and within which bounds: `one-way by CO-7, until 2027-06-30`.
    pub fn told(&self) -> String {
        let mut told = format!("{} by {}", self.manner.word(), self.authority);
        if let Some(from) = self.from {
            told.push_str(&format!(", from {from}"));
        }
        if let Some(until) = self.until {
            told.push_str(&format!(", until {until}"));
        }
        let bounds = self.bounds.to_string();
        if !bounds.is_empty() {
            told.push_str(&format!(", only {bounds}"));
        }
        told
    }

    /// Refuses a part that may not stand in: by direction, day, conversion or engine, or because it would bottom or
    /// hold by too little.
    pub fn judge(&self, wanted: PartId, given: PartId, purpose: Purpose<'_>) -> Result<(), LikenessFault> {
        let refused = |because: String| LikenessFault::NotInstead {
            wanted: purpose.wanted.to_owned(),
            given: purpose.given.to_owned(),
            because,
        };
        if !self.allows(wanted, given) {
            return Err(LikenessFault::WrongWay {
                wanted: purpose.wanted.to_owned(),
                given: purpose.given.to_owned(),
                manner: self.manner.word(),
                authority: self.authority.clone(),
            });
        }
        if !self.holds_on(purpose.day) {
            return Err(refused(format!(
                "it does not hold on {}: {}",
                purpose.day,
                self.told()
            )));
        }
        for (what, is, only) in [
            ("the conversion", purpose.conversion, &self.bounds.conversions),
            ("the engine", purpose.engine, &self.bounds.engines),
        ] {
            if !only.is_empty() && !only.iter().any(|one| one == is) {
                let only = only.join(" ");
                return Err(refused(format!(
                    "{what} is {is}, and {} allows {only}",
                    self.authority
                )));
            }
        }
        self.judge_thread(purpose)
    }

    /// What goes through the stack must neither bottom in the hole nor hold by too little.
    fn judge_thread(&self, purpose: Purpose<'_>) -> Result<(), LikenessFault> {
        let Some(stack_mm) = self.bounds.stack_mm else {
            return Ok(());
        };
        let Some(length_mm) = purpose.length_mm else {
            return Err(LikenessFault::NotInstead {
                wanted: purpose.wanted.to_owned(),
                given: purpose.given.to_owned(),
                because: "it has no length on record, and the thread cannot be judged".to_owned(),
            });
        };
        let inside_mm = length_mm - stack_mm;
        let sum = format!("{length_mm} - {stack_mm} = {inside_mm} mm of it in the hole");
        let misfit = |because: String| LikenessFault::Misfit {
            wanted: purpose.wanted.to_owned(),
            given: purpose.given.to_owned(),
            because,
        };
        match (self.bounds.hole_mm, self.bounds.engagement_mm) {
            (Some(hole_mm), _) if inside_mm > hole_mm => {
                let over_mm = inside_mm - hole_mm;
                Err(misfit(format!(
                    "{sum}, {hole_mm} mm deep: it bottoms {over_mm} mm before it clamps"
                )))
            }
            (_, Some(least_mm)) if inside_mm < least_mm => {
                Err(misfit(format!("{sum}, and {least_mm} mm must hold at least")))
            }
            _ => Ok(()),
        }
    }
}
