//! What must stand, added up from the bin cards, claims and holds document by document; nothing is taken from a stored sum.

use super::cells::{maybe_text, maybe_whole, text, whole};
use super::documents::{Document, head};
use super::facts::Facts;
use crate::db::error::Error;
use crate::db::value::Value;
use crate::domain::stores::ids::KIND_STEP;
use crate::domain::stores::law::{Kind, Movement};
use std::collections::{BTreeSet, HashMap};

/// One line of a bin card.
#[derive(Clone, Copy)]
pub(super) struct Entry {
    pub(super) id: i64,
    pub(super) law: i64,
    pub(super) lot: i64,
    pub(super) from: i64,
    pub(super) to: i64,
    pub(super) from_line: Option<i64>,
    pub(super) to_line: Option<i64>,
    pub(super) qty: i128,
    pub(super) value: i128,
    pub(super) layer: Option<i64>,
}

/// Whether a place is of a kind.
pub(super) fn is(place: i64, kind: Kind) -> bool {
    place / KIND_STEP == kind.code()
}

impl Entry {
    /// Reads a row.
    pub(super) fn of(row: &[Value]) -> Result<Entry, Error> {
        Ok(Entry {
            id: whole(row, 0)?,
            law: whole(row, 2)?,
            lot: whole(row, 3)?,
            from: whole(row, 4)?,
            to: whole(row, 5)?,
            from_line: maybe_whole(row, 6)?,
            to_line: maybe_whole(row, 7)?,
            qty: whole(row, 8)?.into(),
            value: whole(row, 9)?.into(),
            layer: maybe_whole(row, 10)?,
        })
    }

    /// What happened, as the code of a movement.
    pub(super) fn movement(&self) -> i64 {
        self.law / 10_000
    }

    /// Whether this happened.
    pub(super) fn is(&self, movement: Movement) -> bool {
        self.movement() == movement.code()
    }
}

/// What a claim is on: a lot, or an order line.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum On {
    Lot(i64),
    Order(i64),
}

/// What a claim row is on.
pub(super) fn claimed_on(row: &[Value]) -> Result<On, Error> {
    Ok(match maybe_whole(row, 3)? {
        Some(lot) => On::Lot(lot),
        None => On::Order(whole(row, 4)?),
    })
}

/// What a lot has at a place.
#[derive(Clone, Copy, Default)]
pub(super) struct Balance {
    pub(super) qty: i128,
    pub(super) value: i128,
    /// Whether any of it was born here, so that it may be owed.
    pub(super) born: bool,
}

/// How many lines of bin cards each document has, and from which on.
type Range = (i64, i64);

/// Everything that was added up so far.
#[derive(Default)]
pub(super) struct Sums {
    /// By lot and place.
    pub(super) balances: HashMap<(i64, i64), Balance>,
    /// By layer: quantity, value.
    pub(super) layers: HashMap<i64, (i128, i128)>,
    /// By job line: in the kit, on the engine.
    pub(super) lines: HashMap<i64, (i128, i128)>,
    /// By order line: arrived, accepted.
    pub(super) orders: HashMap<i64, (i128, i128)>,
    /// By job line and what it is on.
    pub(super) claims: HashMap<(i64, On), i128>,
    /// Live holds by lot and by place.
    pub(super) held_lots: HashMap<i64, i64>,
    pub(super) held_places: HashMap<i64, i64>,
    /// How many documents raised the list of each job.
    pub(super) raised: HashMap<i64, i64>,
    /// The lines of each job whose choice is gone.
    pub(super) dropped: HashMap<i64, BTreeSet<i64>>,
    /// The movement of every line of a bin card, by its number less one; lines that do not follow one another are none.
    movements: Vec<u8>,
    /// The lines of every document, by its number less one.
    ranges: Vec<Range>,
}

/// The movements by which goods are born at the place that gives.
const BIRTHS: [Movement; 9] = [
    Movement::BookIn,
    Movement::FittedEarly,
    Movement::Open,
    Movement::MakeUp,
    Movement::TakeOff,
    Movement::Gain,
    Movement::Restate,
    Movement::BringForward,
    Movement::FoundFitted,
];

impl Sums {
    /// Adds what a document wrote.
    pub(super) fn take(&mut self, facts: &Facts, document: &Document) -> Result<(), Error> {
        let first = whole(&document.head, head::FIRST_ENTRY)?;
        let counted = whole(&document.head, head::ENTRIES)?;
        if usize::try_from(document.id) == Ok(self.ranges.len() + 1) {
            self.ranges.push((first, counted));
        }
        let undoes = maybe_whole(&document.head, head::CONTRA)?;
        for row in document.rows("entry") {
            let entry = Entry::of(row)?;
            self.entry(&entry);
            self.supply(&entry, first, undoes);
            if usize::try_from(entry.id) == Ok(self.movements.len() + 1) {
                self.movements
                    .push(u8::try_from(entry.movement()).unwrap_or(u8::MAX));
            }
        }
        self.promises(document)?;
        for job in raised_by(facts, document)? {
            *self.raised.entry(job).or_default() += 1;
        }
        self.choices(facts, document)
    }

