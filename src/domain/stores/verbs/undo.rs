//! Undo: a contrary posting of a whole document. An undo is not undone: what it took back is entered again.

use crate::domain::kitting::job::JobState;
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::{DocKind, Head};
use crate::domain::stores::ids::{DocId, JobId, LineId, LotId, OrderLineId, PlaceId};
use crate::domain::stores::law::{Law, Movement};
use crate::domain::stores::posting::{Change, Claim, Entry, Field, Held, HoldRow, Posting, Source, Why};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use std::collections::BTreeMap;

/// A document as the books have it, read back to be undone or shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// Under which number the books keep it.
    pub id: DocId,
    /// Its number, as people write it.
    pub number: String,
    /// Its kind.
    pub kind: DocKind,
    /// The document it undoes.
    pub contra: Option<DocId>,
    /// The document that undid it.
    pub undone_by: Option<String>,
    /// The lines of bin cards it wrote, in order.
    pub entries: Vec<Entry>,
    /// The claims it made and ended.
    pub claims: Vec<Claim>,
    /// The holds it put on and lifted.
    pub holds: Vec<HoldRow>,
    /// The fields it changed.
    pub changes: Vec<Change>,
    /// The jobs it raised.
    pub jobs: Vec<JobId>,
    /// What was written later on the lots it moved.
    pub later: Vec<LaterEntry>,
    /// Whether the method of value was changed since.
    pub restated_since: bool,
}

/// A later line of a bin card of a lot that the document moved.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LaterEntry {
    /// The later document's number, as people write it.
    pub number: String,
    /// The lot.
    pub lot: LotId,
    /// The places it went between.
    pub places: [PlaceId; 2],
}

/// Undoes a document: the newest restores exactly; an older one is refused where something later stands on it.
pub fn undo(stock: &Stock, head: Head, written: &Written) -> Result<Posting, Refusal> {
    may_be_undone(stock, written)?;
    let mut draft = Draft::new(
        stock,
        Head {
            contra: Some(written.id),
            ..head
        },
    );
    let outcome = draft.take_back(written).and_then(|()| draft.finish());
    outcome.map_err(|refusal| stands_in_the_way(written, refusal))
}

/// The rules that forbid an undo before any sum is looked at.
fn may_be_undone(stock: &Stock, written: &Written) -> Result<(), Refusal> {
    let document = written.number.clone();
    let no_second = |by: String| Refusal::NoSecondUndo {
        document: document.clone(),
        by,
    };
    if written.contra.is_some() {
        return Err(no_second(
            "it is itself an undo; enter again what it took back".to_owned(),
        ));
    }
    if let Some(by) = &written.undone_by {
        return Err(no_second(format!("{by} has undone it already")));
    }
    let nothing = written.entries.is_empty() && written.claims.is_empty() && written.holds.is_empty();
    let alone = written
        .changes
        .iter()
        .all(|change| change.field == Field::Training);
    if nothing && alone && written.jobs.is_empty() {
        return Err(Refusal::OnlyFields { document });
    }
    if written.restated_since && written.entries.iter().any(|entry| entry.layer.is_some()) {
        let because = "the method of value was changed since".to_owned();
        return Err(Refusal::Later {
            document,
            because,
            later: Vec::new(),
        });
    }
    let restates = written.changes.iter().any(|change| change.field == Field::Method);
    if restates && written.id.0 + 1 != stock.next.document {
        // What came to a shelf since has layers of the new kind, which the old method would not find.
        let because = "the books went on by the new method of value".to_owned();
        return Err(Refusal::Later {
            document,
            because,
            later: Vec::new(),
        });
    }
    younger_hold(stock, written)?;
    written
        .entries
        .iter()
        .try_for_each(|entry| authorised(stock, entry))
}

/// Refused while a hold younger than the document lies on a lot or place of its entries.
fn younger_hold(stock: &Stock, written: &Written) -> Result<(), Refusal> {
    for entry in &written.entries {
        let sides = [
            Held::Lot(entry.lot),
            Held::Place(entry.from),
            Held::Place(entry.to),
        ];
        if let Some(hold) = stock
            .holds
            .iter()
            .find(|h| h.document > written.id && sides.contains(&h.on))
        {
            let because = format!("a later hold lies on its goods: {}", hold.cause);
            return Err(Refusal::Later {
                document: written.number.clone(),
                because,
                later: Vec::new(),
            });
        }
    }
    Ok(())
}

