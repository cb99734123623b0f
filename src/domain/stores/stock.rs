//! The facts a verb decides on: what the books say of the lots, lines and places concerned, as plain values.
//!
//! A `Stock` is a working set. Whatever reads it must have been handed the whole of what it asks for: a lot with
//! all its balances and claims, a part with all its live layers. What was not handed over is an `Unread` refusal.

mod layers;

use crate::domain::acceptance::certificate::Certificate;
use crate::domain::kitting::job::{Job, Line};
use crate::domain::measure::{Day, Money, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{
    CertificateId, DocId, HoldId, JobId, LineId, LotId, OrderId, OrderLineId, PartId, PlaceId,
};
use crate::domain::stores::law::Role;
use crate::domain::stores::lot::Lot;
use crate::domain::stores::part::Part;
use crate::domain::stores::place::Place;
use crate::domain::stores::posting::{Held, Source};
use crate::domain::stores::supply::OrderLine;
pub use layers::{Layer, Layers};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// How the store prices what leaves a shelf.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// The lot's own cost (IAS 2.23).
    Actual,
    /// First in, first out (IAS 2.25).
    Fifo,
    /// Moving weighted average (IAS 2.25).
    Average,
}

impl Method {
    /// The word that stands in the books.
    pub fn word(self) -> &'static str {
        match self {
            Method::Actual => "actual",
            Method::Fifo => "fifo",
            Method::Average => "average",
        }
    }

    /// The method behind a word.
    pub fn from_word(word: &str) -> Option<Method> {
        [Method::Actual, Method::Fifo, Method::Average]
            .into_iter()
            .find(|method| method.word() == word)
    }
}

/// What a lot has at a place; on a shelf the value is nothing, its layers carry it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Balance {
    /// How much.
    pub qty: Qty,
    /// Its value.
    pub value: Money,
}

/// What of a lot may be picked, is reserved, and how many holds lie on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Position {
    /// On shelves and bench, nothing held.
    pub pickable: Qty,
    /// Reserved for job lines.
    pub reserved: Qty,
    /// Live holds on the lot.
    pub held: i64,
}

impl Position {
    /// What is free to be reserved or used.
    pub fn free(self) -> Qty {
        self.pickable - self.reserved
    }
}

/// A hold that has not been lifted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LiveHold {
    /// Under which number the books keep it.
    pub id: HoldId,
    /// What it lies on.
    pub on: Held,
    /// Why.
    pub cause: String,
    /// The document that put it on.
    pub document: DocId,
}

/// Who writes the document.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Person {
    /// The initials.
    pub initials: String,
    /// What the person may decide.
    pub roles: Vec<Role>,
}

impl Person {
    /// Whether the person may decide what this role decides; anybody with a role may act as the clerk.
    pub fn may(&self, role: Role) -> bool {
        self.roles.contains(&role) || (role == Role::Clerk && !self.roles.is_empty())
    }
}

/// The claims that stand, found by what they are on and by whom they serve.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Claims {
    by_source: BTreeMap<(Source, LineId), Qty>,
    /// Invariant: the same pairs as `by_source`, the other way round.
    by_line: BTreeSet<(LineId, Source)>,
}

impl Claims {
    /// What a line has on a source.
    pub fn of(&self, line: LineId, source: Source) -> Qty {
        self.by_source.get(&(source, line)).copied().unwrap_or(Qty::ZERO)
    }

    /// Adds to a claim, or takes from it; a claim of nothing is forgotten.
    pub fn add(&mut self, line: LineId, source: Source, qty: Qty) {
        let now = self.of(line, source) + qty;
        if now.is_zero() {
            self.by_source.remove(&(source, line));
            self.by_line.remove(&(line, source));
        } else {
            self.by_source.insert((source, line), now);
            self.by_line.insert((line, source));
        }
    }

