//! A small workshop whose books have something of everything that `check` judges, written by the verbs of the trade.

use bincard::db::books::{Books, Open};
use bincard::db::error::Error;
use bincard::db::load::Gather;
use bincard::db::post::{Stamp, post};
use bincard::db::sqlite::Purpose;
use bincard::domain::measure::{Day, Money, Qty};
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::ids::{HoldId, JobId, LineId, LotId, OrderLineId, PartId, PlaceId};
use bincard::domain::stores::law::{Kind, Movement, Role};
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::posting::{Field, Held, Posting, Source};
use bincard::domain::stores::record::{Datum, Record, Table};
use bincard::domain::stores::stock::{Person, Stock};
use bincard::domain::stores::verbs::draft::Draft;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::holding::{hold, lift};
use bincard::domain::stores::verbs::making::{Input, Output, make_up, open};
use std::path::Path;
use std::sync::OnceLock;

pub const STUD: PartId = PartId(1);
/// Sealant, in tubes of 50 ml.
pub const SEALANT: PartId = PartId(2);
pub const TURBO: PartId = PartId(3);
/// Bench stock.
pub const RAG: PartId = PartId(4);
pub const PLATE: PartId = PartId(5);

/// The first of a kind of place.
pub fn first(kind: Kind) -> PlaceId {
    PlaceId::of(kind, 1)
}

/// The line of the first job (day of use 2026-12-10, customer 1) for a part; the second job's (2026-12-20, customer 2)
/// come after.
pub fn line(part: PartId) -> LineId {
    LineId(part.0)
}

/// A day as it is written.
pub fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

/// Books open for writing, and the day on which everything happens.
pub struct Workshop<'a> {
    pub open: &'a Open<'a>,
    pub day: Day,
    ops: u64,
}

const NONE: Datum = Datum::Nothing;

fn record(table: Table, data: Vec<Datum>) -> Record {
    Record { table, data }
}

fn place(id: PlaceId, owner: Option<i64>) -> Record {
    let code = format!("{} {}", id.kind().unwrap().word(), id.0 % 1_000_000);
    let data = vec![
        id.0.into(),
        code.clone().into(),
        code.into(),
        NONE,
        NONE,
        false.into(),
        NONE,
        owner.into(),
    ];
    record(Table::Place, data)
}

fn part(id: PartId, number: &str, unit: &str, bench: bool, hand_out: Option<i64>) -> Record {
    let data = vec![
        id.0.into(),
        number.into(),
        number.into(),
        "component".into(),
        unit.into(),
        1_000_000.into(),
        NONE,
        NONE,
        bench.into(),
        false.into(),
        "measure".into(),
        hand_out.map(|unit| unit * 1_000_000).into(),
        NONE,
        NONE,
        NONE,
        "live".into(),
    ];
    record(Table::Part, data)
}

fn job(n: i64, use_day: &str) -> Vec<Record> {
    let at = |kind| Datum::from(PlaceId::of(kind, n).0);
    let head = vec![
        n.into(),
        format!("J-{n:04}").into(),
        NONE,
        "".into(),
        format!("tag {n}").into(),
        at(Kind::Kit),
        at(Kind::Crate),
        at(Kind::Engine),
        at(Kind::Customer),
        use_day.into(),
        5.into(),
        "open".into(),
        NONE,
    ];
    let mut records = vec![record(Table::Job, head)];
    for part in [STUD, SEALANT, TURBO, RAG, PLATE] {
        let need = if part == SEALANT { 12 } else { 4 } * 1_000_000;
        let most = if part == SEALANT { need + 49_999_999 } else { need };
        let data = vec![
            ((n - 1) * 5 + part.0).into(),
            n.into(),
            part.0.into(),
            part.0.into(),
            NONE,
            NONE,
            ",new,".into(),
            0.into(),
            need.into(),
            most.into(),
        ];
        records.push(record(Table::JobLine, data));
    }
    records
}

fn order() -> Vec<Record> {
    let supplier = first(Kind::Supplier).0;
    let head = vec![
        1.into(),
        "PO-0001".into(),
        supplier.into(),
        "2026-11-02".into(),
        "GBP".into(),
        "open".into(),
    ];
    let line = |n: i64, part: PartId, ordered: i64| {
        let ordered = ordered * 1_000_000;
        let data = vec![
            n.into(),
            1.into(),
            n.into(),
            part.0.into(),
            ordered.into(),
            ordered.into(),
            "2026-11-20".into(),
            0.into(),
        ];
        record(Table::OrderLine, data)
    };
    vec![
        record(Table::SupplierOrder, head),
        line(1, STUD, 20),
        line(2, SEALANT, 100),
    ]
}

