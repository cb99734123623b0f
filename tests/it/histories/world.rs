//! A workshop for the law: parts of every sort, places of every kind, two jobs, an order; verbs run the real way.

use bincard::db::books::{Books, Open};
use bincard::db::check::check;
use bincard::db::error::Error;
use bincard::db::load::Gather;
use bincard::db::post::{Stamp, post};
use bincard::db::sqlite::Purpose;
use bincard::db::written::{gather, written};
use bincard::domain::measure::{Day, Qty};
use bincard::domain::refusal::Refusal;
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::ids::{DocId, JobId, LineId, LotId, OrderLineId, PartId, PlaceId};
use bincard::domain::stores::law::{KINDS, Kind, Movement, Role};
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::posting::Posting;
use bincard::domain::stores::record::{Datum, Record, Table};
use bincard::domain::stores::stock::{Person, Stock};
use bincard::domain::stores::verbs::draft::Draft;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::undo::undo;
use std::cell::Cell;
use tempfile::TempDir;

/// Plain nuts.
pub const NUT: PartId = PartId(1);
/// Sealant, handed out in tubes of 50.
pub const TUBE: PartId = PartId(2);
/// Bench stock.
pub const RAG: PartId = PartId(3);
/// Parts with a serial.
pub const TURBO: PartId = PartId(4);

/// The first job, of customer 1, on engine 1; its day of use is 2026-12-02.
pub const BLUE: JobId = JobId(1);
/// The second job, on engine 2; its day of use is 2026-12-09.
pub const RED: JobId = JobId(2);

/// The `n`-th place of a kind.
pub fn place(kind: Kind, n: i64) -> PlaceId {
    PlaceId::of(kind, n)
}

/// A workshop in a store of its own.
pub struct World {
    /// Kept so that the store is there as long as the world is.
    _folder: TempDir,
    books: Books,
    ops: Cell<i64>,
    /// The day of the document and of the clock.
    pub day: Cell<Day>,
}

fn words(data: &[&str]) -> Vec<Datum> {
    data.iter()
        .map(|word| match word.parse::<i64>() {
            Ok(whole) => Datum::Whole(whole),
            Err(_) if *word == "-" => Datum::Nothing,
            Err(_) => Datum::Text((*word).to_owned()),
        })
        .collect()
}

/// A day of 2026 as `MM-DD`.
pub fn day(text: &str) -> Day {
    Day::parse(&format!("2026-{text}")).unwrap()
}

// A table of records, not a course of thought.
#[allow(clippy::too_many_lines)]
fn records() -> Vec<Record> {
    let mut records = Vec::new();
    let mut add = |table, data: &[&str]| {
        records.push(Record {
            table,
            data: words(data),
        })
    };
    for kind in KINDS {
        for n in 1..=3 {
            let id = place(kind, n).0.to_string();
            let code = format!("{}/{n}", kind.word());
            add(Table::Place, &[&id, &code, &code, "-", "-", "0", "-", "-"]);
        }
    }
    let (million, fifty) = ("1000000", "50000000");
    for (id, number, unit, step, bench, hand_out) in [
        ("1", "NUT", "each", million, "0", "-"),
        ("2", "TUBE", "ml", "1", "0", fifty),
        ("3", "RAG", "each", million, "1", "-"),
        ("4", "TURBO", "each", million, "0", "-"),
    ] {
        add(
            Table::Part,
            &[
                id,
                number,
                number,
                "component",
                unit,
                step,
                "-",
                "-",
                bench,
                "0",
                "measure",
                hand_out,
                "-",
                "-",
                "-",
                "live",
            ],
        );
    }
    add(Table::Bill, &["1", "1", "A", "-", "-", "-", "manual"]);
    for (job, use_day) in [("1", "2026-12-02"), ("2", "2026-12-09")] {
        let (number, tag) = (format!("J-000{job}"), format!("tag{job}"));
        let at = |kind: Kind| place(kind, job.parse().unwrap()).0.to_string();
        add(
            Table::Job,
            &[
                job,
                &number,
                "1",
                "",
                &tag,
                &at(Kind::Kit),
                &at(Kind::Crate),
                &at(Kind::Engine),
                &at(Kind::Customer),
                use_day,
                "5",
                "open",
                "-",
            ],
        );
    }
    // Lines 1–4 of job 1 and 5–8 of job 2: ten nuts, twelve ml, three rags, one turbocharger.
    for (at, job) in ["1", "2"].into_iter().enumerate() {
        for (n, (part, need, most)) in [
            ("1", "10", "10"),
            ("2", "12", "61.999999"),
            ("3", "3", "3"),
            ("4", "1", "1"),
        ]
        .into_iter()
        .enumerate()
        {
            let id = (at * 4 + n + 1).to_string();
            let qty = |text: &str| Qty::parse(text).unwrap().millionths().to_string();
            let n = (n + 1).to_string();
            add(
                Table::JobLine,
                &[
                    &id,
                    job,
                    &n,
                    part,
                    "-",
                    "by hand",
                    ",new,",
                    "0",
                    &qty(need),
                    &qty(most),
                ],
            );
        }
    }
    add(
        Table::SupplierOrder,
        &[
            "1",
            "ORD-1",
            &place(Kind::Supplier, 1).0.to_string(),
            "2026-11-01",
            "GBP",
            "open",
        ],
    );
    add(
        Table::OrderLine,
        &["1", "1", "1", "1", "1000000000", "500000000", "2026-12-01", "0"],
    );
    records
}

