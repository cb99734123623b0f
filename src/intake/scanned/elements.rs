//! The elements of a label of GS1: where each identifier and its value begin and end, and what may stand together.
//!
//! The identifiers, their lengths and what each needs beside it are those of the GS1 Application Identifier Syntax
//! Dictionary; what a stores never meets is left out and refused by name.

use super::SEPARATOR;
use super::meanings::{meaning, swallowed_in};
use super::own::own_of;
use crate::domain::measure::Day;
use crate::domain::measure::scan::{
    Element, MakersLabel, OWN_MARKS_MAX, Scan, ScanFault, Scanned, Swallowed, of_the_82,
};

/// How long a value is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Long {
    /// Always so many figures; no separator follows.
    Figures(usize),
    /// Up to so many figures.
    UpToFigures(usize),
    /// Up to so many characters of GS1's set of 82.
    UpToMarks(usize),
}

/// The identifiers read here and how long their values are; `310n` to `316n` are known by their first three figures.
const KNOWN: [(&str, Long); 15] = [
    ("00", Long::Figures(18)),
    ("01", Long::Figures(14)),
    ("02", Long::Figures(14)),
    ("10", Long::UpToMarks(20)),
    ("11", Long::Figures(6)),
    ("13", Long::Figures(6)),
    ("15", Long::Figures(6)),
    ("17", Long::Figures(6)),
    ("20", Long::Figures(2)),
    ("21", Long::UpToMarks(20)),
    ("30", Long::UpToFigures(8)),
    ("37", Long::UpToFigures(8)),
    ("240", Long::UpToMarks(30)),
    ("241", Long::UpToMarks(30)),
    ("251", Long::UpToMarks(30)),
];

/// An identifier's value as it stands on the label.
struct Raw<'t> {
    ai: &'t str,
    value: &'t str,
    long: Long,
    /// Where the identifier stands, in characters from 1.
    at: usize,
    /// Whether the value ends because a separator says so, or because the next identifier stands in brackets.
    closed: bool,
}

/// Reads labels of GS1.
#[derive(Clone, Copy, Debug)]
pub struct ByGs1 {
    /// How many characters of the scan stand before the data.
    pub before: usize,
    /// The day about which years of two figures lie.
    pub today: Day,
}

impl ByGs1 {
    /// Reads elements strung together as a symbol holds them.
    pub fn strung(&self, data: &str) -> Result<Scanned, ScanFault> {
        let mut raws = Vec::new();
        let mut rest = data.trim_start_matches(SEPARATOR);
        while !rest.is_empty() {
            let at = self.place(data, rest);
            let (ai, long) = identifier(rest).ok_or_else(|| unknown(rest, at))?;
            let after = rest.get(ai.len()..).unwrap_or_default();
            let field = after.split(SEPARATOR).next().unwrap_or_default();
            let value = match long {
                Long::Figures(length) => prefix(field, length),
                Long::UpToFigures(_) | Long::UpToMarks(_) => field,
            };
            rest = after.get(value.len()..).unwrap_or_default();
            let closed = rest.starts_with(SEPARATOR);
            rest = rest.strip_prefix(SEPARATOR).unwrap_or(rest);
            raws.push(Raw {
                ai,
                value,
                long,
                at,
                closed,
            });
        }
        self.label(&raws)
    }

    /// Reads the form that is printed for eyes, with identifiers in brackets.
    pub fn bracketed(&self, data: &str) -> Result<Scanned, ScanFault> {
        let mut raws = Vec::new();
        let mut rest = data.trim_start_matches(SEPARATOR);
        while !rest.is_empty() {
            let at = self.place(data, rest);
            let inside = rest.strip_prefix('(').and_then(|rest| rest.split_once(')'));
            let (named, after) = inside.ok_or_else(|| unknown(rest, at))?;
            let known = identifier(named).filter(|(ai, _)| *ai == named);
            let (ai, long) = known.ok_or_else(|| unknown(named, at))?;
            let value = prefix_before_bracket(after);
            rest = after.get(value.len()..).unwrap_or_default();
            let value = value.trim_end_matches(SEPARATOR);
            raws.push(Raw {
                ai,
                value,
                long,
                at,
                closed: true,
            });
        }
        self.label(&raws)
    }

    /// Where a rest of the data begins in the scan, in characters from 1.
    fn place(&self, data: &str, rest: &str) -> usize {
        self.before + data.chars().count() - rest.chars().count() + 1
    }