    /// Balances, layers and the counters of job lines.
    fn entry(&mut self, entry: &Entry) {
        let giver = self.balances.entry((entry.lot, entry.from)).or_default();
        giver.qty -= entry.qty;
        if !is(entry.from, Kind::Shelf) {
            giver.value -= entry.value;
        }
        giver.born |= BIRTHS.iter().any(|birth| entry.is(*birth));
        let taker = self.balances.entry((entry.lot, entry.to)).or_default();
        taker.qty += entry.qty;
        if !is(entry.to, Kind::Shelf) {
            taker.value += entry.value;
        }
        if let Some(layer) = entry.layer {
            let sign = if is(entry.to, Kind::Shelf) { 1 } else { -1 };
            let sum = self.layers.entry(layer).or_default();
            sum.0 += sign * entry.qty;
            sum.1 += sign * entry.value;
        }
        for (line, place, qty) in [
            (entry.from_line, entry.from, -entry.qty),
            (entry.to_line, entry.to, entry.qty),
        ] {
            let Some(line) = line else { continue };
            if is(place, Kind::Kit) {
                self.lines.entry(line).or_default().0 += qty;
            } else if is(place, Kind::Engine) {
                self.lines.entry(line).or_default().1 += qty;
            }
        }
    }

    /// Order lines: book in and first acceptance name them on the side that gives, their undo on the side that receives.
    fn supply(&mut self, entry: &Entry, first: i64, undoes: Option<i64>) {
        let undo = entry.is(Movement::Undo);
        let (line, movement, qty) = match (entry.from_line, entry.to_line) {
            (Some(line), _) if !undo => (line, entry.movement(), entry.qty),
            (_, Some(line)) if undo => (line, self.undone(entry, first, undoes), -entry.qty),
            _ => return,
        };
        if movement == Movement::BookIn.code() {
            self.orders.entry(line).or_default().0 += qty;
        } else if movement == Movement::Accept.code() {
            self.orders.entry(line).or_default().1 += qty;
        }
    }

    /// The movement that a line of an undo takes back: lines are taken back from the last to the first.
    fn undone(&self, entry: &Entry, first: i64, undoes: Option<i64>) -> i64 {
        let original = || {
            let document = usize::try_from(undoes?.checked_sub(1)?).ok()?;
            let (from, count) = self.ranges.get(document)?;
            let last = from.checked_add(*count)?.checked_sub(1)?;
            let id = last.checked_sub(entry.id.checked_sub(first)?)?;
            self.movements.get(usize::try_from(id.checked_sub(1)?).ok()?)
        };
        original().map_or(0, |movement| i64::from(*movement))
    }

    /// Claims and holds.
    fn promises(&mut self, document: &Document) -> Result<(), Error> {
        for row in document.rows("claim") {
            let key = (whole(row, 2)?, claimed_on(row)?);
            *self.claims.entry(key).or_default() += i128::from(whole(row, 5)?);
        }
        for row in document.rows("hold") {
            let step = if maybe_whole(row, 5)?.is_none() { 1 } else { -1 };
            match (maybe_whole(row, 2)?, maybe_whole(row, 3)?) {
                (Some(lot), _) => *self.held_lots.entry(lot).or_default() += step,
                (None, Some(place)) => *self.held_places.entry(place).or_default() += step,
                (None, None) => {}
            }
        }
        Ok(())
    }

    /// Choices that were taken away and given back.
    fn choices(&mut self, facts: &Facts, document: &Document) -> Result<(), Error> {
        for row in document.rows("change") {
            if (text(row, 2)?, text(row, 4)?) != ("job_line", "dropped") {
                continue;
            }
            let line = whole(row, 3)?;
            if let Some((job, _)) = facts.job_of(line) {
                let dropped = self.dropped.entry(job).or_default();
                if maybe_text(row, 6)? == Some("1") {
                    dropped.insert(line);
                } else {
                    dropped.remove(&line);
                }
            }
        }
        Ok(())
    }
}

/// The jobs whose list a document raises: it changes them or their lines, adds a line later, or writes a claim other
/// than by picking.
fn raised_by(facts: &Facts, document: &Document) -> Result<BTreeSet<i64>, Error> {
    let mut jobs = BTreeSet::new();
    let of_line = |line: i64| facts.job_of(line).map(|(job, _)| job);
    for row in document.rows("claim") {
        if text(row, 6)? != "pick" {
            jobs.extend(of_line(whole(row, 2)?));
        }
    }
    for row in document.rows("change") {
        match text(row, 2)? {
            "job" => drop(jobs.insert(whole(row, 3)?)),
            "job_line" => jobs.extend(of_line(whole(row, 3)?)),
            _ => {}
        }
    }
    for row in document.rows("job_line") {
        let job = whole(row, 1)?;
        if facts
            .jobs
            .get(&job)
            .is_some_and(|known| known.document != document.id)
        {
            jobs.insert(job);
        }
    }
    Ok(jobs)
}
