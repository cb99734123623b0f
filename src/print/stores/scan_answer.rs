//! What a scan is answered with: which lot it may be, what a maker's label says, a document, a line of a list.

use crate::domain::kitting::job::Job;
use crate::domain::kitting::pick::PickLine;
use crate::domain::measure::scan::{MakersLabel, Meaning};
use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::PlaceId;
use crate::domain::stores::lot::Lot;
use crate::domain::stores::part::Part;
use crate::domain::stores::standing::{Lying, PartInHouse};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verdict::{Verdict, first_to_give, verdict};
use crate::print::cell::Cell;
use crate::print::kitting::job_sheet::called;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::{count, measured};
use std::collections::{BTreeMap, BTreeSet};

/// A document as a scan tells of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// Its number.
    pub number: String,
    /// Its kind.
    pub kind: String,
    /// The day it happened.
    pub day: Day,
    /// Whose initials.
    pub by: String,
    /// The job it is about.
    pub job: Option<String>,
    /// Why.
    pub reason: Option<String>,
    /// How many lines of bin cards it wrote.
    pub entries: usize,
    /// The document that undid it.
    pub undone_by: Option<String>,
}

/// The codes of those to whom lots belong that are not the house's.
pub type Owners = BTreeMap<PlaceId, String>;

/// A part with several lots: they are listed, the first to be given is named, and the lot is asked for.
pub fn which_lot(found: &PartInHouse, owners: &Owners, day: Day, mut paper: Paper) -> Paper {
    let lots: BTreeSet<_> = found.lying.iter().map(|line| line.lot.id).collect();
    let of = format!("{}: which lot of {}?", found.part.number, lots.len());
    let first = first_to_give(&found.lying, day);
    paper.answer = match first {
        Some(first) => format!(
            "{of} {} goes first, {}{}",
            first.lot.number,
            first.place.code,
            first
                .lot
                .expiry
                .map_or(String::new(), |last| format!(", until {last}"))
        ),
        None => format!("{of} none of them can be given"),
    };
    let rows = found.lying.iter().map(|line| (&found.part, &line.lot, line));
    paper.tables.push(lot_table(rows, &found.lying, owners, day));
    let number = first.map_or("LOT", |first| &first.lot.number);
    paper
        .next
        .push(format!("bincard scan {number}   the label of the lot in hand"));
    paper
}

/// Several lots with the same batch: they are listed, and the lot is asked for.
pub fn which_of_batch(
    lots: &[(&Part, &Lot, &[Lying])],
    owners: &Owners,
    day: Day,
    mut paper: Paper,
) -> Paper {
    paper.answer = format!(
        "which of {} with that batch? scan our own label",
        count(lots.len(), "lot")
    );
    let lying: Vec<Lying> = lots
        .iter()
        .flat_map(|(_, _, lying)| lying.iter().cloned())
        .collect();
    let rows = lots
        .iter()
        .flat_map(|(part, lot, lying)| lying.iter().map(move |line| (*part, *lot, line)));
    paper.tables.push(lot_table(rows, &lying, owners, day));
    paper
        .next
        .push("bincard scan LOT   the label of the lot in hand".to_owned());
    paper
}

fn lot_table<'l>(
    rows: impl Iterator<Item = (&'l Part, &'l Lot, &'l Lying)>,
    lying: &[Lying],
    owners: &Owners,
    day: Day,
) -> Table {
    let mut table = Table::new(
        "lots",
        &[
            ("part", "part"),
            ("lot", "lot"),
            ("bin", "bin"),
            ("qty", "there"),
            ("free", "free"),
            ("expiry", "last day"),
            ("usable", "usable"),
            ("owner", "owner"),
            ("batch", "batch"),
        ],
    )
    .spare(&["batch"])
    .quantities(&["qty", "free"]);
    for (part, lot, line) in rows {
        let own: Vec<Lying> = lying.iter().filter(|one| one.lot.id == lot.id).cloned().collect();
        let usable = line.place.id.pickable() && verdict(lot, &own, day) == Verdict::Usable;
        let unit = part.unit.to_string();
        let free = if usable { line.position.free() } else { Qty::ZERO };
        table.row(vec![
            Cell::text(part.number.clone()),
            Cell::text(lot.number.clone()),
            Cell::text(line.place.code.clone()),
            Cell::Qty(line.qty, unit.clone()),
            Cell::Qty(free, unit),
            lot.expiry.map_or(Cell::Empty, Cell::Day),
            Cell::text(if usable { "yes" } else { "no" }),
            Cell::text(
                lot.owner
                    .and_then(|owner| owners.get(&owner).cloned())
                    .unwrap_or_default(),
            ),
            Cell::text(lot.batch.clone().or(lot.serial.clone()).unwrap_or_default()),
        ]);
    }
    table
}