    /// The label that its elements make: ours, where there is nothing but one of our own identifiers.
    fn label(&self, raws: &[Raw<'_>]) -> Result<Scanned, ScanFault> {
        let mut label = MakersLabel::default();
        let mut swallowed: Option<Swallowed> = None;
        for raw in raws {
            fits(raw)?;
            let element = Element {
                ai: raw.ai.to_owned(),
                value: raw.value.to_owned(),
                meaning: meaning(raw.ai, raw.value, self.today)?,
            };
            let same = label.elements.iter().find(|other| other.ai == element.ai);
            match same {
                Some(same) if same.value == element.value => continue,
                Some(same) => {
                    return Err(ScanFault::Twice {
                        ai: element.ai,
                        first: same.value.clone(),
                        second: element.value,
                    });
                }
                None => {}
            }
            if !raw.closed && matches!(raw.long, Long::UpToMarks(_)) {
                swallowed = swallowed.or(swallowed_in(raw.ai, raw.value, self.today));
            }
            label.elements.push(element);
        }
        if let [only] = label.elements.as_slice()
            && only.ai.starts_with('9')
        {
            let scan = Scan::Own(own_of(&only.ai, &only.value)?);
            return Ok(Scanned {
                scan,
                swallowed: None,
            });
        }
        together(&label)?;
        Ok(Scanned {
            scan: Scan::Maker(label),
            swallowed,
        })
    }
}

/// The identifier that a text begins with, and how long its value is.
fn identifier(text: &str) -> Option<(&str, Long)> {
    if let Some((ai, long)) = KNOWN.iter().find(|(ai, _)| text.starts_with(ai)) {
        return Some((text.get(..ai.len())?, *long));
    }
    let measure = text.get(..4).filter(|ai| {
        let (kind, decimals) = (ai.get(..3).unwrap_or_default(), ai.chars().next_back());
        matches!(kind, "310" | "311" | "312" | "313" | "314" | "315" | "316")
            && decimals.is_some_and(|n| ('0'..='5').contains(&n))
    });
    if let Some(ai) = measure {
        return Some((ai, Long::Figures(6)));
    }
    let own = text.get(..2).filter(|ai| ("91"..="99").contains(ai))?;
    own.bytes()
        .all(|byte| byte.is_ascii_digit())
        .then_some((own, Long::UpToMarks(OWN_MARKS_MAX)))
}

fn unknown(rest: &str, at: usize) -> ScanFault {
    ScanFault::UnknownAi {
        shown: prefix(rest, 4).to_owned(),
        at,
    }
}

/// The first so many characters, or all where there are fewer.
fn prefix(text: &str, characters: usize) -> &str {
    let end = text
        .char_indices()
        .nth(characters)
        .map_or(text.len(), |(at, _)| at);
    text.get(..end).unwrap_or_default()
}

/// What stands before the next identifier in brackets.
fn prefix_before_bracket(text: &str) -> &str {
    let begins = |(at, _): &(usize, &str)| super::begins_bracketed(text.get(*at..).unwrap_or_default());
    let end = text
        .match_indices('(')
        .find(begins)
        .map_or(text.len(), |(at, _)| at);
    text.get(..end).unwrap_or_default()
}

/// A value has the length and the characters of its identifier.
fn fits(raw: &Raw<'_>) -> Result<(), ScanFault> {
    let length = raw.value.chars().count();
    let (good, wanted) = match raw.long {
        Long::Figures(wanted) => (length == wanted, format!("{wanted} figures")),
        Long::UpToFigures(most) => ((1..=most).contains(&length), format!("1 to {most} figures")),
        Long::UpToMarks(most) => ((1..=most).contains(&length), format!("1 to {most} characters")),
    };
    if !good {
        return Err(ScanFault::Length {
            ai: raw.ai.to_owned(),
            at: raw.at,
            wanted,
            found: length.to_string(),
        });
    }
    let (allowed, wanted): (fn(char) -> bool, _) = match raw.long {
        Long::Figures(_) | Long::UpToFigures(_) => (|mark| mark.is_ascii_digit(), "figures only"),
        Long::UpToMarks(_) => (of_the_82, "letters, figures and some signs, no blank"),
    };
    match raw.value.chars().find(|mark| !allowed(*mark)) {
        Some(mark) => Err(ScanFault::Character {
            ai: raw.ai.to_owned(),
            at: raw.at,
            wanted,
            mark,
        }),
        None => Ok(()),
    }
}

/// What may not stand together, and what needs another beside it.
fn together(label: &MakersLabel) -> Result<(), ScanFault> {
    let has = |ai: &str| label.text(ai).is_some();
    let pair = |ai: &str, other, instead| {
        Err(ScanFault::Pair {
            ai: ai.to_owned(),
            other,
            instead,
        })
    };
    if has("01") && has("37") {
        return pair(
            "37",
            "01",
            "(30) counts this article; (37) belongs with (02) and (00)",
        );
    }
    if has("01") && has("02") {
        return pair("02", "01", "(02) is what a parcel holds; (01) the article itself");
    }
    for element in &label.elements {
        let ai = element.ai.as_str();
        let (met, needs) = match ai {
            "00" | "01" => (true, ""),
            "02" => (has("37"), "(37), how many the parcel holds"),
            "37" => (has("00") && has("02"), "(00), a parcel, and (02), what it holds"),
            "21" | "251" => (has("01"), "(01), the article it is of"),
            own if own.starts_with('9') => (true, ""),
            _ => (has("01") || has("02"), "(01) or (02), the article it is of"),
        };
        if !met {
            return Err(ScanFault::Alone {
                ai: ai.to_owned(),
                value: element.value.clone(),
                needs,
            });
        }
        let twin = label
            .elements
            .iter()
            .find(|other| other.ai != ai && same_measure(&other.ai, ai));
        if let Some(twin) = twin {
            return Err(ScanFault::Twice {
                ai: format!("{}n", ai.get(..3).unwrap_or(ai)),
                first: element.value.clone(),
                second: twin.value.clone(),
            });
        }
    }
    Ok(())
}

/// Whether two identifiers are one measure with different decimals.
fn same_measure(one: &str, other: &str) -> bool {
    one.len() == 4 && other.len() == 4 && one.get(..3) == other.get(..3)
}
