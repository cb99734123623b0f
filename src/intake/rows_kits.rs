//! The rows about kits: bills of materials, what is on order, and jobs.

use super::cells::{Cells, repeated};
use super::rows::{Row, joined, said};
use super::words::{BillLineKind, Per};
use crate::domain::measure::{Day, Money, Qty};
use std::collections::BTreeSet;

/// The head of a bill of materials.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BillRow {
    /// The part number of the conversion.
    pub part: String,
    /// The bill's revision.
    pub revision: String,
    /// The first day on which it holds.
    pub from_day: Option<Day>,
    /// The last day on which it holds.
    pub until_day: Option<Day>,
    /// The part numbers of the engine models that it fits.
    pub fits: Vec<String>,
    /// The approved data behind it.
    pub data_source: String,
}

impl Row for BillRow {
    const HEADINGS: &'static [&'static str] =
        &["part", "revision", "from_day", "until_day", "fits", "data_source"];
    const KEY: &'static [&'static str] = &["part", "revision"];

    fn read(cells: &mut Cells) -> Option<BillRow> {
        let (part, revision) = (cells.text("part"), cells.text("revision"));
        let (fits, data_source) = (cells.models("fits"), cells.text("data_source"));
        let (from_day, until_day) = cells.span("from_day", "until_day")?;
        Some(BillRow {
            part: part?,
            revision: revision?,
            from_day,
            until_day,
            fits: fits?,
            data_source: data_source?,
        })
    }

    fn cells(&self) -> Vec<String> {
        vec![
            self.part.clone(),
            self.revision.clone(),
            said(self.from_day.as_ref()),
            said(self.until_day.as_ref()),
            joined(self.fits.iter()),
            self.data_source.clone(),
        ]
    }
}

/// One choice taken of a group: `route=spacer`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Choice {
    /// The group of choices.
    pub group: String,
    /// Which of them.
    pub choice: String,
}

/// A line of a bill.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BillLineRow {
    /// The part number of the conversion whose bill it is.
    pub bill: String,
    /// The bill's revision.
    pub revision: String,
    /// The line's number.
    pub n: i64,
    /// What the line is about.
    pub kind: BillLineKind,
    /// The part that goes on or comes off, or that a note is about; none for labour.
    pub part: Option<String>,
    /// How much of it, in the part's unit, or how many hours, above zero; none for notes.
    pub qty: Option<Qty>,
    /// What the quantity is multiplied by; none for notes.
    pub per: Option<Per>,
    /// The choice that the line belongs to; none for lines that every choice has.
    pub choice: Option<Choice>,
    /// What is written on it; never none for labour and notes.
    pub text: Option<String>,
    /// What is added for waste, in percent of the quantity, from 0 to less than 100; only where a part goes on.
    pub waste: Option<Qty>,
}

impl Row for BillLineRow {
    const HEADINGS: &'static [&'static str] = &[
        "bill", "revision", "n", "kind", "part", "qty", "per", "group", "choice", "text", "waste",
    ];
    const LATER: &'static [&'static str] = &["waste"];
    const KEY: &'static [&'static str] = &["bill", "revision", "n"];

    fn read(cells: &mut Cells) -> Option<BillLineRow> {
        let (bill, revision) = (cells.text("bill"), cells.text("revision"));
        let (n, kind, choice) = (cells.count("n"), cells.word("kind"), cells.line_choice());
        let kind = kind?;
        let content = cells.line_content(kind);
        let waste = cells.waste(kind);
        let (part, qty, per, text) = content?;
        Some(BillLineRow {
            bill: bill?,
            revision: revision?,
            n: n?,
            kind,
            part,
            qty,
            per,
            choice: choice?,
            text,
            waste: waste?,
        })
    }

    fn cells(&self) -> Vec<String> {
        vec![
            self.bill.clone(),
            self.revision.clone(),
            self.n.to_string(),
            self.kind.word().to_owned(),
            said(self.part.as_ref()),
            said(self.qty.as_ref()),
            said(self.per.as_ref()),
            said(self.choice.as_ref().map(|taken| &taken.group)),
            said(self.choice.as_ref().map(|taken| &taken.choice)),
            said(self.text.as_ref()),
            said(self.waste.as_ref()),
        ]
    }
}

