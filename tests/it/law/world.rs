//! A workshop in a store of its own: places of every kind, parts, two jobs, an order; and verbs run on its books.

use bincard::db::books::{Books, Open};
use bincard::db::error::Error;
use bincard::db::load::Gather;
use bincard::db::post::{Stamp, post};
use bincard::db::sqlite::Purpose;
use bincard::db::value::Value;
use bincard::db::written::{gather, written};
use bincard::domain::measure::{Day, Money, Qty};
use bincard::domain::refusal::Refusal;
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::ids::{DocId, JobId, LineId, LotId, OrderLineId, PartId, PlaceId};
use bincard::domain::stores::law::{Kind, Movement, Role};
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::posting::{Posting, Source};
use bincard::domain::stores::stock::{Method, Person, Stock};
use bincard::domain::stores::verbs::draft::Draft;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::moves::post_moves;
use bincard::domain::stores::verbs::undo::undo;
use std::cell::Cell;

pub const NUT: PartId = PartId(1);
pub const SEALANT: PartId = PartId(2);
pub const WIRE: PartId = PartId(3);
pub const TURBO: PartId = PartId(4);
pub const PARTS: [PartId; 4] = [NUT, SEALANT, WIRE, TURBO];
pub const RED: JobId = JobId(1);
pub const BLUE: JobId = JobId(2);
pub const ORDER: OrderLineId = OrderLineId(1);

/// The `n`-th place of a kind; there are two of each, three engines.
pub fn at(kind: Kind, n: i64) -> PlaceId {
    PlaceId::of(kind, n)
}

/// The line of a job for a part: red has 1 to 4, blue 5 to 8.
pub fn line(job: JobId, part: PartId) -> LineId {
    LineId((job.0 - 1) * 4 + part.0)
}

pub fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

pub fn today() -> Day {
    day("2026-11-25")
}

pub fn head(movement: Movement) -> Head {
    Head::new(DocKind::Movement(movement), today(), "HP")
}

/// Why nothing was written.
#[derive(Debug)]
pub enum Trouble {
    Refused(Refusal),
    Books(Error),
}

impl From<Error> for Trouble {
    fn from(error: Error) -> Trouble {
        Trouble::Books(error)
    }
}

impl From<Refusal> for Trouble {
    fn from(refusal: Refusal) -> Trouble {
        Trouble::Refused(refusal)
    }
}

pub type Outcome = Result<DocId, Trouble>;

/// The name of the refusal; a fault of the books is none.
pub fn refused(outcome: Outcome) -> String {
    match outcome {
        Err(Trouble::Refused(refusal)) => {
            let shown = format!("{refusal:?}");
            shown.split([' ', '{', '(']).next().unwrap().to_owned()
        }
        Err(Trouble::Books(error)) => panic!("the books refused it: {error}"),
        Ok(written) => panic!("document {written} was written"),
    }
}

pub struct World {
    _folder: tempfile::TempDir,
    pub books: Books,
    documents: Cell<usize>,
    pub roles: Cell<&'static [Role]>,
    /// The clock's day and the day on the document.
    pub today: Cell<Day>,
    pub day: Cell<Day>,
}

