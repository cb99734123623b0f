//! A bill of materials: what a conversion needs, and the choices it leaves open.

use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{BillId, PartId};
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use std::fmt;

/// What a line of a bill is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineKind {
    /// A part that goes on.
    Part,
    /// A part that comes off.
    TakeOff,
    /// Hours.
    Labour,
    /// A note beside the work.
    Note,
}

impl LineKind {
    /// The kind behind a word of the books.
    pub fn from_word(word: &str) -> Option<LineKind> {
        [
            (LineKind::Part, "part"),
            (LineKind::TakeOff, "take-off"),
            (LineKind::Labour, "labour"),
            (LineKind::Note, "note"),
        ]
        .into_iter()
        .find(|(_, known)| *known == word)
        .map(|(kind, _)| kind)
    }
}

/// What a line's quantity is multiplied by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Per {
    /// Once.
    Engine,
    /// Once for each cylinder of the model.
    Cylinder,
    /// Once for each carburettor of the model.
    Carburettor,
}

impl Per {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Per::Engine => "engine",
            Per::Cylinder => "cylinder",
            Per::Carburettor => "carburettor",
        }
    }

    /// The size of an engine model that counts it, if it is counted.
    pub fn counted_by(self) -> Option<&'static str> {
        match self {
            Per::Engine => None,
            Per::Cylinder => Some("cylinders"),
            Per::Carburettor => Some("carburettors"),
        }
    }

    /// What a word of the books means.
    pub fn from_word(word: &str) -> Option<Per> {
        [Per::Engine, Per::Cylinder, Per::Carburettor]
            .into_iter()
            .find(|per| per.word() == word)
    }
}

/// One line of a bill.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BillLine {
    /// Its number on the bill.
    pub n: i64,
    /// What it is.
    pub kind: LineKind,
    /// Which part, where it is one.
    pub part: Option<PartId>,
    /// How much of it, in the part's unit; hours for labour.
    pub qty: Decimal,
    /// For each of what.
    pub per: Per,
    /// The choice it hangs on: group and choice; common lines hang on none.
    pub choice: Option<(String, String)>,
    /// What is said beside it.
    pub text: Option<String>,
}

/// A bill of materials in one revision.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bill {
    /// Under which number the books keep it.
    pub id: BillId,
    /// The conversion.
    pub part: PartId,
    /// The conversion's part number.
    pub number: String,
    /// The conversion's name.
    pub name: String,
    /// Which revision.
    pub revision: String,
    /// The engine models it fits.
    pub fits: Vec<String>,
    /// Where its data come from; that source rules.
    pub data_source: String,
    /// Its lines, in order.
    pub lines: Vec<BillLine>,
}

/// Exactly one choice of each group.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Choices(BTreeMap<String, String>);

impl fmt::Display for Choices {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let pairs: Vec<String> = self
            .0
            .iter()
            .map(|(group, choice)| format!("{group}={choice}"))
            .collect();
        f.pad(&pairs.join(" "))
    }
}

impl Choices {
    /// Whether a line that hangs on this choice belongs to the kit.
    pub fn take(&self, line: &BillLine) -> bool {
        line.choice
            .as_ref()
            .is_none_or(|(group, choice)| self.0.get(group) == Some(choice))
    }
}

/// `group=choice` taken apart.
pub fn pair(text: &str) -> Option<(String, String)> {
    let (group, choice) = text.split_once('=')?;
    (!group.is_empty() && !choice.is_empty()).then(|| (group.to_owned(), choice.to_owned()))
}

impl Bill {
    /// The groups of choices, each with what may be chosen, in the order of the bill.
    pub fn groups(&self) -> Vec<(String, Vec<String>)> {
        let mut groups: Vec<(String, Vec<String>)> = Vec::new();
        for (group, choice) in self.lines.iter().filter_map(|line| line.choice.clone()) {
            match groups.iter_mut().find(|(known, _)| *known == group) {
                Some((_, choices)) if choices.contains(&choice) => {}
                Some((_, choices)) => choices.push(choice),
                None => groups.push((group, vec![choice])),
            }
        }
        groups
    }

    /// Exactly one choice of each group, as asked for; a missing, doubled or unknown one is refused.
    pub fn choose(&self, asked: &[(String, String)]) -> Result<Choices, Refusal> {
        let groups = self.groups();
        let mut chosen: BTreeMap<String, String> = BTreeMap::new();
        for (group, choice) in asked {
            let known = groups
                .iter()
                .any(|(g, choices)| g == group && choices.contains(choice));
            if !known {
                let all = groups
                    .iter()
                    .flat_map(|(g, choices)| choices.iter().map(move |c| format!("{g}={c}")));
                return Err(Refusal::ChoiceUnknown {
                    asked: format!("{group}={choice}"),
                    known: all.collect(),
                });
            }
            if let Some(first) = chosen.insert(group.clone(), choice.clone()) {
                return Err(Refusal::ChoiceDoubled {
                    group: group.clone(),
                    first,
                    second: choice.clone(),
                });
            }
        }
        match groups.into_iter().find(|(group, _)| !chosen.contains_key(group)) {
            Some((group, choices)) => Err(Refusal::ChoiceMissing { group, choices }),
            None => Ok(Choices(chosen)),
        }
    }

    /// Every way to choose, in the order of the bill.
    pub fn ways(&self) -> Vec<Choices> {
        let mut ways = vec![Choices::default()];
        for (group, choices) in self.groups() {
            ways = ways
                .iter()
                .flat_map(|way| {
                    choices.iter().map(|choice| {
                        let mut more = way.clone();
                        more.0.insert(group.clone(), choice.clone());
                        more
                    })
                })
                .collect();
        }
        ways
    }
}
