//! The shop's own table of lives by family: shop data with source and issue, never built in, since published tables
//! disagree.

use super::fault::KeepingFault;
use super::shelf_life::{Length, ShelfLife};
use crate::domain::measure::printed::{Made, end_of_life};
use crate::domain::measure::{Day, Life};

/// What the table says of a family from a day on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LifeRule {
    /// How many months it lasts; none where it has no limit.
    pub months: Option<u32>,
    /// The document that says so.
    pub source: String,
    /// Which issue of it.
    pub issue: String,
    /// The first day on which it holds.
    pub from_day: Day,
}

/// How long goods last that come on some day, its rule looked up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Lasts {
    /// So long, as the part's own record says.
    Own(Life),
    /// As the rule of its family says that holds on the day; none where none does.
    Family(String, Option<LifeRule>),
}

/// The rule that holds on a day: the latest that has begun.
pub fn valid_on(rules: &[LifeRule], day: Day) -> Option<&LifeRule> {
    let begun = rules.iter().filter(|rule| rule.from_day <= day);
    begun.max_by_key(|rule| rule.from_day)
}

impl LifeRule {
    /// Who says so: `ARP-1 issue B`.
    pub fn authority(&self) -> String {
        format!("{} issue {}", self.source, self.issue)
    }

    /// How long, in years where it is whole years: `15 years`, `no limit`.
    pub fn length(&self) -> String {
        match self.months {
            None => "no limit".to_owned(),
            Some(12) => "1 year".to_owned(),
            Some(months) if months % 12 == 0 => format!("{} years", months / 12),
            Some(months) => Life::Months(months).to_string(),
        }
    }

    /// What a lot without a last day bears: `no limit by ARP-1 issue B`; nothing where there is a limit.
    pub fn without_limit(&self) -> Option<String> {
        self.months
            .is_none()
            .then(|| format!("no limit by {}", self.authority()))
    }
}

impl Lasts {
    /// How long a part lasts, with the rule of its family that holds on a day.
    pub fn on(life: &ShelfLife, rules: &[LifeRule], day: Day) -> Lasts {
        match &life.length {
            Length::Own(own) => Lasts::Own(*own),
            Length::Family(family) => Lasts::Family(family.clone(), valid_on(rules, day).cloned()),
        }
    }

    /// How long; none where there is no limit, or no rule.
    pub fn length(&self) -> Option<Life> {
        match self {
            Lasts::Own(life) => Some(*life),
            Lasts::Family(_, rule) => rule.as_ref()?.months.map(Life::Months),
        }
    }

    /// What lasts without a limit, and how that is known; nothing where there is one.
    pub fn without_limit(&self) -> Option<String> {
        match self {
            Lasts::Family(_, Some(rule)) => rule.without_limit(),
            _ => None,
        }
    }

    /// In words: `12 months`, `15 years by NBR, ARP-1 issue B`.
    pub fn told(&self) -> String {
        match self {
            Lasts::Own(life) => life.to_string(),
            Lasts::Family(family, None) => format!("by family {family}"),
            Lasts::Family(family, Some(rule)) => {
                format!("{} by {family}, {}", rule.length(), rule.authority())
            }
        }
    }

    /// The last good day of goods made then, and how it was worked out; no day where there is no limit.
    pub fn end_of(&self, part: &str, made: &Made) -> Result<(Option<Day>, String), KeepingFault> {
        let past = || KeepingFault::PastCalendar {
            part: part.to_owned(),
            life: self.told(),
            made: made.text.clone(),
        };
        let (family, rule) = match self {
            Lasts::Own(life) => {
                let (last, how) = made.end_of(*life).ok_or_else(past)?;
                return Ok((Some(last), how));
            }
            Lasts::Family(family, rule) => (family, rule),
        };
        let rule = rule.as_ref().ok_or_else(|| KeepingFault::NoRule {
            part: part.to_owned(),
            family: family.clone(),
        })?;
        let Some(months) = rule.months else {
            return Ok((None, format!("no limit by {}", rule.authority())));
        };
        let last = end_of_life(&made.says, Life::Months(months)).ok_or_else(past)?;
        let how = format!(
            "{family} {} from {}, {}",
            rule.length(),
            made.text,
            rule.authority()
        );
        Ok((Some(last), how))
    }
}
