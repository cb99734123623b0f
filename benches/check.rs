//! How long the proof of the books takes: a store of kits reserved, picked and issued, proved from its entries.
//!
//! `BINCARD_BENCH_JOBS` sets how many jobs it holds; each job adds 108 lines of bin cards and 100 claims.

// A bench reads the clock and the environment, prints and falls over in order to fail.
#![allow(
    clippy::disallowed_macros,
    clippy::disallowed_methods,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::print_stdout,
    clippy::unwrap_used,
    missing_docs
)]

use bincard::db::books::{Books, Open};
use bincard::db::check::check;
use bincard::db::error::Error;
use bincard::db::load::Gather;
use bincard::db::post::{Stamp, post};
use bincard::db::sqlite::Purpose;
use bincard::domain::measure::{Day, Money, Qty};
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::ids::{JobId, LineId, LotId, PartId, PlaceId};
use bincard::domain::stores::law::{Kind, Movement, Role};
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::posting::Posting;
use bincard::domain::stores::record::{Datum, Record, Table};
use bincard::domain::stores::stock::{Person, Stock};
use bincard::domain::stores::verbs::draft::Draft;
use bincard::domain::stores::verbs::enter::Move;
use std::time::Instant;

/// Lines of a job, each of a part of its own.
const LINES: i64 = 50;
/// Jobs that share a delivery.
const SHARE: i64 = 12;

fn main() {
    let jobs: i64 = std::env::var("BINCARD_BENCH_JOBS").map_or(900, |text| text.parse().unwrap());
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.db");
    let since = Instant::now();
    let made: Result<(), Error> = Books::create(&path, || {}, |books| fill(books, jobs));
    made.unwrap();
    println!("made in {:.1} s", since.elapsed().as_secs_f64());
    let books = Books::open(&path, Purpose::Read, || {}).unwrap();
    for _ in 0..2 {
        let since = Instant::now();
        let engine = books
            .read(|open| -> Result<_, Error> { open.integrity() })
            .unwrap();
        assert!(engine.is_empty());
        let engine = since.elapsed().as_secs_f64();
        let since = Instant::now();
        let found = books.read(check).unwrap();
        assert!(found.faults.is_empty(), "{:?}", found.faults.first());
        println!(
            "{} documents, {} entries: the whole proof {:.2} s, the engine's own checks {engine:.2} s of it",
            found.documents,
            found.entries,
            since.elapsed().as_secs_f64()
        );
    }
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak = status.lines().find(|line| line.starts_with("VmHWM"));
    println!("{}", peak.unwrap_or("no peak known"));
}

fn day() -> Day {
    Day::parse("2026-11-25").unwrap()
}

fn stamp(what: &str, n: i64) -> Stamp {
    Stamp {
        at: "2026-11-25T09:00:00Z".to_owned(),
        op: format!("{what}-{n}"),
        request: [0; 32],
    }
}

fn fill(books: &Open<'_>, jobs: i64) -> Result<(), Error> {
    books.set_setting("method", "actual")?;
    let mut posting = Posting::new(head(DocKind::Founding));
    for (kind, n) in [
        (Kind::Receiving, 1),
        (Kind::Shelf, 1),
        (Kind::Supplier, 1),
        (Kind::Engine, 1),
    ] {
        posting.records.push(place(PlaceId::of(kind, n)));
    }
    posting.records.extend((1..=LINES).map(part));
    post(books, &posting, &stamp("founding", 0))?;
    let mut lots = Vec::new();
    for job in 1..=jobs {
        if (job - 1) % SHARE == 0 {
            lots = delivery(books, job)?;
        }
        raise(books, job)?;
        kit(books, job, &lots)?;
    }
    Ok(())
}

fn head(kind: DocKind) -> Head {
    Head::new(kind, day(), "HP")
}

fn record(table: Table, data: Vec<Datum>) -> Record {
    Record { table, data }
}

fn place(id: PlaceId) -> Record {
    let none = || Datum::Nothing;
    let code = format!("P-{}", id.0);
    let data = vec![
        id.0.into(),
        code.clone().into(),
        code.into(),
        none(),
        none(),
        false.into(),
        none(),
        none(),
    ];
    record(Table::Place, data)
}

fn part(n: i64) -> Record {
    let none = || Datum::Nothing;
    let data = vec![
        n.into(),
        format!("PART-{n:03}").into(),
        "stud".into(),
        "standard part".into(),
        "each".into(),
        Qty::whole(1).into(),
        none(),
        none(),
        false.into(),
        false.into(),
        "measure".into(),
        none(),
        none(),
        none(),
        none(),
        "live".into(),
    ];
    record(Table::Part, data)
}