/// A maker's label of which the books have nothing.
pub fn not_in_books(label: &MakersLabel, mut paper: Paper) -> Paper {
    let named = [
        ("10", "batch"),
        ("21", "serial"),
        ("01", "article"),
        ("00", "parcel"),
    ];
    let named = named
        .into_iter()
        .find_map(|(ai, what)| label.text(ai).map(|value| format!("{what} {value}")));
    let last = label.last_day();
    let last = last.map_or(String::new(), |last| format!(", until {last}"));
    let named = named.unwrap_or_else(|| "this label".to_owned());
    paper.answer = format!("not in the books: {named}{last}");
    if label.text("10").or(label.text("21")).is_none() {
        let alone =
            "an article number alone names no part of ours; a batch, a serial or our part number does";
        paper.notes.push(alone.to_owned());
    }
    paper.next.push("bincard goods-in ORDER   takes it in".to_owned());
    paper
}

/// Says what of a maker's label and of the books does not agree about a lot; whether the lot is dead by its label.
pub fn mind_the_label(label: &MakersLabel, lot: &Lot, day: Day, paper: &mut Paper) -> bool {
    // An opened pack has a last day of its own, which no label can know.
    let Some(printed) = label.last_day().filter(|_| lot.opened.is_none()) else {
        return false;
    };
    if lot.expiry == Some(printed) {
        return false;
    }
    let number = &lot.number;
    let books = lot
        .expiry
        .map_or("no last day".to_owned(), |last| format!("until {last}"));
    paper.cautions.push(format!(
        "the label says until {printed}, the books say {books} of {number}: go by the earlier, and put it right"
    ));
    let dead = printed < day && lot.usable_on(day);
    if dead {
        paper.answer = format!("NOT to be used: its label says until {printed}, the books of {number} later");
    }
    dead
}

/// A part of which nothing lies in the bin where its label was scanned.
pub fn none_there(part: &Part, bin: &str, mut paper: Paper) -> Paper {
    paper.answer = format!("{}: none of it lies in {bin}", part.number);
    paper
        .next
        .push(format!("bincard find {}   where it lies", part.number));
    paper
}

/// What a maker's label says, a line each.
pub fn label_table(label: &MakersLabel) -> Table {
    let headings = [
        ("ai", "no"),
        ("what", "the label says"),
        ("value", "as printed"),
        ("means", "that is"),
    ];
    let mut table = Table::new("label", &headings);
    for element in &label.elements {
        let means = match &element.meaning {
            Meaning::Text(text) => Cell::text(text.clone()),
            Meaning::Day { day, .. } => Cell::Day(*day),
            Meaning::Count(number) => Cell::Count(i64::from(*number)),
            Meaning::Measured(measured) => Cell::text(format!("{} {}", measured.value, measured.unit)),
        };
        table.row(vec![
            Cell::text(element.ai.clone()),
            Cell::text(what(&element.ai)),
            Cell::text(element.value.clone()),
            means,
        ]);
    }
    table
}

/// What an identifier stands for, in the words of the counter.
fn what(ai: &str) -> &'static str {
    match ai.get(..3).unwrap_or(ai) {
        "00" => "parcel",
        "01" => "article",
        "02" => "article in the parcel",
        "10" => "batch",
        "11" => "made",
        "13" => "packed",
        "15" => "best before",
        "17" => "last day",
        "20" => "variant",
        "21" => "serial",
        "30" => "how many",
        "37" => "how many in the parcel",
        "240" => "maker's part number",
        "241" => "customer's part number",
        "251" => "serial of its source",
        "310" => "net weight",
        "311" => "length",
        "312" => "width",
        "313" => "depth",
        "314" => "area",
        "315" | "316" => "net volume",
        _ => "maker's own",
    }
}

/// A document: what, whose, when, and whether it still holds.
pub fn document_found(told: &Told, mut paper: Paper) -> Paper {
    let lines = count(told.entries, "line");
    let undone = told.undone_by.as_ref();
    let undone = undone.map_or(String::new(), |by| format!(", UNDONE by {by}"));
    paper.answer = format!(
        "{}: {} by {} on {}, {lines}{undone}",
        told.number, told.kind, told.by, told.day
    );
    paper
        .notes
        .extend(told.job.iter().map(|job| format!("for {job}")));
    paper
        .notes
        .extend(told.reason.iter().map(|why| format!("why: {why}")));
    paper
}

/// A line of a pick list: how much of what, from where, for which job.
pub fn line_found(stock: &Stock, job: &Job, line: &PickLine, mut paper: Paper) -> Result<Paper, Refusal> {
    let lot = stock.lot(line.lot)?;
    let part = stock.part(lot.part)?;
    paper.answer = format!(
        "line {} for {}: {} of {} ({}) from {}",
        line.n,
        called(job),
        measured(line.qty, part.unit),
        part.number,
        lot.number,
        stock.place(line.place)?.code
    );
    if let Some(last) = line.dead {
        paper
            .cautions
            .push(format!("{} went by on {last}: not to be picked", lot.number));
    }
    let name = job.tag.as_ref().unwrap_or(&job.number);
    paper.next.push(format!(
        "bincard pick {name} --list {} {}={} --by INITIALS   books it",
        job.list, line.n, line.qty
    ));
    Ok(paper)
}
