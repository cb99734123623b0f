//! Each document judged by what stood before it: what it moved and promised, on whose word, from which list.

use super::Report;
use super::cells::{amount, maybe_text, maybe_whole, text, whole};
use super::documents::{Document, head};
use super::facts::{Facts, Lot};
use super::sums::{Entry, On, Sums, claimed_on, is};
use crate::db::error::Error;
use crate::domain::measure::Day;
use crate::domain::stores::ids::KIND_STEP;
use crate::domain::stores::law::{Kind, Movement};
use std::collections::BTreeMap;

/// What the rules need of a document's own columns.
struct Paper {
    id: i64,
    /// The later of the day it happened and the day it was written; no earlier day makes dead goods good.
    latest: Option<Day>,
    owner_word: bool,
    due: bool,
}

/// The movements that use a lot for a job.
const USES: [Movement; 5] = [
    Movement::Pick,
    Movement::Rob,
    Movement::Issue,
    Movement::Use,
    Movement::FoundFitted,
];

/// Judges a document.
pub(super) fn judge(
    facts: &Facts,
    sums: &Sums,
    document: &Document,
    report: &mut Report<'_, '_>,
) -> Result<(), Error> {
    let paper = Paper::of(document)?;
    let mut picked: BTreeMap<(i64, i64, Option<i64>), i128> = BTreeMap::new();
    for row in document.rows("entry") {
        let entry = Entry::of(row)?;
        lawful(facts, sums, &paper, &entry, report);
        layered(facts, &paper, &entry, report);
        if let Some(lot) = facts.lots.get(&entry.lot) {
            owned(facts, &paper, &entry, lot, report);
            in_date(facts, &paper, &entry, lot, report);
            if entry.is(Movement::Pick) && facts.hand_out(lot).is_some() {
                *picked.entry((entry.lot, entry.from, entry.to_line)).or_default() += entry.qty;
            }
        }
        if entry.is(Movement::Issue) {
            beside_dropped(facts, sums, &paper, &entry, report);
        }
    }
    for ((id, _, _), qty) in picked {
        let unit = facts.lots.get(&id).and_then(|lot| facts.hand_out(lot));
        if let Some(unit) = unit.filter(|unit| qty % unit != 0) {
            let about = report.names.entry(paper.id, id);
            let should_be = format!("whole ones of {}", amount(unit));
            report.add("I22 pick in whole units", about, should_be, amount(qty));
        }
    }
    reserved_in_date(facts, &paper, document, report)?;
    from_list(sums, document, report)
}

impl Paper {
    fn of(document: &Document) -> Result<Paper, Error> {
        let day = |text: &str| Day::parse(text).ok();
        let happened = day(text(&document.head, head::DAY)?);
        let written = text(&document.head, head::AT)?.get(..10).and_then(day);
        Ok(Paper {
            id: document.id,
            latest: happened.max(written),
            owner_word: maybe_text(&document.head, head::OWNER_WORD)?.is_some(),
            due: maybe_text(&document.head, head::DUE)?.is_some(),
        })
    }
}

/// The movement goes between these kinds of place, against no hold, and with the paper it wants.
fn lawful(facts: &Facts, sums: &Sums, paper: &Paper, entry: &Entry, report: &mut Report<'_, '_>) {
    let kinds = entry.from / KIND_STEP * 100 + entry.to / KIND_STEP;
    let row = facts.law.get(&entry.law).filter(|_| entry.law % 10_000 == kinds);
    let Some(row) = row else {
        let about = report.names.entry(paper.id, entry.lot);
        let is = format!(
            "law {} from kind {} to kind {}",
            entry.law,
            kinds / 100,
            kinds % 100
        );
        report.add("I20 unlawful", about, "a movement that the law knows", is);
        return;
    };
    let live = |held: Option<&i64>| held.is_some_and(|holds| *holds > 0);
    let held = live(sums.held_lots.get(&entry.lot))
        || [entry.from, entry.to]
            .iter()
            .any(|place| live(sums.held_places.get(place)));
    if held && !row.while_held && !entry.is(Movement::Undo) {
        let about = report.names.entry(paper.id, entry.lot);
        report.add(
            "I30 moved while held",
            about,
            "no hold on lot or place",
            "on hold",
        );
    }
    if entry.is(Movement::SendOut) && !paper.due {
        let about = report.names.entry(paper.id, entry.lot);
        report.add(
            "I28 no due day",
            about,
            "a day on which it should be back",
            "none",
        );
    }
}

/// A shelf has a layer, and the layer is of the lot's pool.
fn layered(facts: &Facts, paper: &Paper, entry: &Entry, report: &mut Report<'_, '_>) {
    let one_shelf = is(entry.from, Kind::Shelf) != is(entry.to, Kind::Shelf);
    if one_shelf != entry.layer.is_some() {
        let about = report.names.entry(paper.id, entry.lot);
        let said = |layer: bool| if layer { "a cost layer" } else { "no cost layer" };
        report.add("I11 shelf wants layer", about, said(one_shelf), said(!one_shelf));
    }
    let (Some(id), Some(lot)) = (entry.layer, facts.lots.get(&entry.lot)) else {
        return;
    };
    if let Some((part, own, shared)) = facts.layers.get(&id)
        && (*part != lot.part || (!shared && *own != Some(entry.lot)))
    {
        let about = format!(
            "{} and {}",
            report.names.entry(paper.id, entry.lot),
            report.names.layer(id)
        );
        let should_be = "a layer of its own part, and its own where it is not shared";
        let is = own.map_or_else(|| report.names.part(*part), |own| report.names.lot(own));
        report.add(
            "I12 layer of another lot",
            about,
            should_be,
            format!("a layer of {is}"),
        );
    }
}