/// A job with a kit of its own and a line of four of every part.
fn raise(books: &Open<'_>, job: i64) -> Result<(), Error> {
    let none = || Datum::Nothing;
    let kit = PlaceId::of(Kind::Kit, job);
    let mut posting = Posting::new(head(DocKind::Job));
    posting.records.push(place(kit));
    posting.records.push(record(
        Table::Job,
        vec![
            job.into(),
            format!("J-{job:04}").into(),
            none(),
            "".into(),
            none(),
            kit.0.into(),
            none(),
            PlaceId::of(Kind::Engine, 1).0.into(),
            none(),
            day().into(),
            5.into(),
            "open".into(),
            none(),
        ],
    ));
    for n in 1..=LINES {
        let (need, id) = (Qty::whole(4), (job - 1) * LINES + n);
        posting.records.push(record(
            Table::JobLine,
            vec![
                id.into(),
                job.into(),
                n.into(),
                n.into(),
                none(),
                none(),
                ",new,".into(),
                0.into(),
                need.into(),
                need.into(),
            ],
        ));
    }
    post(books, &posting, &stamp("job", job)).map(drop)
}

fn gathered<'a, 'b>(books: &'a Open<'b>) -> Result<Gather<'a, 'b>, Error> {
    let person = Person {
        initials: "HP".to_owned(),
        roles: vec![Role::Clerk, Role::Manager, Role::Inspector],
    };
    Gather::begin(books, day(), day(), person)
}

/// A lot of every part booked in and accepted, enough for the jobs that share it.
fn delivery(books: &Open<'_>, n: i64) -> Result<Vec<LotId>, Error> {
    let (from, to, shelf) = (
        PlaceId::of(Kind::Supplier, 1),
        PlaceId::of(Kind::Receiving, 1),
        PlaceId::of(Kind::Shelf, 1),
    );
    let mut facts = gathered(books)?;
    for part in 1..=LINES {
        facts.part(PartId(part))?;
    }
    [from, to].into_iter().try_for_each(|place| facts.place(place))?;
    let mut draft = Draft::new(&facts.done(), head(DocKind::Movement(Movement::BookIn)));
    let qty = Qty::whole(4 * SHARE);
    let lots: Vec<LotId> = (1..=LINES)
        .map(|part| {
            let lot = draft.new_lot(PartId(part), NewLot::default(), false).unwrap();
            let came = Move::new(Movement::BookIn, lot, from, to, qty).at(Money::whole(37));
            draft.enter(came).unwrap();
            lot
        })
        .collect();
    post(books, &draft.finish().unwrap(), &stamp("delivery", n))?;
    let stock = stock(books, &lots, None, &[to, shelf])?;
    let moves: Vec<Move> = lots
        .iter()
        .map(|lot| Move::new(Movement::Accept, *lot, to, shelf, qty))
        .collect();
    moved(books, &stock, Movement::Accept, &moves, n)?;
    Ok(lots)
}

fn stock(books: &Open<'_>, lots: &[LotId], job: Option<JobId>, places: &[PlaceId]) -> Result<Stock, Error> {
    let mut facts = gathered(books)?;
    lots.iter().try_for_each(|lot| facts.lot(*lot))?;
    places.iter().try_for_each(|place| facts.place(*place))?;
    job.into_iter().try_for_each(|job| facts.job(job))?;
    Ok(facts.done())
}

fn moved(books: &Open<'_>, stock: &Stock, movement: Movement, moves: &[Move], n: i64) -> Result<(), Error> {
    let mut draft = Draft::new(stock, head(DocKind::Movement(movement)));
    moves.iter().for_each(|asked| draft.go(asked).unwrap());
    post(books, &draft.finish().unwrap(), &stamp(movement.word(), n)).map(drop)
}

/// Everything reserved, picked and issued.
fn kit(books: &Open<'_>, job: i64, lots: &[LotId]) -> Result<(), Error> {
    let (id, kit) = (JobId(job), PlaceId::of(Kind::Kit, job));
    let (shelf, engine) = (PlaceId::of(Kind::Shelf, 1), PlaceId::of(Kind::Engine, 1));
    let line = |at: usize| LineId((job - 1) * LINES + at as i64 + 1);
    let qty = Qty::whole(4);
    let places = [kit, shelf, engine];
    let mut draft = Draft::new(&stock(books, lots, Some(id), &places)?, head(DocKind::Reserve));
    for (at, lot) in lots.iter().enumerate() {
        draft.reserve(line(at), *lot, qty).unwrap();
    }
    post(books, &draft.finish().unwrap(), &stamp("reserve", job))?;
    let all = |movement, from, to, off: bool| -> Vec<Move> {
        lots.iter()
            .enumerate()
            .map(|(at, lot)| {
                let asked = Move::new(movement, *lot, from, to, qty).onto(line(at));
                if off { asked.off(line(at)) } else { asked }
            })
            .collect()
    };
    let facts = stock(books, lots, Some(id), &places)?;
    moved(
        books,
        &facts,
        Movement::Pick,
        &all(Movement::Pick, shelf, kit, false),
        job,
    )?;
    let facts = stock(books, lots, Some(id), &places)?;
    moved(
        books,
        &facts,
        Movement::Issue,
        &all(Movement::Issue, kit, engine, true),
        job,
    )
}