/// What a bill line holds besides its number: part, quantity, per, text.
type LineContent = (Option<String>, Option<Qty>, Option<Per>, Option<String>);

impl Cells<'_> {
    /// The cells that a line of this kind must have, and no others.
    fn line_content(&mut self, kind: BillLineKind) -> Option<LineContent> {
        let because = format!("on a {kind} line");
        let part = match kind {
            BillLineKind::Part | BillLineKind::TakeOff => self.text("part").map(Some),
            BillLineKind::Note => self.maybe_text("part"),
            BillLineKind::Labour => self.blank("part", &because).map(|()| None),
        };
        let (qty, per) = match kind {
            BillLineKind::Note => (
                self.blank("qty", &because).map(|()| None),
                self.blank("per", &because).map(|()| None),
            ),
            _ => (self.some_qty("qty").map(Some), self.word("per").map(Some)),
        };
        let text = match kind {
            BillLineKind::Part | BillLineKind::TakeOff => self.maybe_long_text("text"),
            BillLineKind::Labour | BillLineKind::Note => self.long_text("text").map(Some),
        };
        Some((part?, qty?, per?, text?))
    }

    /// Waste in percent, where a part goes on.
    fn waste(&mut self, kind: BillLineKind) -> Option<Option<Qty>> {
        if kind != BillLineKind::Part {
            return self.blank("waste", &format!("on a {kind} line")).map(|()| None);
        }
        let waste = self.maybe_some_qty("waste")?;
        if waste.is_some_and(|waste| waste >= Qty::whole(100)) {
            self.fault(
                "waste",
                "is not less than 100",
                "write percent of the quantity: 5 adds 5 to every 100",
            );
            return None;
        }
        Some(waste)
    }

    /// Group and choice, both or neither.
    fn line_choice(&mut self) -> Option<Option<Choice>> {
        let (group, choice) = (self.maybe_single("group"), self.maybe_single("choice"));
        match (group?, choice?) {
            (Some(group), Some(choice)) => Some(Some(Choice { group, choice })),
            (None, None) => Some(None),
            (group, _) => {
                let (blank, filled) = if group.is_none() {
                    ("group", "choice")
                } else {
                    ("choice", "group")
                };
                self.fault(
                    blank,
                    format!("is blank beside a {filled}"),
                    "a line has both or neither",
                );
                None
            }
        }
    }

    /// Part numbers with spaces between them, each once, at least one.
    fn models(&mut self, heading: &str) -> Option<Vec<String>> {
        let text = self.long_text(heading)?;
        let models: Vec<String> = text.split_whitespace().map(str::to_owned).collect();
        if let Some(model) = repeated(&models) {
            self.fault(heading, format!("names {model} twice"), "");
            return None;
        }
        Some(models)
    }

    /// Choices with spaces between them, each group once; none where the cell is blank.
    fn choices(&mut self, heading: &str) -> Option<Vec<Choice>> {
        let text = self.maybe_long_text(heading)?.unwrap_or_default();
        let choices: Option<Vec<Choice>> = text.split_whitespace().map(choice_of).collect();
        let Some(choices) = choices else {
            self.fault(
                heading,
                "is not group=choice",
                "write each as route=spacer, with spaces between them",
            );
            return None;
        };
        let groups: Vec<&str> = choices.iter().map(|taken| taken.group.as_str()).collect();
        if let Some(group) = repeated(&groups) {
            self.fault(
                heading,
                format!("chooses {group} twice"),
                "keep one choice of each group",
            );
            return None;
        }
        Some(choices)
    }
}

