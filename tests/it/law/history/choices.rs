//! What happens next in a history by chance: every movement has its turn, and so have claims, holds and records.

use super::super::acts::Done;
use super::super::world::*;
use super::History;
use bincard::db::load::Gather;
use bincard::domain::kitting::alter::Alter;
use bincard::domain::kitting::reserve::{free, reserve};
use bincard::domain::measure::{Money, Qty};
use bincard::domain::refusal::Refusal;
use bincard::domain::stores::document::DocKind;
use bincard::domain::stores::ids::{HoldId, JobId, LineId, LotId, OrderLineId, PlaceId};
use bincard::domain::stores::law::{Kind, Movement};
use bincard::domain::stores::posting::{Field, Held, Posting, Source};
use bincard::domain::stores::verbs::draft::Draft;
use bincard::domain::stores::verbs::relabel;

/// A thing that can happen: its name, how often in a thousand, and how.
type Deed = (&'static str, i64, fn(&mut History) -> Option<Done>);

const DEEDS: [Deed; 38] = [
    ("birth", 130, History::birth),
    ("accept", 110, |h| {
        let kind = if h.chance.percent(85) {
            Kind::Receiving
        } else {
            Kind::Quarantine
        };
        let lying = h.lying(&[kind])?;
        let to = if h.chance.percent(80) {
            Kind::Shelf
        } else {
            Kind::Bench
        };
        let to = h.either(to);
        Some(h.carry(Movement::Accept, lying, to))
    }),
    ("quarantine", 20, |h| {
        let lying = h.lying(&[Kind::Receiving, Kind::Shelf, Kind::Bench, Kind::Kit])?;
        let to = h.either(Kind::Quarantine);
        Some(h.carry(Movement::Quarantine, lying, to))
    }),
    ("reject", 12, |h| {
        let lying = h.lying(&[Kind::Receiving, Kind::Quarantine])?;
        Some(h.carry(Movement::Reject, lying, REJECT))
    }),
    ("send back", 15, |h| {
        let kinds = [
            Kind::Receiving,
            Kind::Shelf,
            Kind::Quarantine,
            Kind::Reject,
            Kind::Kit,
            Kind::Crate,
        ];
        let lying = h.lying(&kinds)?;
        let to = if lying.owner.is_some() {
            Kind::Customer
        } else {
            Kind::Supplier
        };
        let to = h.either(to);
        Some(h.carry(Movement::SendBack, lying, to))
    }),
    ("move", 30, |h| {
        let lying = h.lying(&[
            Kind::Shelf,
            Kind::Shelf,
            Kind::Bench,
            Kind::Receiving,
            Kind::Quarantine,
            Kind::Reject,
        ])?;
        let kind = lying.place.kind().unwrap();
        let other = place(kind, 3 - lying.place.0 % 1_000_000);
        let across = if kind == Kind::Shelf { BENCH } else { SHELF };
        let to = if matches!(kind, Kind::Shelf | Kind::Bench) && h.chance.percent(40) {
            across
        } else {
            other
        };
        Some(h.carry(Movement::Move, lying, to))
    }),
    ("open", 45, History::opening),
    ("make up", 20, History::making),
    ("pick", 90, History::picking),
    ("put back", 20, |h| {
        let lying = h.lying(&[Kind::Kit])?;
        let to = if h.chance.percent(85) { SHELF } else { BENCH };
        Some(h.carry(Movement::PutBack, lying, to))
    }),
    ("rob", 15, History::robbing),
    ("issue", 35, |h| {
        let lying = h.lying(&[Kind::Kit])?;
        let line = h.line_at(lying.place, lying.part)?;
        let to = h.job_place(line, "engine");
        Some(h.carry(Movement::Issue, lying, to))
    }),
    ("use", 20, History::using),
    ("return", 15, |h| {
        let lying = h.lying(&[Kind::Engine, Kind::Kit])?;
        Some(h.carry(Movement::Return, lying, RECEIVING))
    }),
    ("take off", 15, |h| {
        let lying = h.lying(&[Kind::Engine])?;
        let to = if h.chance.percent(50) {
            RECEIVING
        } else {
            crate_of(h.open_job()?)
        };
        Some(h.carry(Movement::TakeOff, lying, to))
    }),
    ("swap", 8, |h| {
        let job = h.open_job()?;
        let engine =
            h.any("SELECT id FROM place WHERE id / 1000000 = 20 AND id NOT IN (SELECT engine FROM job)")?;
        Some(h.world.swap(job, PlaceId(engine.int(0).unwrap())))
    }),
    ("dispatch", 10, |h| {
        let lying = h.lying(&[Kind::Shelf, Kind::Kit])?;
        let to = h.either(Kind::Customer);
        Some(h.carry(Movement::Dispatch, lying, to))
    }),
    ("scrap", 15, |h| {
        let lying = h.lying(&[
            Kind::Receiving,
            Kind::Shelf,
            Kind::Bench,
            Kind::Reject,
            Kind::Kit,
            Kind::Away,
            Kind::Engine,
        ])?;
        Some(h.carry(Movement::Scrap, lying, SCRAP))
    }),
    ("loss", 20, |h| {
        let lying = h.lying(&[
            Kind::Shelf,
            Kind::Bench,
            Kind::Quarantine,
            Kind::Kit,
            Kind::Crate,
            Kind::Away,
            Kind::Engine,
        ])?;
        Some(h.carry(Movement::Loss, lying, COUNTED))
    }),
    ("gain", 20, History::finding),
    ("late cost", 20, |h| {
        let lot = h.any("SELECT id FROM lot")?;
        let cost = Money::from_millionths(h.chance.within(-900_000, 9_000_000));
        Some(h.world.late_cost(LotId(lot.int(0).unwrap()), cost))
    }),
    ("restate", 4, |h| {
        let to = h.other_method();
        Some(h.world.restate(to))
    }),
    ("wind up", 45, History::wind_up),
    ("send out", 15, |h| {
        let lying = h.lying(&[Kind::Receiving, Kind::Shelf, Kind::Quarantine, Kind::Kit])?;
        let to = h.either(Kind::Away);
        Some(h.carry(Movement::SendOut, lying, to))
    }),
    ("back in", 15, |h| {
        let lying = h.lying(&[Kind::Away])?;
        Some(h.carry(Movement::BackIn, lying, RECEIVING))
    }),
    ("take in", 8, |h| {
        let lying = h.lying(&[Kind::Crate])?;
        Some(h.carry(Movement::TakeIn, lying, RECEIVING))
    }),
    ("reserve a job", 50, History::reserve_some),
    ("reserve", 30, |h| {
        let lying = h.lying(&[Kind::Shelf, Kind::Bench])?;
        let line = h.wanting(lying.part)?;
        let qty = h.needed(line, lying);
        Some(h.world.reserve(line, lying.lot, qty))
    }),
    ("peg", 35, |h| {
        let part = bincard::domain::stores::ids::PartId(h.chance.within(1, LINES));
        let line = h.wanting(part)?;
        let qty = if part == SEALANT {
            n(50)
        } else {
            n(h.chance.within(1, 10))
        };
        Some(h.world.peg(line, order_line(h.chance.within(1, 2), part), qty))
    }),
    ("free", 15, |h| {
        let row = h.any(
            "SELECT line, lot, order_line FROM claim GROUP BY line, lot, order_line HAVING SUM(qty) > 0",
        )?;
        let lot = row.maybe_int(1).unwrap().map(|lot| Source::Lot(LotId(lot)));
        let order = row
            .maybe_int(2)
            .unwrap()
            .map(|order| Source::Order(OrderLineId(order)));
        Some(h.world.free(LineId(row.int(0).unwrap()), lot.or(order)?))
    }),
    ("hold", 18, |h| {
        let lying = h.lying(&[
            Kind::Shelf,
            Kind::Shelf,
            Kind::Bench,
            Kind::Quarantine,
            Kind::Kit,
            Kind::Receiving,
        ])?;
        let on = if h.chance.percent(75) {
            Held::Lot(lying.lot)
        } else {
            Held::Place(lying.place)
        };
        Some(h.world.try_hold(on))
    }),
    ("lift", 30, |h| {
        let live = "SELECT id FROM hold h WHERE lifts IS NULL AND NOT EXISTS (SELECT 1 FROM hold x WHERE x.lifts = h.id)";
        let hold = h.any(live)?;
        Some(h.world.lift(HoldId(hold.int(0).unwrap())))
    }),
    ("alter", 40, History::altering),
    ("cancel", 2, |h| {
        let job = h.open_job()?;
        Some(h.world.cancel(job))
    }),
    ("raise", 14, History::raising),
    ("order closed short", 8, History::closing_short),
    ("relabel", 25, History::relabelling),
    ("undo", 60, History::undo_older),
];

impl History {
    /// Something happens, or nothing where there is nothing it could happen to.
    pub fn act(&mut self) -> Option<Done> {
        let total: i64 = DEEDS.iter().map(|deed| deed.1).sum();
        let mut at = self.chance.within(1, total);
        let deed = DEEDS.iter().find(|deed| {
            at -= deed.1;
            at <= 0
        })?;
        self.last = deed.0;
        (deed.2)(self)
    }

    /// The clerk reserves for a job, or for all.
    fn reserve_some(&mut self) -> Option<Done> {
        let mut jobs: Vec<JobId> = vec![self.open_job()?];
        if self.chance.percent(20) {
            jobs = self
                .world
                .rows("SELECT id FROM job WHERE state = 'open'")
                .iter()
                .map(|row| JobId(row.int(0).unwrap()))
                .collect();
        }
        let head = self.world.head(DocKind::Reserve);
        let gather = |facts: &mut Gather<'_, '_>| bincard::db::kitting::jobs::gather_jobs(facts, &jobs);
        let nothing = || Refusal::Nothing;
        Some(self.world.act(gather, |stock| {
            reserve(stock, head, &jobs)?.posting.ok_or_else(nothing)
        }))
    }

    /// Gives up what a line of a job has.
    pub fn free_line(&mut self, job: JobId, number: i64) -> Option<Done> {
        let head = self.world.head(DocKind::Free);
        let gather = |facts: &mut Gather<'_, '_>| bincard::db::kitting::jobs::gather_jobs(facts, &[job]);
        let nothing = || Refusal::Nothing;
        Some(self.world.act(gather, |stock| {
            free(stock, head, job, &[number])?.ok_or_else(nothing)
        }))
    }

    /// A job or one of its lines is changed.
    fn altering(&mut self) -> Option<Done> {
        let job = self.open_job()?;
        let row = self.any(&format!(
            "SELECT id, part, dropped FROM job_line WHERE job = {job}"
        ))?;
        let (id, part, dropped) = (
            LineId(row.int(0).unwrap()),
            row.int(1).unwrap(),
            row.flag(2).unwrap(),
        );
        let need = NEEDS[usize::try_from(part - 1).unwrap()].1;
        let change = match self.chance.within(1, 10) {
            1..=3 => Alter::UseDay(self.world.today.plus_days(self.chance.within(-3, 25)).unwrap()),
            _ if dropped => Alter::TakeBack(id, Qty::from_millionths(need)),
            4..=7 => {
                let step = bare_part(bincard::domain::stores::ids::PartId(part))
                    .step
                    .millionths();
                Alter::Need(
                    id,
                    Qty::from_millionths(self.chance.within(0, 2 * need) / step * step),
                )
            }
            8 | 9 => {
                let words = [",new,", ",new,used,", ",used,"];
                Alter::Allows(id, (*self.chance.one_of(&words).unwrap()).to_owned())
            }
            _ => Alter::Drop(id),
        };
        Some(self.world.alter(job, &[change]))
    }

    /// A new job is raised, on a new engine.
    fn raising(&mut self) -> Option<Done> {
        if self.jobs >= 14 {
            return None;
        }
        self.jobs += 1;
        let job = JobId(self.jobs);
        let customer = self.either(Kind::Customer);
        let use_day = self.world.today.plus_days(self.chance.within(2, 30))?;
        let engine = place(Kind::Engine, 100 + self.jobs);
        let mut posting = Posting::new(self.world.head(DocKind::Job));
        posting.records = vec![a_place(engine, Some(customer))];
        posting.records.extend(a_job(job, customer, use_day, engine));
        Some(self.world.act(|_| Ok(()), |_| Ok(posting)))
    }

    /// An order line is closed short, by more or by less than before.
    fn closing_short(&mut self) -> Option<Done> {
        let row = self.any("SELECT id, accepted FROM order_line")?;
        let line = OrderLineId(row.int(0).unwrap());
        let closed = self.chance.within(0, 140) * 1_000_000;
        let head = self.world.head(DocKind::Change);
        Some(self.world.act(
            |facts| facts.order_line(line),
            |stock| {
                let mut draft = Draft::new(stock, head);
                draft.set_field(Field::OrderClosed, line.0, Some(closed.to_string()))?;
                if draft.posting.changes.is_empty() {
                    return Err(Refusal::Nothing);
                }
                draft.finish()
            },
        ))
    }

    /// What is known of a lot is changed: its last day, its condition, its owner, its papers.
    fn relabelling(&mut self) -> Option<Done> {
        let whole = self.chance.percent(60);
        let sql = if whole {
            "SELECT id FROM lot WHERE size IS NOT NULL"
        } else {
            "SELECT id FROM lot"
        };
        let lot = LotId(self.any(sql)?.int(0).unwrap());
        let mut head = self.world.head(DocKind::Change);
        head.owner_word = self.chance.percent(80).then(|| "by letter".to_owned());
        let (last, customer) = (
            self.world.today.plus_days(self.chance.within(-5, 50)),
            self.either(Kind::Customer),
        );
        let owner = self.chance.percent(60).then_some(customer);
        let condition = *self.chance.one_of(&["new", "used"]).unwrap();
        let which = self.chance.within(1, if whole { 5 } else { 2 });
        let gather = |facts: &mut Gather<'_, '_>| {
            facts.place(customer)?;
            facts.lot(lot)
        };
        Some(self.world.act(gather, |stock| match which {
            1 => relabel::expiry(stock, head, lot, last, "as the maker says"),
            2 => relabel::papers_came(stock, head, lot),
            3 => relabel::condition(stock, head, lot, condition),
            _ => relabel::owner(stock, head, lot, owner),
        }))
    }
}