impl World {
    pub fn new(method: Method) -> World {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("store.db");
        let found = |open: &Open<'_>| -> Result<(), Error> {
            open.set_setting("method", method.word())?;
            let stamp = Stamp {
                at: "2026-11-25T09:00:00Z".to_owned(),
                op: "found".to_owned(),
                request: [0; 32],
            };
            post(open, &super::records::records(), &stamp).map(drop)
        };
        Books::create(&path, || {}, found).unwrap();
        World {
            books: Books::open(&path, Purpose::Write, || {}).unwrap(),
            _folder: folder,
            documents: Cell::new(0),
            roles: Cell::new(&[Role::Clerk, Role::Manager, Role::Inspector]),
            today: Cell::new(today()),
            day: Cell::new(today()),
        }
    }

    fn person(&self) -> Person {
        Person {
            initials: "HP".to_owned(),
            roles: self.roles.get().to_vec(),
        }
    }

    fn stamp(&self) -> Stamp {
        self.documents.set(self.documents.get() + 1);
        Stamp {
            at: format!("{}T09:00:00Z", self.today.get()),
            op: format!("op-{}", self.documents.get()),
            request: [0; 32],
        }
    }

    /// Gathers what is asked for, decides and posts, as a command does.
    pub fn run(
        &self,
        want: impl FnOnce(&mut Gather<'_, '_>) -> Result<(), Error>,
        decide: impl FnOnce(&Stock) -> Result<Posting, Refusal>,
    ) -> Outcome {
        self.books.write(|open| {
            let mut facts = Gather::begin(open, self.day.get(), self.today.get(), self.person())?;
            want(&mut facts)?;
            let mut posting = decide(&facts.done())?;
            posting.head.day = self.day.get();
            Ok(post(open, &posting, &self.stamp())?)
        })
    }

    /// A document drawn up by hand on the facts of these lots, jobs and of the order.
    pub fn draw_up(
        &self,
        head: Head,
        lots: &[LotId],
        jobs: &[JobId],
        work: impl FnOnce(&mut Draft) -> Result<(), Refusal>,
    ) -> Outcome {
        self.run(
            |facts| {
                lots.iter().try_for_each(|lot| facts.lot(*lot))?;
                jobs.iter().try_for_each(|job| facts.job(*job))?;
                PARTS.iter().try_for_each(|part| facts.part(*part))?;
                super::records::places().try_for_each(|(place, _)| facts.place(place))?;
                facts.order_line(ORDER)
            },
            |stock| {
                let mut draft = Draft::new(stock, head);
                work(&mut draft)?;
                draft.finish()
            },
        )
    }

    /// One document of movements on the facts that they name.
    pub fn moves(&self, head: Head, moves: &[Move]) -> Outcome {
        self.run(
            |facts| {
                for asked in moves {
                    facts.lot(asked.lot)?;
                    facts.place(asked.from)?;
                    facts.place(asked.to)?;
                    for job in [asked.from_line, asked.to_line].into_iter().flatten().map(job_of) {
                        facts.job(job)?;
                    }
                }
                Ok(())
            },
            |stock| post_moves(stock, head, moves),
        )
    }

    /// A new lot that comes in by this movement, which is not one of a job's line.
    pub fn born(
        &self,
        movement: Movement,
        part: PartId,
        to: PlaceId,
        qty: Qty,
        cost: i64,
        new: NewLot,
    ) -> LotId {
        let from = match movement {
            Movement::BringForward => at(Kind::BroughtForward, 1),
            _ if new.owner.is_some() => new.owner.unwrap(),
            _ => at(Kind::Supplier, 1),
        };
        self.draw_up(head(movement), &[], &[], |draft| {
            let order_line = new.order_line;
            let lot = draft.new_lot(part, new, false)?;
            let asked = Move::new(movement, lot, from, to, qty).at(Money::whole(cost));
            draft.enter(Move { order_line, ..asked })
        })
        .unwrap();
        self.newest_lot()
    }

    /// A new lot of the house on the first shelf, by the old cards.
    pub fn on_shelf(&self, part: PartId, qty: i64, cost: i64) -> LotId {
        let to = at(Kind::Shelf, 1);
        self.born(
            Movement::BringForward,
            part,
            to,
            Qty::whole(qty),
            cost,
            NewLot::default(),
        )
    }

    /// Reserves a quantity of a lot for a line.
    pub fn reserve(&self, job: JobId, lot: LotId, part: PartId, qty: i64) -> Outcome {
        self.draw_up(
            Head::new(DocKind::Reserve, today(), "HP"),
            &[lot],
            &[job],
            |draft| draft.reserve(line(job, part), lot, Qty::whole(qty)),
        )
    }

    /// Promises a quantity of the order line to a line.
    pub fn peg(&self, job: JobId, qty: i64) -> Outcome {
        self.draw_up(Head::new(DocKind::Reserve, today(), "HP"), &[], &[job], |draft| {
            draft.peg(line(job, NUT), ORDER, Qty::whole(qty))
        })
    }

    pub fn undo(&self, id: DocId) -> Outcome {
        self.books.write(|open| {
            let old = written(open, id)?.expect("the document is there");
            let mut facts = Gather::begin(open, self.day.get(), self.today.get(), self.person())?;
            gather(&mut facts, &old)?;
            let head = Head::new(DocKind::Movement(Movement::Undo), self.day.get(), "HP");
            let posting = undo(&facts.done(), head, &old)?;
            Ok(post(open, &posting, &self.stamp())?)
        })
    }

    /// The rows of a statement, as text.
    pub fn rows(&self, sql: &str) -> Vec<String> {
        let read = |open: &Open<'_>| open.rows(sql, &[]);
        let rows = self.books.read(read).unwrap();
        let cell = |value: &Value| match value {
            Value::Text(text) => text.clone(),
            Value::Int(whole) => whole.to_string(),
            Value::Null => "-".to_owned(),
            Value::Blob(_) => "blob".to_owned(),
        };
        rows.iter()
            .map(|row| row.0.iter().map(cell).collect::<Vec<_>>().join(" "))
            .collect()
    }

    pub fn number(&self, sql: &str) -> i64 {
        self.rows(sql)[0].parse().unwrap()
    }

    pub fn newest_lot(&self) -> LotId {
        LotId(self.number("SELECT MAX(id) FROM lot"))
    }

    pub fn newest_document(&self) -> DocId {
        DocId(self.number("SELECT MAX(id) FROM document"))
    }

    /// What a line has on a source, in whole units.
    pub fn claimed(&self, job: JobId, part: PartId, source: Source) -> i64 {
        let on = match source {
            Source::Lot(lot) => format!("lot = {lot}"),
            Source::Order(order) => format!("order_line = {order}"),
        };
        let line = line(job, part);
        self.number(&format!(
            "SELECT COALESCE(SUM(qty), 0) / 1000000 FROM claim WHERE line = {line} AND {on}"
        ))
    }

    pub fn list(&self, job: JobId) -> i64 {
        self.number(&format!("SELECT list FROM job WHERE id = {job}"))
    }

    /// The books prove themselves.
    pub fn check(&self) {
        let found = self.books.read(bincard::db::check::check).unwrap();
        assert_eq!(found.faults, [], "the books have faults");
    }
}

fn job_of(line: LineId) -> JobId {
    if line.0 <= 4 { RED } else { BLUE }
}