/// Two of every place, parts of every sort, two jobs and an order.
fn records() -> Vec<Record> {
    let mut records = Vec::new();
    for n in 1..=2 {
        for kind in bincard::domain::stores::law::KINDS {
            let owner = (kind == Kind::Engine).then_some(PlaceId::of(Kind::Customer, n).0);
            // Customers are made first, for engines name them.
            if kind != Kind::Customer && kind != Kind::Engine {
                records.push(place(PlaceId::of(kind, n), owner));
            }
        }
        records.push(place(PlaceId::of(Kind::Customer, n), None));
        let owner = PlaceId::of(Kind::Customer, n).0;
        records.push(place(PlaceId::of(Kind::Engine, n), Some(owner)));
    }
    records.push(part(STUD, "STUD", "each", false, None));
    records.push(part(SEALANT, "SEALANT", "ml", false, Some(50)));
    records.push(part(TURBO, "TURBO", "each", false, None));
    records.push(part(RAG, "RAG", "each", true, None));
    records.push(part(PLATE, "PLATE", "each", false, None));
    records.extend(job(1, "2026-12-10"));
    records.extend(job(2, "2026-12-20"));
    records.extend(order());
    records
}

impl<'a> Workshop<'a> {
    /// The books with the first document written: everything but stock.
    pub fn found(open: &'a Open<'a>, method: &str) -> Workshop<'a> {
        open.set_setting("method", method).unwrap();
        let mut workshop = Workshop {
            open,
            day: day("2026-11-25"),
            ops: 0,
        };
        let mut posting = Posting::new(workshop.head(DocKind::Founding));
        posting.records = records();
        workshop.post(&posting);
        workshop
    }

    pub fn head(&self, kind: DocKind) -> Head {
        Head::new(kind, self.day, "HP")
    }

    fn moving(&self, movement: Movement) -> Head {
        self.head(DocKind::Movement(movement))
    }

    pub fn post(&mut self, posting: &Posting) {
        self.ops += 1;
        let stamp = Stamp {
            at: format!("{}T12:00:00Z", self.day),
            op: format!("op {}", self.ops),
            request: [0; 32],
        };
        post(self.open, posting, &stamp).unwrap();
    }

    /// Everything there is.
    pub fn stock(&self) -> Stock {
        let person = Person {
            initials: "HP".to_owned(),
            roles: vec![Role::Clerk, Role::Manager, Role::Inspector],
        };
        let mut facts = Gather::begin(self.open, self.day, self.day, person).unwrap();
        let ids = |sql: &str| -> Vec<i64> {
            let rows = self.open.rows(sql, &[]).unwrap();
            rows.iter().map(|row| row.int(0).unwrap()).collect()
        };
        for id in ids("SELECT id FROM part") {
            facts.part(PartId(id)).unwrap();
        }
        for id in ids("SELECT id FROM place") {
            facts.place(PlaceId(id)).unwrap();
        }
        for id in ids("SELECT id FROM lot") {
            facts.lot(LotId(id)).unwrap();
        }
        for id in ids("SELECT id FROM job") {
            facts.job(JobId(id)).unwrap();
        }
        for id in ids("SELECT id FROM order_line") {
            facts.order_line(OrderLineId(id)).unwrap();
        }
        for id in ids("SELECT id FROM hold") {
            facts.hold(HoldId(id)).unwrap();
        }
        facts.done()
    }

    /// One document drawn up by hand.
    pub fn draft(&mut self, head: Head, work: impl FnOnce(&mut Draft)) {
        let mut draft = Draft::new(&self.stock(), head);
        work(&mut draft);
        self.post(&draft.finish().unwrap());
    }

    /// One document of one movement.
    pub fn go(&mut self, asked: Move) {
        self.go_with(self.moving(asked.movement), asked);
    }

    /// The same, under a head of its own.
    pub fn go_with(&mut self, head: Head, asked: Move) {
        self.draft(head, |draft| draft.go(&asked).unwrap());
    }

    /// A lot booked in, at a whole value.
    pub fn book_in(&mut self, part: PartId, qty: i64, value: i64, new: NewLot) -> LotId {
        let mut made = LotId(0);
        let (from, to) = match new.owner {
            Some(owner) => (owner, first(Kind::Receiving)),
            None => (first(Kind::Supplier), first(Kind::Receiving)),
        };
        self.draft(self.moving(Movement::BookIn), |draft| {
            let order_line = new.order_line;
            made = draft.new_lot(part, new, false).unwrap();
            let asked = Move {
                order_line,
                ..Move::new(Movement::BookIn, made, from, to, Qty::whole(qty))
            };
            draft.enter(asked.at(Money::whole(value))).unwrap();
        });
        made
    }

    /// A lot booked in and accepted to the first shelf.
    pub fn shelved(&mut self, part: PartId, qty: i64, value: i64, new: NewLot) -> LotId {
        let lot = self.book_in(part, qty, value, new);
        let (from, to) = (first(Kind::Receiving), first(Kind::Shelf));
        self.go(Move::new(Movement::Accept, lot, from, to, Qty::whole(qty)));
        lot
    }

    pub fn reserve(&mut self, line: LineId, lot: LotId, qty: i64) {
        let head = self.head(DocKind::Reserve);
        self.draft(head, |draft| {
            draft.reserve(line, lot, Qty::whole(qty)).unwrap();
        });
    }

    pub fn hold(&mut self, on: Held, cause: &str) {
        let posting = hold(&self.stock(), self.head(DocKind::Hold), on, cause).unwrap();
        self.post(&posting);
    }

    pub fn lift(&mut self, hold: i64) {
        let posting = lift(&self.stock(), self.head(DocKind::Hold), HoldId(hold)).unwrap();
        self.post(&posting);
    }

    /// A part of a lot that lies at a place opened into a lot of its own.
    pub fn open_pack(&mut self, lot: LotId, at: Kind, qty: i64, new: NewLot) {
        let input = Input {
            lot,
            place: first(at),
            qty: Qty::whole(qty),
            line: None,
        };
        let stock = self.stock();
        let output = Output {
            part: stock.lot(lot).unwrap().part,
            qty: input.qty,
            lot: new,
        };
        let head = self.moving(Movement::Open);
        let posting = open(&stock, head, first(Kind::Making), &[input], &[output]).unwrap();
        self.post(&posting);
    }

    /// A document that changes one field.
    pub fn change(&mut self, field: Field, id: i64, new: Option<&str>) {
        let head = self.head(DocKind::Change);
        self.draft(head, |draft| {
            draft.set_field(field, id, new.map(str::to_owned)).unwrap();
        });
    }
}