fn choice_of(word: &str) -> Option<Choice> {
    let (group, choice) = word.split_once('=')?;
    let named = !group.is_empty() && !choice.is_empty() && !choice.contains('=');
    named.then(|| Choice {
        group: group.to_owned(),
        choice: choice.to_owned(),
    })
}

/// A line of an order that is still to come.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderRow {
    /// The number of the order.
    pub order: String,
    /// The code of the supplier.
    pub supplier: String,
    /// The day it was ordered.
    pub day: Day,
    /// The part number.
    pub part: String,
    /// How much is ordered, in the part's unit, above zero.
    pub qty: Qty,
    /// What all of it costs, not below zero.
    pub value: Money,
    /// The day the supplier promised.
    pub promised: Option<Day>,
}

impl Row for OrderRow {
    const HEADINGS: &'static [&'static str] =
        &["order", "supplier", "day", "part", "qty", "value", "promised"];
    const KEY: &'static [&'static str] = &[];

    fn read(cells: &mut Cells) -> Option<OrderRow> {
        let (order, supplier, part) = (cells.text("order"), cells.text("supplier"), cells.text("part"));
        let (qty, value) = (cells.some_qty("qty"), cells.money("value"));
        let (day, promised) = (cells.day("day"), cells.maybe_day("promised"));
        Some(OrderRow {
            order: order?,
            supplier: supplier?,
            day: day?,
            part: part?,
            qty: qty?,
            value: value?,
            promised: promised?,
        })
    }

    fn cells(&self) -> Vec<String> {
        vec![
            self.order.clone(),
            self.supplier.clone(),
            self.day.to_string(),
            self.part.clone(),
            self.qty.to_string(),
            self.value.in_full(),
            said(self.promised.as_ref()),
        ]
    }
}

/// A job: one engine's conversion.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobRow {
    /// The part number of the conversion.
    pub conversion: String,
    /// The choices taken.
    pub choices: Vec<Choice>,
    /// The serial number of the engine.
    pub engine: String,
    /// The code of the customer.
    pub customer: Option<String>,
    /// The colour of the job's box, one word.
    pub tag: Option<String>,
    /// The day its parts are fitted.
    pub use_day: Day,
    /// Which job goes first on the same day; 1 is first.
    pub priority: i64,
}

impl JobRow {
    /// Each choice as it is written, by group, which is the order in which the books keep them.
    fn choices_in_order(&self) -> Vec<String> {
        let in_order: BTreeSet<&Choice> = self.choices.iter().collect();
        let written = |taken: &Choice| format!("{}={}", taken.group, taken.choice);
        in_order.into_iter().map(written).collect()
    }
}

impl Row for JobRow {
    const HEADINGS: &'static [&'static str] = &[
        "conversion",
        "choices",
        "engine",
        "customer",
        "tag",
        "use_day",
        "priority",
    ];
    const KEY: &'static [&'static str] = &["tag"];

    fn read(cells: &mut Cells) -> Option<JobRow> {
        let (conversion, choices) = (cells.text("conversion"), cells.choices("choices"));
        let (engine, customer, tag) = (
            cells.text("engine"),
            cells.maybe_text("customer"),
            cells.maybe_single("tag"),
        );
        let (use_day, priority) = (cells.day("use_day"), cells.count("priority"));
        Some(JobRow {
            conversion: conversion?,
            choices: choices?,
            engine: engine?,
            customer: customer?,
            tag: tag?,
            use_day: use_day?,
            priority: priority?,
        })
    }

    fn cells(&self) -> Vec<String> {
        vec![
            self.conversion.clone(),
            joined(self.choices_in_order().into_iter()),
            self.engine.clone(),
            said(self.customer.as_ref()),
            said(self.tag.as_ref()),
            self.use_day.to_string(),
            self.priority.to_string(),
        ]
    }
}
