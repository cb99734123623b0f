//! A workshop for the tests of the law: a store of its own with parts, places and people of every sort, on fixed days.

use bincard::db::books::{Books, Open};
use bincard::db::error::Error;
use bincard::db::post::{Stamp, post};
use bincard::domain::measure::{Day, Life, Qty};
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::ids::{JobId, LineId, OrderLineId, PartId, PlaceId};
use bincard::domain::stores::law::{Kind, Role};
use bincard::domain::stores::part::Part;
use bincard::domain::stores::posting::Posting;
use bincard::domain::stores::record::{Datum, Record, Table};
use bincard::domain::stores::stock::{Method, Person};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use tempfile::TempDir;

/// The day on which every history begins.
pub const FIRST: &str = "2026-03-02";

/// A stud: plain stock, each.
pub const STUD: PartId = PartId(1);
/// Sealant in tubes of 50 ml, 30 days once opened.
pub const SEALANT: PartId = PartId(2);
/// A compressor with a serial.
pub const BLOWER: PartId = PartId(3);
/// Pistons in matched sets of four.
pub const PISTON: PartId = PartId(4);
/// Nuts, bench stock.
pub const NUT: PartId = PartId(5);
/// Lock wire, in metres, to the millimetre.
pub const WIRE: PartId = PartId(6);
/// A spacer made up in the house.
pub const SPACER: PartId = PartId(7);
/// Primer in tins of 50 ml of which a job pays the whole.
pub const PRIMER: PartId = PartId(8);
/// How many parts a job has a line for: the first six.
pub const LINES: i64 = 6;

/// The first place of a kind.
pub const fn place(kind: Kind, n: i64) -> PlaceId {
    PlaceId(kind as i64 * 1_000_000 + n)
}
pub const RECEIVING: PlaceId = place(Kind::Receiving, 1);
pub const SHELF: PlaceId = place(Kind::Shelf, 1);
pub const SHELF_2: PlaceId = place(Kind::Shelf, 2);
pub const BENCH: PlaceId = place(Kind::Bench, 1);
pub const CAGE: PlaceId = place(Kind::Quarantine, 1);
pub const REJECT: PlaceId = place(Kind::Reject, 1);
pub const PLATER: PlaceId = place(Kind::Away, 1);
pub const SCRAP: PlaceId = place(Kind::Scrap, 1);
pub const SHOP: PlaceId = place(Kind::Shop, 1);
pub const SUPPLIER: PlaceId = place(Kind::Supplier, 1);
pub const SUPPLIER_2: PlaceId = place(Kind::Supplier, 2);
pub const CUSTOMER: PlaceId = place(Kind::Customer, 1);
pub const CUSTOMER_2: PlaceId = place(Kind::Customer, 2);
pub const COUNTED: PlaceId = place(Kind::Counted, 1);
pub const MAKING: PlaceId = place(Kind::Making, 1);
pub const CARDS: PlaceId = place(Kind::BroughtForward, 1);

/// The jobs: blue and green have one customer each, amber is the first customer's again. Each has the parts of its
/// number of the engine, kit and crate.
pub const BLUE: JobId = JobId(1);
pub const GREEN: JobId = JobId(2);
pub const AMBER: JobId = JobId(3);

/// The kit, crate and engine of a job.
pub const fn kit(job: JobId) -> PlaceId {
    place(Kind::Kit, job.0)
}
pub const fn crate_of(job: JobId) -> PlaceId {
    place(Kind::Crate, job.0)
}
pub const fn engine(job: JobId) -> PlaceId {
    place(Kind::Engine, job.0)
}

/// The line of a job for a part.
pub const fn line(job: JobId, part: PartId) -> LineId {
    LineId((job.0 - 1) * LINES + part.0)
}

/// What each job needs of each part, in the part's unit: ten studs, 12 ml, one blower, a set of four, eight nuts, 2.5 m.
pub const NEEDS: [(PartId, i64); 6] = [
    (STUD, 10_000_000),
    (SEALANT, 12_000_000),
    (BLOWER, 1_000_000),
    (PISTON, 4_000_000),
    (NUT, 8_000_000),
    (WIRE, 2_500_000),
];

/// The line of the first order (supplier 1) or the second (supplier 2) for a part; a hundred and fifty are ordered, at 1.50.
pub const fn order_line(order: i64, part: PartId) -> OrderLineId {
    OrderLineId((order - 1) * LINES + part.0)
}

/// The workshop.
pub struct World {
    folder: TempDir,
    pub books: Books,
    /// The day of the document.
    pub day: Day,
    /// The day of the clock.
    pub today: Day,
    /// What the person who writes may decide.
    pub roles: Vec<Role>,
    pub(super) ops: u64,
}

/// Some days after the first.
pub fn day(after: i64) -> Day {
    Day::parse(FIRST).unwrap().plus_days(after).unwrap()
}