/// The lots of the history, in the order in which they come.
pub mod lots {
    /// Twenty studs at 6 each, good until 2027-03-31, on the first order line.
    pub const STUDS: &str = "(SELECT id FROM lot ORDER BY id LIMIT 1 OFFSET 0)";
    /// The first customer's own studs.
    pub const HIS: &str = "(SELECT id FROM lot ORDER BY id LIMIT 1 OFFSET 1)";
    /// Three tubes of sealant.
    pub const TUBES: &str = "(SELECT id FROM lot ORDER BY id LIMIT 1 OFFSET 2)";
    /// A turbo with a serial.
    pub const TURBO: &str = "(SELECT id FROM lot ORDER BY id LIMIT 1 OFFSET 3)";
    /// The opened tube.
    pub const OPENED: &str = "(SELECT id FROM lot ORDER BY id LIMIT 1 OFFSET 6)";
    /// Plates sorted out of a lot that was on hold in the cage.
    pub const SORTED: &str = "(SELECT id FROM lot ORDER BY id LIMIT 1 OFFSET 7)";
}

/// Goods of every sort come in: the lots in their order.
fn goods_in(shop: &mut Workshop<'_>) -> [LotId; 6] {
    let good = |text: &str| Some(day(text));
    let studs = shop.shelved(
        STUD,
        20,
        120,
        NewLot {
            order_line: Some(OrderLineId(1)),
            expiry: good("2027-03-31"),
            ..NewLot::default()
        },
    );
    let his = shop.shelved(
        STUD,
        6,
        0,
        NewLot {
            owner: Some(first(Kind::Customer)),
            ..NewLot::default()
        },
    );
    let tubes = shop.shelved(
        SEALANT,
        150,
        60,
        NewLot {
            expiry: good("2027-01-31"),
            ..NewLot::default()
        },
    );
    let turbo = shop.shelved(
        TURBO,
        1,
        900,
        NewLot {
            serial: Some("S-1".to_owned()),
            size: Some(Qty::whole(1)),
            ..NewLot::default()
        },
    );
    let rags = shop.shelved(RAG, 10, 5, NewLot::default());
    let plates = shop.book_in(PLATE, 10, 40, NewLot::default());
    [studs, his, tubes, turbo, rags, plates]
}