/// Who may undo is who may do.
fn authorised(stock: &Stock, entry: &Entry) -> Result<(), Refusal> {
    let movement = entry.movement;
    let role = entry.law().map_or(movement.who(), Law::who);
    if stock.person.may(role) {
        return Ok(());
    }
    let by = stock.person.initials.clone();
    Err(Refusal::NotAuthorised {
        by,
        role: role.word(),
        what: format!("undo of {movement}"),
    })
}

/// Names the later documents on the lots in question, newest first.
fn stands_in_the_way(written: &Written, refusal: Refusal) -> Refusal {
    let because = match &refusal {
        Refusal::Later { because, .. } => because.clone(),
        Refusal::UnderLine { .. } | Refusal::Whole { .. } => refusal.to_string(),
        _ => return refusal,
    };
    let mut later: Vec<String> = Vec::new();
    for entry in written.later.iter().rev() {
        if !later.contains(&entry.number) {
            later.push(entry.number.clone());
        }
    }
    Refusal::Later {
        document: written.number.clone(),
        because,
        later,
    }
}

impl Draft {
    /// Writes the contrary of everything the document wrote.
    fn take_back(&mut self, written: &Written) -> Result<(), Refusal> {
        for entry in written.entries.iter().rev() {
            self.reverse(entry, written)?;
        }
        self.reverse_holds(written)?;
        for change in written.changes.iter().rev() {
            self.set_back(change, written)?;
        }
        self.give_up_jobs(written)?;
        self.reverse_claims(&written.claims)
    }

    /// The contrary of one line of a bin card: places and lines swapped, same quantity, value and layer.
    fn reverse(&mut self, entry: &Entry, written: &Written) -> Result<(), Refusal> {
        self.judge_return(entry, written)?;
        if let (Movement::BookIn | Movement::Accept, Some(order)) = (entry.movement, entry.from_line) {
            self.uncount_on_order(entry, OrderLineId(order))?;
        }
        self.shift(Entry {
            movement: Movement::Undo,
            from: entry.to,
            to: entry.from,
            from_line: entry.to_line,
            to_line: entry.from_line,
            ..*entry
        })
    }

    /// What went to a place that may be owed comes back only if it is still there, or nothing passed there since.
    fn judge_return(&self, entry: &Entry, written: &Written) -> Result<(), Refusal> {
        let there = self.stock.balance(entry.lot, entry.to);
        let passed = written
            .later
            .iter()
            .any(|l| l.lot == entry.lot && l.places.contains(&entry.to));
        if entry.to.may_be_owed() && passed && (there.qty < entry.qty || there.value < entry.value) {
            let place = self.stock.place(entry.to)?.code.clone();
            let because = format!(
                "lot {}: the goods are no longer at {place}",
                self.stock.lot(entry.lot)?.number
            );
            return Err(Refusal::Later {
                document: written.number.clone(),
                because,
                later: Vec::new(),
            });
        }
        Ok(())
    }

    /// Takes what was booked in or accepted off its order line again.
    fn uncount_on_order(&mut self, entry: &Entry, id: OrderLineId) -> Result<(), Refusal> {
        let line = self.stock.orders.get_mut(&id).ok_or(Refusal::Unread {
            what: "order line",
            id: id.0,
        })?;
        let never = self.stock.unaccepted.entry(entry.lot).or_default();
        if entry.movement == Movement::BookIn {
            line.arrived -= entry.qty;
            *never -= entry.qty;
        } else {
            line.accepted -= entry.qty;
            *never += entry.qty;
        }
        self.touched_orders.insert(id);
        Ok(())
    }

    /// Lifts the holds it put on, and puts on again those it lifted.
    fn reverse_holds(&mut self, written: &Written) -> Result<(), Refusal> {
        for hold in written.holds.iter().rev() {
            if hold.lifts.is_some() {
                self.hold_row(hold.on, &hold.cause, None)?;
            } else if self.stock.holds.iter().any(|live| live.id == hold.id) {
                self.hold_row(hold.on, &hold.cause, Some(hold.id))?;
            } else {
                let because = "its hold was lifted since".to_owned();
                return Err(Refusal::Later {
                    document: written.number.clone(),
                    because,
                    later: Vec::new(),
                });
            }
        }
        Ok(())
    }