impl World {
    /// A workshop whose shelves are valued by this method.
    pub fn new(method: &str) -> World {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("store.db");
        let start = day("11-25");
        Books::create(
            &path,
            || {},
            |open| -> Result<(), Error> {
                open.set_setting("method", method)?;
                let mut posting = Posting::new(Head::new(DocKind::Founding, start, "XX"));
                posting.records = records();
                let stamp = Stamp {
                    at: format!("{start}T08:00:00Z"),
                    op: "found".to_owned(),
                    request: [0; 32],
                };
                post(open, &posting, &stamp)?;
                Ok(())
            },
        )
        .unwrap();
        let books = Books::open(&path, Purpose::Write, || {}).unwrap();
        World {
            _folder: folder,
            books,
            ops: Cell::new(0),
            day: Cell::new(start),
        }
    }

    /// Reads the books.
    pub fn read<T>(&self, work: impl FnOnce(&Open<'_>) -> T) -> T {
        self.books
            .read(|open| -> Result<T, Error> { Ok(work(open)) })
            .unwrap()
    }

    /// Gathers facts, decides and posts; what is refused leaves nothing.
    pub fn act(
        &self,
        facts: impl FnOnce(&mut Gather<'_, '_>) -> Result<(), Error>,
        decide: impl FnOnce(&Stock) -> Result<Posting, Refusal>,
    ) -> Result<DocId, Refusal> {
        let done = self.books.write(|open| -> Result<DocId, Stop> {
            let mut gather = Gather::begin(open, self.day.get(), self.day.get(), everybody())?;
            facts(&mut gather)?;
            let posting = decide(&gather.done())?;
            Ok(post(open, &posting, &self.stamp())?)
        });
        done.map_err(|stop| match stop {
            Stop::Refused(refusal) => refusal,
            Stop::Books(error) => panic!("the books refused what the domain let pass: {error}"),
        })
    }

    fn stamp(&self) -> Stamp {
        self.ops.set(self.ops.get() + 1);
        let at = format!("{}T09:00:00Z", self.day.get());
        Stamp {
            at,
            op: format!("op-{}", self.ops.get()),
            request: [0; 32],
        }
    }

    /// The head of a document of today.
    pub fn head(&self, movement: Movement) -> Head {
        Head::new(DocKind::Movement(movement), self.day.get(), "XX")
    }

    /// One document of movements.
    pub fn go(&self, moves: &[Move]) -> Result<DocId, Refusal> {
        let mut head = self.head(moves[0].movement);
        head.due = Some(day("12-31"));
        head.owner_word = Some("yes, by letter".to_owned());
        self.act(
            |facts| everything(facts, moves),
            |stock| bincard::domain::stores::verbs::moves::post_moves(stock, head, moves),
        )
    }

    /// A new lot booked in, brought forward, fitted early, found or taken off, by the movement's own way of birth.
    pub fn born(&self, part: PartId, new: NewLot, asked: Move) -> Result<LotId, Refusal> {
        let mut made = LotId(0);
        let mut head = self.head(asked.movement);
        head.owner_word = Some("told".to_owned());
        self.act(
            |facts| {
                facts.part(part)?;
                facts.job(BLUE)?;
                facts.job(RED)?;
                facts.order_line(OrderLineId(1))?;
                for kind in KINDS {
                    facts.place(place(kind, 1))?;
                    facts.place(place(kind, 2))?;
                }
                Ok(())
            },
            |stock| {
                let mut draft = Draft::new(stock, head);
                made = draft.new_lot(part, new, false)?;
                draft.go(&Move { lot: made, ..asked })?;
                draft.finish()
            },
        )?;
        Ok(made)
    }

    /// Undoes a document.
    pub fn undo(&self, id: DocId) -> Result<DocId, Refusal> {
        let document = self.read(|open| written(open, id).unwrap().unwrap());
        let head = self.head(Movement::Undo);
        self.act(
            |facts| gather(facts, &document),
            |stock| undo(stock, head, &document),
        )
    }

    /// Insists that every rule of the law holds.
    #[track_caller]
    pub fn prove(&self) {
        let found = self.read(|open| check(open).unwrap());
        assert_eq!(found.faults, Vec::new());
    }

    /// Every derived row, to compare two states; a job's list rises for ever and is left out.
    pub fn state(&self) -> Vec<String> {
        let tables = [
            "SELECT 'balance', lot, place, qty, value FROM balance WHERE qty <> 0 OR value <> 0 ORDER BY lot, place",
            "SELECT 'position', lot, pickable, reserved, held FROM lot_position WHERE pickable + reserved + held <> 0 ORDER BY lot",
            "SELECT 'layer', id, qty, value FROM layer WHERE qty <> 0 OR value <> 0 ORDER BY id",
            "SELECT 'line', id, need, most, allows, dropped, reserved, pegged, kitted, fitted FROM job_line ORDER BY id",
            "SELECT 'order', id, closed, arrived, accepted, pegged FROM order_line ORDER BY id",
            "SELECT 'place', id, held FROM place WHERE held <> 0 ORDER BY id",
            "SELECT 'job', id, use_day, state, engine FROM job ORDER BY id",
            "SELECT 'claim', line, lot, order_line, SUM(qty) FROM claim GROUP BY line, lot, order_line HAVING SUM(qty) <> 0 ORDER BY line, lot, order_line",
            "SELECT 'method', value FROM setting WHERE name = 'method'",
        ];
        self.read(|open| {
            let rows = tables.iter().flat_map(|sql| open.rows(sql, &[]).unwrap());
            rows.map(|row| format!("{:?}", row.0)).collect()
        })
    }

    /// How many documents there are: what a refusal must not change.
    pub fn documents(&self) -> i64 {
        self.read(|open| {
            open.row("SELECT COUNT(*) FROM document", &[])
                .unwrap()
                .unwrap()
                .int(0)
                .unwrap()
        })
    }
}

/// Everything that movements could touch.
fn everything(facts: &mut Gather<'_, '_>, moves: &[Move]) -> Result<(), Error> {
    facts.job(BLUE)?;
    facts.job(RED)?;
    facts.order_line(OrderLineId(1))?;
    for asked in moves {
        facts.lot(asked.lot)?;
        facts.place(asked.from)?;
        facts.place(asked.to)?;
    }
    Ok(())
}

/// Somebody who may do anything.
fn everybody() -> Person {
    Person {
        initials: "XX".to_owned(),
        roles: vec![Role::Clerk, Role::Manager, Role::Inspector],
    }
}

/// Why an act stopped.
#[derive(Debug)]
enum Stop {
    Refused(Refusal),
    Books(Error),
}

impl From<Refusal> for Stop {
    fn from(refusal: Refusal) -> Stop {
        Stop::Refused(refusal)
    }
}

impl From<Error> for Stop {
    fn from(error: Error) -> Stop {
        Stop::Books(error)
    }
}

/// The line of a job for a part: parts are numbered as the lines are.
pub fn line(job: JobId, part: PartId) -> LineId {
    LineId((job.0 - 1) * 4 + part.0)
}