/// A history with something of everything that a rule judges.
pub fn history(shop: &mut Workshop<'_>) {
    let [studs, his, tubes, turbo, rags, plates] = goods_in(shop);
    let (shelf, kit, engine) = (first(Kind::Shelf), first(Kind::Kit), first(Kind::Engine));
    let n = Qty::whole;
    // Two documents of claims, so that one can be forged without the others.
    shop.reserve(line(STUD), studs, 2);
    shop.reserve(line(STUD), his, 1);
    shop.reserve(LineId(6), studs, 3);
    shop.draft(shop.head(DocKind::Reserve), |draft| {
        draft.peg(LineId(7), OrderLineId(2), n(50)).unwrap();
    });
    shop.reserve(line(SEALANT), tubes, 50);
    // Two picks: with the list, and at the hatch.
    let list = shop.stock().job(JobId(1)).unwrap().list;
    let head = Head {
        job: Some(JobId(1)),
        list: Some(list),
        ..shop.head(DocKind::Movement(Movement::Pick))
    };
    shop.go_with(
        head,
        Move::new(Movement::Pick, studs, shelf, kit, n(2)).onto(line(STUD)),
    );
    shop.go(Move::new(Movement::Pick, his, shelf, kit, n(1)).onto(line(STUD)));
    // Something is changed of the job between the pick and the issue.
    shop.change(Field::JobPriority, 1, Some("3"));
    shop.change(Field::JobTag, 2, None);
    let asked = Move::new(Movement::Issue, studs, kit, engine, n(1));
    shop.go(asked.off(line(STUD)).onto(line(STUD)));
    shop.open_pack(
        tubes,
        Kind::Shelf,
        50,
        NewLot {
            opened: Some(shop.day),
            expiry: Some(day("2026-12-25")),
            ..NewLot::default()
        },
    );
    cage(shop, plates);
    promised_back(shop, studs, his);
    shop.go(Move::new(Movement::Use, rags, shelf, first(Kind::Shop), n(2)));
    // A hold that was lifted before the turbo moved.
    shop.hold(Held::Lot(turbo), "no papers");
    let live = shop
        .stock()
        .holds
        .iter()
        .find(|hold| hold.on == Held::Lot(turbo))
        .unwrap()
        .id;
    shop.lift(live.0);
    shop.hold(Held::Place(PlaceId::of(Kind::Shelf, 2)), "lost bin");
    shop.go(Move::new(Movement::Pick, turbo, shelf, kit, n(1)).onto(line(TURBO)));
    // What a lot was worth on two shelves, and a claim freed and made again.
    shop.draft(shop.head(DocKind::Free), |draft| {
        draft.free(LineId(6), Source::Lot(studs), None).unwrap();
    });
    shop.reserve(LineId(6), studs, 4);
}

/// Plates on hold in the cage, two of them sorted out there: the child is on hold too. Then two made up into one.
fn cage(shop: &mut Workshop<'_>, plates: LotId) {
    let n = Qty::whole;
    let (receiving, cage) = (first(Kind::Receiving), first(Kind::Quarantine));
    shop.go(Move::new(Movement::Quarantine, plates, receiving, cage, n(10)));
    shop.hold(Held::Lot(plates), "cracks");
    shop.open_pack(plates, Kind::Quarantine, 2, NewLot::default());
    let rags = shop.stock().lots.values().find(|lot| lot.part == RAG).unwrap().id;
    let input = Input {
        lot: rags,
        place: first(Kind::Shelf),
        qty: n(4),
        line: None,
    };
    let output = Output {
        part: PLATE,
        qty: n(1),
        lot: NewLot::default(),
    };
    let head = shop.head(DocKind::Movement(Movement::MakeUp));
    let making = first(Kind::Making);
    let posting = make_up(&shop.stock(), head, making, &[input], receiving, output).unwrap();
    shop.post(&posting);
}

/// Studs at the plater's, and one of the customer's scrapped by his word.
fn promised_back(shop: &mut Workshop<'_>, studs: LotId, his: LotId) {
    let shelf = first(Kind::Shelf);
    let head = Head {
        due: Some(day("2026-12-01")),
        ..shop.head(DocKind::Movement(Movement::SendOut))
    };
    let away = first(Kind::Away);
    shop.go_with(
        head,
        Move::new(Movement::SendOut, studs, shelf, away, Qty::whole(5)),
    );
    let head = Head {
        owner_word: Some("said so".to_owned()),
        ..shop.head(DocKind::Movement(Movement::Scrap))
    };
    let scrap = first(Kind::Scrap);
    shop.go_with(head, Move::new(Movement::Scrap, his, shelf, scrap, Qty::whole(1)));
}

/// The file of the workshop with its history, made once.
pub fn file() -> &'static [u8] {
    static MADE: OnceLock<Vec<u8>> = OnceLock::new();
    MADE.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("store.db");
        let made: Result<(), Error> = Books::create(
            &path,
            || {},
            |open| {
                history(&mut Workshop::found(open, "actual"));
                Ok(())
            },
        );
        made.unwrap();
        std::fs::read(path).unwrap()
    })
}

/// What a check of the store at a path finds; the rules that are broken, or why it could not be read.
pub fn proved(path: &Path) -> Result<Vec<bincard::db::check::Finding>, Error> {
    let books = Books::open(path, Purpose::Read, || {})?;
    Ok(books.read(bincard::db::check::check)?.faults)
}
