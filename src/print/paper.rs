//! One paper for every answer: the answer on the first line, the sum under it, what to do next at the end.

use crate::domain::measure::{Day, Qty, Unit};
use crate::print::escape::{cells, csv_guard, escape};
use crate::print::look::{Look, Tone};
use crate::print::sheet;
use crate::print::table::Table;
use crate::print::wire;
use crate::print::words::measured;

/// Heads every paper of a trial run.
const TRIAL_HEAD: &str = "TRIAL, NOTHING POSTED";

/// Everything a command has to say, still without a form.
#[derive(Debug, Clone, PartialEq)]
pub struct Paper {
    /// What sort of paper, in snake_case; a promise in JSON.
    pub kind: &'static str,
    /// The answer in one line of at most 80 cells.
    pub answer: String,
    /// Which store and which day it speaks of.
    pub heading: Heading,
    /// The number of the document posted; a trial shows none even if one is given.
    pub document: Option<String>,
    /// The records first, then what explains them.
    pub tables: Vec<Table>,
    /// What was typed otherwise than it is kept, as it was understood.
    pub understood: Vec<TypedAs>,
    /// Remarks that change nothing.
    pub notes: Vec<String>,
    /// What the reader must mind before he acts.
    pub cautions: Vec<String>,
    /// What may be done next, the likeliest first.
    pub next: Vec<String>,
    /// A file that is the answer itself: the forms for people and for spreadsheets print it and nothing else.
    pub file: Option<String>,
}

/// A quantity as it was typed and as it was understood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TypedAs {
    /// As it was typed.
    pub typed: String,
    /// As it was understood, in the unit.
    pub qty: Qty,
    /// The unit that the part is kept in.
    pub unit: Unit,
}

/// Where and when a paper stands.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Heading {
    /// The store's name; empty where no store was needed.
    pub store: String,
    /// The business day, where there is one.
    pub day: Option<Day>,
    /// The day is a training day and not today.
    pub training: bool,
    /// Nothing was posted.
    pub trial: bool,
}

/// The forms a paper can take.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Format {
    /// For people; no promise to programs.
    #[default]
    Table,
    /// The first table's records with tabs, without a heading.
    Plain,
    /// The first table as CSV.
    Csv,
    /// The whole paper as one JSON document.
    Json,
}

impl Paper {
    /// A paper with an answer and nothing else yet.
    pub fn new(kind: &'static str, answer: impl Into<String>, heading: Heading) -> Paper {
        Paper {
            kind,
            answer: answer.into(),
            heading,
            document: None,
            tables: Vec::new(),
            understood: Vec::new(),
            notes: Vec::new(),
            cautions: Vec::new(),
            next: Vec::new(),
            file: None,
        }
    }

    /// The number of the document this paper stands for; a trial has none.
    #[must_use]
    pub fn document_number(&self) -> Option<&str> {
        self.document.as_deref().filter(|_| !self.heading.trial)
    }
}

/// The paper in the form asked for, ending in a line feed.
///
/// Plain text and CSV hold the first table's records only, or the answer where there is no table; print
/// [`aside`] on stderr beside them.
#[must_use]
pub fn render(paper: &Paper, format: Format, look: &Look) -> String {
    if let (Some(file), Format::Table | Format::Csv) = (&paper.file, format) {
        return file_text(file, look);
    }
    match (format, paper.tables.first()) {
        (Format::Table, _) => text(paper, look),
        (Format::Json, _) => wire::paper_json(paper),
        (Format::Plain, Some(table)) => sheet::plain(table),
        (Format::Plain, None) => format!("{}\n", escape(&paper.answer)),
        (Format::Csv, Some(table)) => sheet::csv(table),
        (Format::Csv, None) => {
            let answer = csv_guard(&escape(&paper.answer));
            format!("answer\n{}", sheet::csv_record([answer].into_iter()))
        }
    }
}

/// What a form leaves out and a person must still see, for stderr: that it was a trial, what was
/// understood, and the cautions.
///
/// Empty for the forms that say it themselves.
#[must_use]
pub fn aside(paper: &Paper, format: Format, look: &Look) -> String {
    if format == Format::Json || (format == Format::Table && paper.file.is_none()) {
        return String::new();
    }
    let mut lines = Vec::new();
    if paper.heading.trial {
        lines.push(look.paint(Tone::Strong, TRIAL_HEAD));
    }
    lines.extend(paper.understood.iter().map(|typed| ours(&told(typed), look)));
    lines.extend(
        paper
            .cautions
            .iter()
            .flat_map(|caution| caution_lines(caution, look)),
    );
    lines.iter().map(|line| format!("{line}\n")).collect()
}