/// Whole ones of a part's unit.
pub fn n(whole: i64) -> Qty {
    Qty::whole(whole)
}

impl World {
    /// A store on this method, with nothing in stock.
    pub fn new(method: Method) -> World {
        // Made once for each method, and copied from then on.
        static MADE: [OnceLock<Vec<u8>>; 3] = [const { OnceLock::new() }; 3];
        let bytes = MADE[method as usize].get_or_init(|| made(method));
        // In memory where the machine has a folder for it: what is asked here is what the law says, not what a disk keeps.
        let memory = Path::new("/dev/shm");
        let folder = if memory.is_dir() {
            TempDir::new_in(memory)
        } else {
            TempDir::new()
        }
        .unwrap();
        let path = folder.path().join("store.db");
        std::fs::write(&path, bytes).unwrap();
        let books = Books::open(&path, bincard::db::sqlite::Purpose::Write, || {}).unwrap();
        let all = vec![Role::Clerk, Role::Manager, Role::Inspector];
        World {
            folder,
            books,
            day: day(0),
            today: day(0),
            roles: all,
            ops: 1,
        }
    }

    /// Where the store lies.
    pub fn path(&self) -> PathBuf {
        self.folder.path().join("store.db")
    }

    /// The engine itself, with the settings of the store, and nobody between us and the tables.
    pub fn raw(&self) -> rusqlite::Connection {
        let raw = rusqlite::Connection::open(self.path()).unwrap();
        raw.execute_batch("PRAGMA foreign_keys = ON; PRAGMA recursive_triggers = ON")
            .unwrap();
        raw
    }

    /// Document and clock both stand this many days after the first.
    pub fn on(&mut self, after: i64) -> &mut World {
        self.today = day(after);
        self.day = self.today;
        self
    }

    /// Who writes.
    pub fn person(&self) -> Person {
        Person {
            initials: "HP".into(),
            roles: self.roles.clone(),
        }
    }

    /// A head of this kind, on the day of the document.
    pub fn head(&self, kind: DocKind) -> Head {
        Head::new(kind, self.day, "HP")
    }

    /// The stamp of the next document.
    pub fn stamp(&mut self) -> Stamp {
        self.ops += 1;
        Stamp {
            at: format!("{}T12:00:00Z", self.today),
            op: format!("op {}", self.ops),
            request: [0; 32],
        }
    }
}

/// The file of a store on this method.
fn made(method: Method) -> Vec<u8> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.db");
    let made: Result<(), Error> = Books::create(
        &path,
        || {},
        |books| {
            books.set_setting("name", "Tern Slip")?;
            books.set_setting("currency", "GBP")?;
            books.set_setting("method", method.word())?;
            found(books)
        },
    );
    made.unwrap();
    std::fs::read(path).unwrap()
}

/// The first document: everything the workshop has, but no stock.
fn found(books: &Open<'_>) -> Result<(), Error> {
    let mut posting = Posting::new(Head::new(DocKind::Founding, day(0), "HP"));
    posting.records.extend(places());
    posting.records.extend(parts());
    for order in 1..=2 {
        posting.records.extend(an_order(order));
    }
    for (job, customer, use_day) in [
        (BLUE, CUSTOMER, 10),
        (GREEN, CUSTOMER_2, 20),
        (AMBER, CUSTOMER, 30),
    ] {
        posting
            .records
            .extend(a_job(job, customer, day(use_day), engine(job)));
    }
    let stamp = Stamp {
        at: format!("{FIRST}T12:00:00Z"),
        op: "op 1".into(),
        request: [0; 32],
    };
    post(books, &posting, &stamp).map(drop)
}

/// A record of a table.
fn record<const N: usize>(table: Table, data: [Datum; N]) -> Record {
    Record {
        table,
        data: data.to_vec(),
    }
}

const NONE: Datum = Datum::Nothing;

/// The record of a place.
pub fn a_place(id: PlaceId, owner: Option<PlaceId>) -> Record {
    let (word, number) = (id.kind().unwrap().word(), id.0 % 1_000_000);
    let code = format!("{} {number}", word.to_uppercase());
    let owner = owner.map(|place| place.0).into();
    record(
        Table::Place,
        [
            id.0.into(),
            code.into(),
            format!("{word} {number}").into(),
            NONE,
            number.into(),
            false.into(),
            NONE,
            owner,
        ],
    )
}

fn places() -> Vec<Record> {
    let two = [
        Kind::Receiving,
        Kind::Shelf,
        Kind::Bench,
        Kind::Quarantine,
        Kind::Reject,
        Kind::Away,
        Kind::Supplier,
        Kind::Customer,
    ];
    let one = [
        Kind::Scrap,
        Kind::Shop,
        Kind::Counted,
        Kind::Making,
        Kind::BroughtForward,
    ];
    let twice = two.into_iter().flat_map(|kind| [place(kind, 1), place(kind, 2)]);
    let all = twice.chain(one.into_iter().map(|kind| place(kind, 1)));
    let mut records: Vec<Record> = all.map(|id| a_place(id, None)).collect();
    // Three engines of jobs and three that only wait to be swapped in.
    for engine in 1..=6 {
        let owner = if engine % 3 == 2 { CUSTOMER_2 } else { CUSTOMER };
        records.push(a_place(place(Kind::Engine, engine), Some(owner)));
    }
    records
}

