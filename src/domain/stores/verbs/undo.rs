//! Undo: a contrary posting of a whole document. An undo is not undone: what it took back is entered again.

use crate::domain::acceptance::certificate::Draw;
use crate::domain::kitting::job::JobState;
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::{DocKind, Head};
use crate::domain::stores::ids::{DocId, JobId, LineId, LotId, OrderLineId, PlaceId};
use crate::domain::stores::law::{Movement, Role};
use crate::domain::stores::posting::{Change, Claim, Entry, Field, Held, HoldRow, Posting};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::papers::authorised;

/// A document as the books have it, read back to be undone or shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// Under which number the books keep it.
    pub id: DocId,
    /// Its number, as people write it.
    pub number: String,
    /// Its kind.
    pub kind: DocKind,
    /// Whose initials stand on it.
    pub by: String,
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
    /// What it drew on certificates.
    pub draws: Vec<Draw>,
    /// The jobs it raised.
    pub jobs: Vec<JobId>,
    /// What was written later on the lots it moved.
    pub later: Vec<LaterEntry>,
    /// Whether the method of value was changed since.
    pub restated_since: bool,
    /// Which of the fields it changed were changed again since.
    pub changed_since: Vec<(Field, i64)>,
    /// Which of the fields it changed bear something since, and what.
    pub stood_on_since: Vec<(Field, i64, &'static str)>,
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
    outcome.map_err(|refusal| stands_in_the_way(stock, written, refusal))
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
        return Err(written.stands("the method of value was changed since"));
    }
    let restates = written.changes.iter().any(|change| change.field == Field::Method);
    if restates && written.id.0 + 1 != stock.next.document {
        // What came to a shelf since has layers of the new kind, which the old method would not find.
        return Err(written.stands("the books went on by the new method of value"));
    }
    younger_hold(stock, written)?;
    for law in written.entries.iter().filter_map(Entry::law) {
        authorised(stock, law.who(), &format!("undo of {}", law.movement))?;
    }
    let lifts = written.holds.iter().any(|hold| hold.lifts.is_none());
    if lifts && written.by != stock.person.initials {
        // A slip of one's own is put right by oneself; what another has stopped only the inspector lets go.
        authorised(stock, Role::Inspector, "taking back what another put on hold")?;
    }
    if written
        .changes
        .iter()
        .any(|change| change.field.table() == "person")
    {
        // Who may sign is the manager's to say, and so is taking it back.
        authorised(stock, Role::Manager, "undo of a change of who may sign")?;
    }
    Ok(())
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
            return Err(written.stands(format!("a later hold lies on its goods: {}", hold.cause)));
        }
    }
    Ok(())
}

/// Names the later documents on the lot and place in question, newest first, and the ordinary way.
fn stands_in_the_way(stock: &Stock, written: &Written, refusal: Refusal) -> Refusal {
    let because = match &refusal {
        Refusal::Later { because, .. } => because.clone(),
        Refusal::UnderLine { .. } | Refusal::Whole { .. } | Refusal::OwnedValue { .. } => refusal.to_string(),
        _ => return refusal,
    };
    let number = |lot: &LotId| {
        stock
            .lots
            .get(lot)
            .map_or_else(String::new, |lot| lot.number.clone())
    };
    let about: Vec<LotId> = written
        .later
        .iter()
        .map(|entry| entry.lot)
        .filter(|lot| because.contains(&number(lot)))
        .collect();
    let mut later: Vec<String> = Vec::new();
    for entry in written.later.iter().rev() {
        let named = about.is_empty() || about.contains(&entry.lot);
        let met = written.entries.iter().any(|own| {
            own.lot == entry.lot && (entry.places.contains(&own.from) || entry.places.contains(&own.to))
        });
        if named && met && !later.contains(&entry.number) {
            later.push(entry.number.clone());
        }
    }
    Refusal::Later {
        document: written.number.clone(),
        because,
        later,
        instead: written
            .entries
            .first()
            .and_then(|entry| ordinary_way(entry.movement)),
    }
}

/// The movement that takes goods back the ordinary way, where there is one.
fn ordinary_way(done: Movement) -> Option<Movement> {
    Some(match done {
        Movement::BookIn => Movement::SendBack,
        Movement::FittedEarly | Movement::Issue | Movement::Use => Movement::Return,
        Movement::Accept => Movement::Quarantine,
        Movement::Quarantine | Movement::Return | Movement::BackIn | Movement::TakeIn => Movement::Accept,
        Movement::SendBack | Movement::Dispatch => Movement::BookIn,
        Movement::Move => Movement::Move,
        Movement::Open | Movement::MakeUp => Movement::Open,
        Movement::Pick => Movement::PutBack,
        Movement::PutBack => Movement::Pick,
        Movement::Rob => Movement::Rob,
        Movement::Swap => Movement::Swap,
        Movement::Loss => Movement::Gain,
        Movement::Gain | Movement::BringForward => Movement::Loss,
        Movement::LateCost => Movement::LateCost,
        Movement::Restate => Movement::Restate,
        Movement::SendOut => Movement::BackIn,
        Movement::FoundFitted | Movement::Sold => Movement::TakeOff,
        Movement::TakeOff => Movement::TakeIn,
        Movement::Reject | Movement::Scrap | Movement::Undo => return None,
    })
}

impl Written {
    /// The refusal of its undo because of something later.
    pub(super) fn stands(&self, because: impl Into<String>) -> Refusal {
        Refusal::Later {
            document: self.number.clone(),
            because: because.into(),
            later: Vec::new(),
            instead: None,
        }
    }
}

impl Draft {
    /// Writes the contrary of everything the document wrote.
    fn take_back(&mut self, written: &Written) -> Result<(), Refusal> {
        for entry in written.entries.iter().rev() {
            self.reverse(entry, written)?;
        }
        for draw in &written.draws {
            self.give_back(*draw)?;
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
        self.judge_closed(entry, written)?;
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
            return Err(written.stands(because));
        }
        Ok(())
    }

    /// A closed job keeps what it fitted: nothing comes onto or off its lines any more.
    fn judge_closed(&self, entry: &Entry, written: &Written) -> Result<(), Refusal> {
        for (place, line) in [(entry.from, entry.from_line), (entry.to, entry.to_line)] {
            let (Some(line), true) = (line, Entry::counts_on_line(place)) else {
                continue;
            };
            let job = self.stock.job_of(LineId(line))?;
            if job.state == JobState::Closed {
                return Err(written.stands(format!("{} was closed since", job.number)));
            }
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
                return Err(written.stands(because));
            }
        }
        Ok(())
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
                    return Err(written.stands(because));
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
}
