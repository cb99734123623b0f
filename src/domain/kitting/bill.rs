//! A bill of materials: what a conversion needs, and the choices it leaves open.

use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{BillId, PartId};
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};
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
    /// Once for each joint of the model.
    Joint,
    /// Once for each assembly that the bill is of; the only one that a sub-assembly's bill counts by.
    Assembly,
}

impl Per {
    /// Every one of them.
    pub const ALL: [Per; 5] = [
        Per::Engine,
        Per::Cylinder,
        Per::Carburettor,
        Per::Joint,
        Per::Assembly,
    ];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Per::Engine => "engine",
            Per::Cylinder => "cylinder",
            Per::Carburettor => "carburettor",
            Per::Joint => "joint",
            Per::Assembly => "assembly",
        }
    }

    /// The size of an engine model that counts it, if it is counted.
    pub fn counted_by(self) -> Option<&'static str> {
        match self {
            Per::Engine | Per::Assembly => None,
            Per::Cylinder => Some("cylinders"),
            Per::Carburettor => Some("carburettors"),
            Per::Joint => Some("joints"),
        }
    }

    /// What a word of the books means.
    pub fn from_word(word: &str) -> Option<Per> {
        Per::ALL.into_iter().find(|per| per.word() == word)
    }
}

/// One line of a bill.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BillLine {
    /// Its number on the bill.
    pub n: i64,
    /// What it is.
    pub kind: LineKind,
    /// Which part, where it is one; the part that a note is about.
    pub part: Option<PartId>,
    /// How much of it, in the part's unit; hours for labour.
    pub qty: Decimal,
    /// For each of what.
    pub per: Per,
    /// What is added for waste, in percent of the quantity, before anything is rounded.
    pub waste_pct: Decimal,
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
    /// The bills of the sub-assemblies below it at any level, by the part that each is of; their own are empty.
    pub subs: BTreeMap<PartId, Bill>,
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

impl BillLine {
    /// The quantity with its waste: the waste is added to the quantity, not divided out of it.
    pub fn with_waste(&self) -> Decimal {
        self.qty + self.qty * self.waste_pct / Decimal::ONE_HUNDRED
    }
}

impl Bill {
    /// The bill itself and every one below it that lines taken by `takes` lead to, each once, from the top.
    pub fn reached(&self, takes: impl Fn(&BillLine) -> bool) -> Vec<&Bill> {
        let mut found = vec![self];
        let mut known = BTreeSet::from([self.part]);
        let mut next = 0;
        while let Some(bill) = found.get(next).copied() {
            next += 1;
            let goes_on = |line: &&BillLine| line.kind == LineKind::Part && takes(line);
            for part in bill.lines.iter().filter(goes_on).filter_map(|line| line.part) {
                found.extend(self.subs.get(&part).filter(|sub| known.insert(sub.part)));
            }
        }
        found
    }

    /// The parts that go on by its own lines, whatever is chosen.
    pub fn goes_on(&self) -> Vec<PartId> {
        let goes_on = self.lines.iter().filter(|line| line.kind == LineKind::Part);
        goes_on.filter_map(|line| line.part).collect()
    }

    /// The groups of choices, each with what may be chosen, in the order of the bill and of those below it.
    pub fn groups(&self) -> Vec<(String, Vec<String>)> {
        groups_of(&self.reached(|_| true))
    }

    /// The groups that are open once these choices are made: nothing is asked of a sub-assembly left out.
    fn open_groups(&self, chosen: &Choices) -> Vec<(String, Vec<String>)> {
        groups_of(&self.reached(|line| chosen.take(line)))
    }

    /// Exactly one choice of each group, as asked for; a missing, doubled, unknown or idle one is refused.
    pub fn choose(&self, asked: &[(String, String)]) -> Result<Choices, Refusal> {
        let groups = self.groups();
        let mut chosen = Choices::default();
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
            if let Some(first) = chosen.0.insert(group.clone(), choice.clone()) {
                return Err(Refusal::ChoiceDoubled {
                    group: group.clone(),
                    first,
                    second: choice.clone(),
                });
            }
        }
        let open = self.open_groups(&chosen);
        if let Some((group, choices)) = open.iter().find(|(group, _)| !chosen.0.contains_key(group)) {
            return Err(Refusal::ChoiceMissing {
                group: group.clone(),
                choices: choices.clone(),
            });
        }
        match chosen
            .0
            .keys()
            .find(|group| open.iter().all(|(g, _)| g != *group))
        {
            Some(idle) => Err(Refusal::Impossible {
                what: format!("choice of {idle}"),
                because: "the other choices leave out what it hangs on".to_owned(),
            }),
            None => Ok(chosen),
        }
    }

    /// Every way to choose, in the order of the bill.
    pub fn ways(&self) -> Vec<Choices> {
        let mut whole = Vec::new();
        // The last is taken first, so that ways come out in the order of the bill.
        let mut begun = vec![Choices::default()];
        while let Some(way) = begun.pop() {
            let open = self.open_groups(&way);
            let Some((group, choices)) = open.into_iter().find(|(group, _)| !way.0.contains_key(group))
            else {
                whole.push(way);
                continue;
            };
            begun.extend(choices.into_iter().rev().map(|choice| {
                let mut more = way.clone();
                more.0.insert(group.clone(), choice);
                more
            }));
        }
        whole
    }
}

/// The groups of choices on some bills.
fn groups_of(bills: &[&Bill]) -> Vec<(String, Vec<String>)> {
    let mut groups: Vec<(String, Vec<String>)> = Vec::new();
    let lines = bills.iter().flat_map(|bill| &bill.lines);
    for (group, choice) in lines.filter_map(|line| line.choice.clone()) {
        match groups.iter_mut().find(|(known, _)| *known == group) {
            Some((_, choices)) if choices.contains(&choice) => {}
            Some((_, choices)) => choices.push(choice),
            None => groups.push((group, vec![choice])),
        }
    }
    groups
}