    /// Sets a field back, if it still holds what the document wrote.
    fn set_back(&mut self, change: &Change, written: &Written) -> Result<(), Refusal> {
        let before = self.posting.changes.len();
        self.set_field(change.field, change.id, change.old.clone())?;
        let found = self
            .posting
            .changes
            .get(before)
            .map_or(change.old.clone(), |made| made.old.clone());
        if found == change.new {
            return Ok(());
        }
        let because = format!(
            "{} of the {} was changed since",
            change.field.column(),
            change.field.table()
        );
        Err(Refusal::Later {
            document: written.number.clone(),
            because,
            later: Vec::new(),
        })
    }

    /// A job that the document raised is cancelled and needs nothing any more; what its kit has must be out of it.
    fn give_up_jobs(&mut self, written: &Written) -> Result<(), Refusal> {
        for job in &written.jobs {
            let number = self.stock.job(*job)?.number.clone();
            let lines: Vec<LineId> = self
                .stock
                .lines
                .values()
                .filter(|line| line.job == *job)
                .map(|line| line.id)
                .collect();
            for line in lines {
                let has = self.stock.line(line)?;
                if (has.kitted + has.fitted).is_positive() {
                    let because = format!("{number} has parts in its kit or on its engine");
                    return Err(Refusal::Later {
                        document: written.number.clone(),
                        because,
                        later: Vec::new(),
                    });
                }
                self.set_need(line, Qty::ZERO)?;
            }
            self.set_field(
                Field::JobState,
                job.0,
                Some(JobState::Cancelled.word().to_owned()),
            )?;
        }
        Ok(())
    }

    /// Claims it made go as far as they still stand; claims it ended come back as far as lot, line and day bear them.
    fn reverse_claims(&mut self, claims: &[Claim]) -> Result<(), Refusal> {
        let mut net: BTreeMap<(LineId, Source), Qty> = BTreeMap::new();
        for claim in claims {
            *net.entry((claim.line, claim.source)).or_default() += claim.qty;
        }
        for ((line, source), made) in net.iter().filter(|(_, qty)| qty.is_positive()) {
            let standing = self.stock.claims.of(*line, *source);
            self.claim(*line, *source, -(*made).min(standing), Why::Undo)?;
        }
        self.settle()?;
        for ((line, source), ended) in net.iter().filter(|(_, qty)| **qty < Qty::ZERO) {
            let back = self.bearable(*line, *source, -*ended)?;
            self.claim(*line, *source, back, Why::Undo)?;
        }
        Ok(())
    }

    /// How much of a claim that was ended can be borne again, judged on the day of use only.
    fn bearable(&self, line: LineId, source: Source, ended: Qty) -> Result<Qty, Refusal> {
        let (wanted, job) = (self.stock.line(line)?, self.stock.job_of(line)?);
        let room = (wanted.most - wanted.stands()).max(Qty::ZERO);
        if job.state != JobState::Open {
            return Ok(Qty::ZERO);
        }
        match source {
            Source::Lot(lot) => {
                let goods = self.stock.lot(lot)?;
                let fit = crate::domain::stores::verbs::lines::fits(&self.stock, line, lot).is_ok();
                let free = self.stock.position(lot)?.free().max(Qty::ZERO);
                if !fit || !goods.usable_on(job.use_day) {
                    return Ok(Qty::ZERO);
                }
                self.whole_claim(lot, ended.min(room).min(free))
            }
            Source::Order(order) => {
                let supply = self.stock.order(order)?;
                let coming = (supply.still_coming() - supply.pegged).max(Qty::ZERO);
                let up_to = ended.min(room).min(coming);
                let unit = self
                    .stock
                    .part(supply.part)?
                    .hand_out
                    .unwrap_or(Qty::from_millionths(1));
                Ok(Qty::from_millionths(
                    up_to.millionths() / unit.millionths() * unit.millionths(),
                ))
            }
        }
    }
}