    /// What stands on a source, line by line.
    pub fn on(&self, source: Source) -> Vec<(LineId, Qty)> {
        self.each_on(source).collect()
    }

    /// What stands on a source, one line after the other as they are asked for.
    pub fn each_on(&self, source: Source) -> impl Iterator<Item = (LineId, Qty)> + '_ {
        let (first, last) = ((source, LineId(i64::MIN)), (source, LineId(i64::MAX)));
        self.by_source
            .range(first..=last)
            .map(|((_, line), qty)| (*line, *qty))
    }

    /// What a line has, source by source.
    pub fn for_line(&self, line: LineId) -> Vec<(Source, Qty)> {
        let first = (line, Source::Lot(LotId(i64::MIN)));
        let last = (line, Source::Order(OrderLineId(i64::MAX)));
        self.by_line
            .range(first..=last)
            .map(|(_, source)| (*source, self.of(line, *source)))
            .collect()
    }

    /// Every claim that stands.
    pub fn all(&self) -> impl Iterator<Item = (LineId, Source, Qty)> + '_ {
        self.by_source
            .iter()
            .map(|((source, line), qty)| (*line, *source, *qty))
    }
}

/// The numbers that come next in the books.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Next {
    /// Serial of the next lot.
    pub lot: i64,
    /// Number of the next layer.
    pub layer: i64,
    /// Number of the next hold.
    pub hold: i64,
    /// Number of the next document.
    pub document: i64,
    /// Number of the next draw on a certificate.
    pub draw: i64,
}

/// The facts a verb decides on.
#[derive(Clone, Debug)]
pub struct Stock {
    /// The day of the document.
    pub day: Day,
    /// The day of the clock.
    pub today: Day,
    /// The method of value in force.
    pub method: Method,
    /// Who writes.
    pub person: Person,
    /// Parts by number.
    pub parts: BTreeMap<PartId, Part>,
    /// Places by number.
    pub places: BTreeMap<PlaceId, Place>,
    /// Lots by number.
    pub lots: BTreeMap<LotId, Arc<Lot>>,
    /// Jobs by number.
    pub jobs: BTreeMap<JobId, Job>,
    /// Job lines by number.
    pub lines: BTreeMap<LineId, Line>,
    /// Order lines by number.
    pub orders: BTreeMap<OrderLineId, OrderLine>,
    /// The states of orders by number, `open` or `closed`.
    pub order_states: BTreeMap<OrderId, String>,
    /// What each lot has where.
    pub balances: BTreeMap<(LotId, PlaceId), Balance>,
    /// What of each lot may be picked and is reserved.
    pub positions: BTreeMap<LotId, Position>,
    /// The cost layers.
    pub layers: Layers,
    /// The claims that stand.
    pub claims: Claims,
    /// The holds that have not been lifted.
    pub holds: Vec<LiveHold>,
    /// Of each lot, how much of what was booked in was never accepted.
    pub unaccepted: BTreeMap<LotId, Qty>,
    /// Of each lot, the lots made out of it.
    pub children: BTreeMap<LotId, Vec<LotId>>,
    /// Certificates by number.
    pub certificates: BTreeMap<CertificateId, Certificate>,
    /// The numbers that come next.
    pub next: Next,
}

impl Stock {
    /// A working set with nothing in it yet.
    pub fn empty(day: Day, today: Day, method: Method, person: Person) -> Stock {
        Stock {
            day,
            today,
            method,
            person,
            parts: BTreeMap::new(),
            places: BTreeMap::new(),
            lots: BTreeMap::new(),
            jobs: BTreeMap::new(),
            lines: BTreeMap::new(),
            orders: BTreeMap::new(),
            order_states: BTreeMap::new(),
            balances: BTreeMap::new(),
            positions: BTreeMap::new(),
            layers: Layers::default(),
            claims: Claims::default(),
            holds: Vec::new(),
            unaccepted: BTreeMap::new(),
            children: BTreeMap::new(),
            certificates: BTreeMap::new(),
            next: Next::default(),
        }
    }