/// Part number, unit, step in millionths, hand-out unit, opened life, bench stock, pack policy.
type PartRow = (
    PartId,
    &'static str,
    &'static str,
    i64,
    Option<i64>,
    Option<i64>,
    bool,
    &'static str,
);

const PARTS: [PartRow; 8] = [
    (STUD, "STUD", "each", 1_000_000, None, None, false, "measure"),
    (
        SEALANT,
        "SEALANT",
        "ml",
        100_000,
        Some(50_000_000),
        Some(30),
        false,
        "measure",
    ),
    (BLOWER, "BLOWER", "each", 1_000_000, None, None, false, "measure"),
    (PISTON, "PISTON", "each", 1_000_000, None, None, false, "measure"),
    (NUT, "NUT", "each", 1_000_000, None, None, true, "measure"),
    (WIRE, "WIRE", "m", 1_000, None, None, false, "measure"),
    (SPACER, "SPACER", "each", 1_000_000, None, None, false, "measure"),
    (
        PRIMER,
        "PRIMER",
        "ml",
        1_000_000,
        Some(50_000_000),
        None,
        false,
        "whole",
    ),
];

fn parts() -> Vec<Record> {
    let part = |(id, number, unit, step, hand_out, life, bench, policy): PartRow| {
        record(
            Table::Part,
            [
                id.0.into(),
                number.into(),
                number.into(),
                "consumable".into(),
                unit.into(),
                step.into(),
                NONE,
                life.into(),
                bench.into(),
                false.into(),
                policy.into(),
                hand_out.into(),
                NONE,
                NONE,
                NONE,
                "live".into(),
            ],
        )
    };
    PARTS.into_iter().map(part).collect()
}

/// An order with a line for each of the first six parts.
pub fn an_order(order: i64) -> Vec<Record> {
    let supplier = place(Kind::Supplier, 1 + (order + 1) % 2);
    let mut records = vec![record(
        Table::SupplierOrder,
        [
            order.into(),
            format!("PO {order}").into(),
            supplier.0.into(),
            day(0).into(),
            "GBP".into(),
            "open".into(),
        ],
    )];
    for part in (1..=LINES).map(PartId) {
        records.push(record(
            Table::OrderLine,
            [
                order_line(order, part).0.into(),
                order.into(),
                part.0.into(),
                part.0.into(),
                n(150).into(),
                225_000_000.into(),
                day(5).into(),
                Qty::ZERO.into(),
            ],
        ));
    }
    records
}

/// A job with kit, crate and a line for each of the first six parts.
pub fn a_job(job: JobId, customer: PlaceId, use_day: Day, engine: PlaceId) -> Vec<Record> {
    let mut records = vec![a_place(kit(job), None), a_place(crate_of(job), None)];
    let tag = ["amber", "blue", "green"][usize::try_from(job.0 % 3).unwrap()];
    records.push(record(
        Table::Job,
        [
            job.0.into(),
            format!("J-{:04}", job.0).into(),
            NONE,
            "".into(),
            tag.into(),
            kit(job).0.into(),
            crate_of(job).0.into(),
            engine.0.into(),
            customer.0.into(),
            use_day.into(),
            5.into(),
            "open".into(),
            NONE,
        ],
    ));
    for (part, need) in NEEDS {
        let need = Qty::from_millionths(need);
        records.push(record(
            Table::JobLine,
            [
                line(job, part).0.into(),
                job.0.into(),
                part.0.into(),
                part.0.into(),
                NONE,
                NONE,
                ",new,".into(),
                false.into(),
                need.into(),
                bare_part(part).most(need).into(),
            ],
        ));
    }
    records
}

/// A part as the domain has it, without asking the books.
pub fn bare_part(id: PartId) -> Part {
    let (_, number, unit, step, hand_out, opened_life_days, bench_stock, policy) =
        PARTS[usize::try_from(id.0 - 1).unwrap()];
    Part {
        id,
        number: number.into(),
        name: number.into(),
        class: "consumable".into(),
        unit: bincard::domain::measure::Unit::parse(unit).unwrap(),
        step: Qty::from_millionths(step),
        hand_out: hand_out.map(Qty::from_millionths),
        life: None,
        opened_life: opened_life_days.map(|days: i64| Life::Days(days.try_into().unwrap())),
        bench_stock,
        critical: false,
        whole_pack: policy == "whole",
    }
}