/// What is not ours carries no value, serves only its owner's jobs and goes to nothing without his word; only bench
/// stock is used without a job.
fn owned(facts: &Facts, paper: &Paper, entry: &Entry, lot: &Lot, report: &mut Report<'_, '_>) {
    let his = lot.owner.is_some() && !lot.owner_changed;
    if his && entry.value != 0 {
        let about = report.names.entry(paper.id, entry.lot);
        report.add(
            "I15 owner",
            about,
            "no value, for it is not ours",
            amount(entry.value),
        );
    }
    let uses = USES.iter().any(|movement| entry.is(*movement));
    if let Some(line) = entry.to_line.filter(|_| his && uses)
        && facts.strange_to(lot, line)
    {
        let about = report.names.entry(paper.id, entry.lot);
        let is = format!("used for {}", report.names.line(line));
        report.add("I18 used by a stranger", about, "used for jobs of its owner", is);
    }
    let gone = entry.is(Movement::Scrap) || entry.is(Movement::Loss);
    if his && gone && !paper.owner_word {
        let about = report.names.entry(paper.id, entry.lot);
        report.add("I28 owner not asked", about, "the owner's word", "none");
    }
    let bench = facts.parts.get(&lot.part).is_none_or(|part| part.bench_stock);
    if entry.is(Movement::Use) && !bench {
        let about = report.names.entry(paper.id, entry.lot);
        report.add(
            "I29 not bench stock",
            about,
            "bench stock",
            report.names.part(lot.part),
        );
    }
}

/// Whether a lot was dead on the day of a paper; what had its expiry changed since is not asked.
fn dead(lot: &Lot, paper: &Paper) -> bool {
    let late = |expiry| paper.latest.is_some_and(|latest| latest > expiry);
    !lot.expiry_changed && lot.expiry.is_some_and(late)
}

fn expired(lot: &Lot) -> String {
    lot.expiry
        .map_or_else(String::new, |day| format!("good until {day}"))
}

fn latest(paper: &Paper) -> String {
    paper
        .latest
        .map_or_else(String::new, |day| format!("good on {day}"))
}

/// Nothing dead went where only usable goods may.
fn in_date(facts: &Facts, paper: &Paper, entry: &Entry, lot: &Lot, report: &mut Report<'_, '_>) {
    let fresh = facts.law.get(&entry.law).is_some_and(|row| row.fresh);
    if fresh && dead(lot, paper) {
        let about = report.names.entry(paper.id, entry.lot);
        report.add("I27 moved when dead", about, latest(paper), expired(lot));
    }
}

/// Nothing dead was promised.
fn reserved_in_date(
    facts: &Facts,
    paper: &Paper,
    document: &Document,
    report: &mut Report<'_, '_>,
) -> Result<(), Error> {
    for row in document.rows("claim") {
        let made = whole(row, 5)? > 0 && matches!(text(row, 6)?, "reserve" | "arrive" | "follow");
        let On::Lot(id) = claimed_on(row)? else { continue };
        if let Some(lot) = facts.lots.get(&id).filter(|lot| made && dead(lot, paper)) {
            let about = report.names.entry(paper.id, id);
            report.add("I27 reserved when dead", about, latest(paper), expired(lot));
        }
    }
    Ok(())
}

/// Nothing is issued while a line whose choice is gone has parts in the kit or on the engine.
fn beside_dropped(facts: &Facts, sums: &Sums, paper: &Paper, entry: &Entry, report: &mut Report<'_, '_>) {
    let job = entry.to_line.and_then(|line| facts.job_of(line));
    let dropped = job.and_then(|(job, _)| sums.dropped.get(&job));
    for line in dropped.into_iter().flatten() {
        let (kitted, fitted) = sums.lines.get(line).copied().unwrap_or_default();
        if kitted + fitted > 0 {
            let about = report.names.entry(paper.id, entry.lot);
            let should_be = format!("nothing in kit or engine of {}", report.names.line(*line));
            report.add(
                "I24 issued beside a dropped choice",
                about,
                should_be,
                amount(kitted + fitted),
            );
        }
    }
}

/// A pick answers the list that held when it was made.
fn from_list(sums: &Sums, document: &Document, report: &mut Report<'_, '_>) -> Result<(), Error> {
    let Some(list) = maybe_whole(&document.head, head::LIST)? else {
        return Ok(());
    };
    let job = maybe_whole(&document.head, head::JOB)?;
    let raised = job.and_then(|job| sums.raised.get(&job)).copied().unwrap_or(0);
    if list != raised + 1 {
        let about = report.names.document(document.id);
        let should_be = format!("list {}", raised + 1);
        report.add(
            "I23 picked from an old list",
            about,
            should_be,
            format!("list {list}"),
        );
    }
    Ok(())
}
