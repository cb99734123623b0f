//! The rows about what classes of part ask for at acceptance, what classes of counting ask for in a count, and how
//! long families of material last.

use super::cells::Cells;
use super::rows::Row;
use super::words::PartClass;
use crate::domain::acceptance::rules::{ClassRules, RULE_NAMES, RuleName};
use crate::domain::keeping::shelf_life::is_family;
use crate::domain::measure::{Day, Qty};

/// The names of the rules of counting, with what may stand there.
const OF_COUNTING: [(&str, &str); 2] = [
    ("count days", "a whole number of days above nought"),
    ("count tolerance", "a share from 0 to 100 percent"),
];

/// One rule of a class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RuleRow {
    /// The class of part, or `A`, `B` or `C` of counting.
    pub class: String,
    /// Which rule.
    pub name: String,
    /// What it asks for, as the books write it.
    pub text: String,
}

impl Row for RuleRow {
    const HEADINGS: &'static [&'static str] = &["class", "name", "text"];
    const KEY: &'static [&'static str] = &["class", "name"];

    fn read(cells: &mut Cells) -> Option<RuleRow> {
        let (class, name, text) = (cells.text("class"), cells.text("name"), cells.text("text"));
        let (class, name, text) = (class?, name?, text?);
        let text = match OF_COUNTING.iter().find(|(known, _)| *known == name) {
            Some((_, wanted)) => counting(cells, &class, (&name, wanted), text)?,
            None => acceptance(cells, &name, &text)?,
        };
        Some(RuleRow { class, name, text })
    }

    fn cells(&self) -> Vec<String> {
        vec![self.class.clone(), self.name.clone(), self.text.clone()]
    }
}

/// A rule of acceptance, of a class of part.
fn acceptance(cells: &mut Cells, name: &str, text: &str) -> Option<String> {
    cells.word::<PartClass>("class")?;
    let Some(name) = RuleName::from_word(name) else {
        let known = RULE_NAMES.iter().map(|name| name.word());
        let known: Vec<&str> = known.chain(OF_COUNTING.map(|(name, _)| name)).collect();
        cells.fault(
            "name",
            "is no rule",
            format!("the rules are {}", known.join(", ")),
        );
        return None;
    };
    let mut rules = ClassRules::default();
    match rules.set(name, text) {
        Ok(()) => Some(rules.text(name)),
        Err(because) => {
            cells.fault("text", because, "");
            None
        }
    }
}

/// A rule of counting, of one of its three classes.
fn counting(cells: &mut Cells, class: &str, (name, wanted): (&str, &str), text: String) -> Option<String> {
    if !matches!(class, "A" | "B" | "C") {
        cells.fault("class", "is no class of counting", "the classes are A, B and C");
        return None;
    }
    let good = match name {
        "count days" => text.parse::<i64>().is_ok_and(|days| days > 0),
        _ => Qty::parse(&text).is_ok_and(|share| !share.is_negative() && share <= Qty::whole(100)),
    };
    if !good {
        cells.fault("text", format!("is not {wanted}"), "");
        return None;
    }
    Some(text)
}

/// What the shop's table says of a family of elastomers or another material, from a day on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LifeRow {
    /// The family: `NBR`.
    pub family: String,
    /// How many months it lasts; none where the table says that it has no limit.
    pub months: Option<u32>,
    /// The document that says so.
    pub source: String,
    /// Which issue of it.
    pub issue: String,
    /// The first day on which it holds.
    pub from_day: Day,
}

/// The longest life there is, a hundred years.
const MOST_MONTHS: u32 = 1200;

/// What stands for a life without end; a blank cell would be too easily forgotten.
const NO_LIMIT: &str = "no limit";

impl Row for LifeRow {
    const HEADINGS: &'static [&'static str] = &["family", "months", "source", "issue", "from_day"];
    const KEY: &'static [&'static str] = &["family", "from_day"];

    fn read(cells: &mut Cells) -> Option<LifeRow> {
        let (family, months) = (family(cells), months(cells));
        let (source, issue, from_day) = (cells.text("source"), cells.text("issue"), cells.day("from_day"));
        Some(LifeRow {
            family: family?,
            months: months?,
            source: source?,
            issue: issue?,
            from_day: from_day?,
        })
    }

    fn cells(&self) -> Vec<String> {
        let months = self
            .months
            .map_or(NO_LIMIT.to_owned(), |months| months.to_string());
        vec![
            self.family.clone(),
            months,
            self.source.clone(),
            self.issue.clone(),
            self.from_day.to_string(),
        ]
    }
}

/// A family as parts name it.
fn family(cells: &mut Cells) -> Option<String> {
    let family = cells.text("family")?;
    if !is_family(&family) {
        cells.fault("family", "is no name of a family", "type one word, such as NBR");
        return None;
    }
    Some(family)
}

/// A whole number of months, or that there is no limit.
fn months(cells: &mut Cells) -> Option<Option<u32>> {
    let text = cells.text("months")?;
    if text == NO_LIMIT {
        return Some(None);
    }
    let months = text
        .parse()
        .ok()
        .filter(|months| (1..=MOST_MONTHS).contains(months));
    if months.is_none() {
        let reason = format!("is no whole number of months from 1 to {MOST_MONTHS}");
        cells.fault("months", reason, "type 180 for 15 years, or no limit");
    }
    months.map(Some)
}