    /// The part of this number.
    pub fn part(&self, id: PartId) -> Result<&Part, Refusal> {
        self.parts.get(&id).ok_or(Refusal::Unread {
            what: "part",
            id: id.0,
        })
    }

    /// The place of this number.
    pub fn place(&self, id: PlaceId) -> Result<&Place, Refusal> {
        self.places.get(&id).ok_or(Refusal::Unread {
            what: "place",
            id: id.0,
        })
    }

    /// The lot of this number.
    pub fn lot(&self, id: LotId) -> Result<&Lot, Refusal> {
        self.lots.get(&id).map(Arc::as_ref).ok_or(Refusal::Unread {
            what: "lot",
            id: id.0,
        })
    }

    /// The job of this number.
    pub fn job(&self, id: JobId) -> Result<&Job, Refusal> {
        self.jobs.get(&id).ok_or(Refusal::Unread {
            what: "job",
            id: id.0,
        })
    }

    /// The job line of this number.
    pub fn line(&self, id: LineId) -> Result<&Line, Refusal> {
        self.lines.get(&id).ok_or(Refusal::Unread {
            what: "job line",
            id: id.0,
        })
    }

    /// The job that a line belongs to.
    pub fn job_of(&self, line: LineId) -> Result<&Job, Refusal> {
        self.job(self.line(line)?.job)
    }

    /// The order line of this number.
    pub fn order(&self, id: OrderLineId) -> Result<&OrderLine, Refusal> {
        self.orders.get(&id).ok_or(Refusal::Unread {
            what: "order line",
            id: id.0,
        })
    }

    /// The certificate of this number.
    pub fn certificate(&self, id: CertificateId) -> Result<&Certificate, Refusal> {
        self.certificates.get(&id).ok_or(Refusal::Unread {
            what: "certificate",
            id: id.0,
        })
    }

    /// What may be picked of a lot and what is reserved.
    pub fn position(&self, lot: LotId) -> Result<Position, Refusal> {
        self.positions.get(&lot).copied().ok_or(Refusal::Unread {
            what: "position of lot",
            id: lot.0,
        })
    }

    /// What a lot has at a place; nothing where it never was.
    pub fn balance(&self, lot: LotId, place: PlaceId) -> Balance {
        self.balances.get(&(lot, place)).copied().unwrap_or_default()
    }

    /// Where a lot lies and lay, with what it has there.
    pub fn places_of(&self, lot: LotId) -> impl Iterator<Item = (PlaceId, Balance)> + '_ {
        let (first, last) = ((lot, PlaceId(i64::MIN)), (lot, PlaceId(i64::MAX)));
        self.balances
            .range(first..=last)
            .map(|((_, place), balance)| (*place, *balance))
    }

    /// The part that a lot is.
    pub fn part_of(&self, lot: LotId) -> Result<&Part, Refusal> {
        self.part(self.lot(lot)?.part)
    }

    /// The later of the document's day and the clock's.
    pub fn latest_day(&self) -> Day {
        self.day.max(self.today)
    }

    /// The latest of the document's day, the clock's and the day on which a job's parts are fitted.
    pub fn judged_for(&self, job: &Job) -> Day {
        self.latest_day().max(job.use_day)
    }

    /// The causes of the live holds on a lot or a place.
    pub fn causes(&self, on: Held) -> Vec<String> {
        self.holds
            .iter()
            .filter(|hold| hold.on == on)
            .map(|hold| hold.cause.clone())
            .collect()
    }

    /// Whether stock of the lot at the place counts as pickable.
    pub fn counts_as_pickable(&self, lot: LotId, place: PlaceId) -> bool {
        place.pickable()
            && self.positions.get(&lot).is_none_or(|position| position.held == 0)
            && self.places.get(&place).is_none_or(|place| place.held == 0)
    }
}