/// A file as it is; for eyes what would drive a terminal is shown and not passed on.
fn file_text(file: &str, look: &Look) -> String {
    if look.tty {
        return file.lines().map(|line| format!("{}\n", escape(line))).collect();
    }
    file.to_owned()
}

/// The paper for eyes: blocks with an empty line between them.
fn text(paper: &Paper, look: &Look) -> String {
    let mut blocks = vec![head_lines(paper, look)];
    blocks.extend(paper.tables.iter().map(|table| table.lines(look)));
    let notes = paper
        .understood
        .iter()
        .map(told)
        .chain(paper.notes.iter().cloned());
    blocks.push(
        notes
            .flat_map(|note| wrapped("", &ours(&note, look), look.room()))
            .collect(),
    );
    blocks.push(
        paper
            .cautions
            .iter()
            .flat_map(|caution| caution_lines(caution, look))
            .collect(),
    );
    blocks.push(
        paper
            .next
            .iter()
            .flat_map(|step| step_lines(&ours(step, look), look.room()))
            .collect(),
    );
    blocks.retain(|block| !block.is_empty());
    blocks
        .iter()
        .map(|block| block.join("\n"))
        .collect::<Vec<_>>()
        .join("\n\n")
        + "\n"
}

/// Trial mark, answer, and the line of day, store and document.
fn head_lines(paper: &Paper, look: &Look) -> Vec<String> {
    let mut lines = Vec::new();
    if paper.heading.trial {
        lines.push(look.paint(Tone::Strong, TRIAL_HEAD));
    }
    lines.push(look.paint(Tone::Strong, &ours(&paper.answer, look)));
    let heading = &paper.heading;
    let day = heading
        .day
        .map(|day| format!("{} {day}", if heading.training { "training day" } else { "day" }));
    let store = Some(&heading.store)
        .filter(|name| !name.is_empty())
        .map(|name| format!("store {}", escape(name)));
    let number = paper.document_number().map(escape);
    let facts: Vec<String> = [day, store, number].into_iter().flatten().collect();
    if !facts.is_empty() {
        lines.push(facts.join(&look.fold(" · ")));
    }
    lines
}

/// What was understood, in a line.
fn told(typed: &TypedAs) -> String {
    format!(
        "understood: {} = {}",
        typed.typed,
        measured(typed.qty, typed.unit)
    )
}

/// One caution, its lead coloured.
fn caution_lines(caution: &str, look: &Look) -> Vec<String> {
    let mut lines = wrapped("caution: ", &ours(caution, look), look.room());
    if let Some(first) = lines.first_mut() {
        *first = first.replacen("caution:", &look.paint(Tone::Mind, "caution:"), 1);
    }
    lines
}

/// What may be done next: a command to copy, never broken; what it does goes under it where the screen is too narrow.
fn step_lines(step: &str, room: Option<usize>) -> Vec<String> {
    let lead = "next: ";
    let whole = format!("{lead}{step}");
    match step.split_once(REMARK) {
        Some((command, remark)) if room.is_some_and(|room| cells(&whole) > room) => {
            let under = format!("{}{}", " ".repeat(cells(lead)), remark.trim_start());
            vec![format!("{lead}{command}"), under]
        }
        _ => vec![whole],
    }
}

/// What parts a command from what it does.
const REMARK: &str = "   ";

/// A sentence of ours, fit for the reader's terminal; what it quotes from the books is escaped with it.
fn ours(sentence: &str, look: &Look) -> String {
    look.fold(&escape(sentence))
}

/// A sentence broken between words where a terminal would break it anywhere; later lines stand under the first.
fn wrapped(lead: &str, sentence: &str, room: Option<usize>) -> Vec<String> {
    let whole = format!("{lead}{sentence}");
    let Some(room) = room.filter(|room| cells(&whole) > *room) else {
        return vec![whole];
    };
    let mut lines = Vec::new();
    let mut line = lead.to_owned();
    for word in sentence.split(' ') {
        let begun = cells(&line) > cells(lead);
        if begun && cells(&line) + 1 + cells(word) > room {
            lines.push(std::mem::replace(&mut line, " ".repeat(cells(lead)) + word));
        } else {
            line.push_str(if begun { " " } else { "" });
            line.push_str(word);
        }
    }
    lines.push(line);
    lines
}
