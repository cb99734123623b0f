//! How dear a posting is beside the raw limit of the engine, both measured in the same run.
//!
//! Floor: the same rows put into the same tables by prepared statements, without a decision, in one transaction.
//! Ours: the whole path of a command less its process: facts gathered, decided, posted.

// A bench opens files, reads the clock, prints and falls over in order to fail.
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
use bincard::db::error::Error;
use bincard::db::load::Gather;
use bincard::db::post::{Stamp, post};
use bincard::db::sqlite::Purpose;
use bincard::domain::measure::{Day, Money, Qty};
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::ids::{LotId, PartId, PlaceId};
use bincard::domain::stores::law::{Kind, Movement, Role};
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::posting::Posting;
use bincard::domain::stores::record::{Record, Table};
use bincard::domain::stores::stock::{Person, Stock};
use bincard::domain::stores::verbs::draft::Draft;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::moves::post_moves;
use std::path::Path;
use std::time::Instant;

const LOTS: usize = 2_000;
const DOCUMENTS: usize = 2_000;

fn main() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.db");
    let lots = found(&path);
    let books = Books::open(&path, Purpose::Write, || {}).unwrap();
    let ours = timed(|| {
        for (n, lot) in lots.iter().cycle().take(DOCUMENTS).enumerate() {
            move_one(&books, *lot, n);
        }
    });
    let together = timed(|| many_in_one(&books, &lots));
    drop(books);
    let raw_each = timed(|| raw(&path, DOCUMENTS, true));
    let raw_one = timed(|| raw(&path, LOTS, false));
    println!(
        "one entry a document, durable commit each   ours {:>8.1} µs   raw {:>8.1} µs   {:.2} ×",
        us(ours, DOCUMENTS),
        us(raw_each, DOCUMENTS),
        ours / raw_each
    );
    println!(
        "{LOTS} entries in one document              ours {:>8.1} µs   raw {:>8.1} µs   {:.2} ×",
        us(together, LOTS),
        us(raw_one, LOTS),
        together / raw_one
    );
    let checked = Books::open(&path, Purpose::Read, || {}).unwrap();
    let entries: i64 = checked
        .read(|open| -> Result<i64, Error> { open.row("SELECT COUNT(*) FROM entry", &[])?.unwrap().int(0) })
        .unwrap();
    println!("{entries} entries in the store");
}

fn timed(work: impl FnOnce()) -> f64 {
    let start = Instant::now();
    work();
    start.elapsed().as_secs_f64()
}

fn us(seconds: f64, times: usize) -> f64 {
    seconds * 1e6 / times as f64
}

fn day() -> Day {
    Day::parse("2026-11-25").unwrap()
}

fn person() -> Person {
    Person {
        initials: "HP".to_owned(),
        roles: vec![Role::Clerk, Role::Manager, Role::Inspector],
    }
}

fn stamp(n: usize, what: &str) -> Stamp {
    Stamp {
        at: "2026-11-25T09:00:00Z".to_owned(),
        op: format!("{what}-{n}"),
        request: [0; 32],
    }
}

/// A store with one part, two bins and lots on the first.
fn found(path: &Path) -> Vec<LotId> {
    Books::create(
        path,
        || {},
        |open| -> Result<Vec<LotId>, Error> {
            open.set_setting("method", "actual")?;
            post(open, &records(), &stamp(0, "found"))?;
            let mut facts = Gather::begin(open, day(), day(), person())?;
            facts.part(PartId(1))?;
            let (from, to) = (PlaceId::of(Kind::BroughtForward, 1), PlaceId::of(Kind::Shelf, 1));
            facts.place(from)?;
            facts.place(to)?;
            let mut draft = Draft::new(&facts.done(), Head::new(DocKind::Import, day(), "HP"));
            let mut lots = Vec::new();
            for _ in 0..LOTS {
                let lot = draft.new_lot(PartId(1), NewLot::default(), false).unwrap();
                let opening = Move::new(Movement::BringForward, lot, from, to, Qty::whole(100));
                draft.enter(opening.at(Money::whole(50))).unwrap();
                lots.push(lot);
            }
            post(open, &draft.finish().unwrap(), &stamp(1, "found"))?;
            Ok(lots)
        },
    )
    .unwrap()
}

/// The bins and the part.
fn records() -> Posting {
    let mut posting = Posting::new(Head::new(DocKind::Import, day(), "HP"));
    let none = || None::<i64>.into();
    for (id, code) in [
        (PlaceId::of(Kind::Shelf, 1), "A-1"),
        (PlaceId::of(Kind::Shelf, 2), "A-2"),
        (PlaceId::of(Kind::BroughtForward, 1), "OLD"),
    ] {
        let data = vec![
            id.0.into(),
            code.into(),
            code.into(),
            none(),
            none(),
            false.into(),
            none(),
            none(),
        ];
        posting.records.push(Record {
            table: Table::Place,
            data,
        });
    }
    let text = |text: &str| text.into();
    let data = vec![
        1.into(),
        text("NUT"),
        text("nut"),
        text("standard part"),
        text("each"),
        Qty::whole(1).into(),
        none(),
        none(),
        false.into(),
        false.into(),
        text("measure"),
        none(),
        none(),
        none(),
        none(),
        text("live"),
    ];
    posting.records.push(Record {
        table: Table::Part,
        data,
    });
    posting
}

fn facts(open: &Open<'_>, lots: &[LotId]) -> Stock {
    let mut facts = Gather::begin(open, day(), day(), person()).unwrap();
    facts.place(PlaceId::of(Kind::Shelf, 2)).unwrap();
    for lot in lots {
        facts.lot(*lot).unwrap();
    }
    facts.done()
}

fn moving(lot: LotId) -> Move {
    Move::new(
        Movement::Move,
        lot,
        PlaceId::of(Kind::Shelf, 1),
        PlaceId::of(Kind::Shelf, 2),
        Qty::whole(1),
    )
}

/// One piece moved from bin to bin, as a command does it.
fn move_one(books: &Books, lot: LotId, n: usize) {
    books
        .write(|open| -> Result<(), Error> {
            let stock = facts(open, &[lot]);
            let posting = post_moves(
                &stock,
                Head::new(DocKind::Movement(Movement::Move), day(), "HP"),
                &[moving(lot)],
            )
            .unwrap();
            post(open, &posting, &stamp(n, "move"))?;
            Ok(())
        })
        .unwrap();
}

/// A piece of every lot moved in one document.
fn many_in_one(books: &Books, lots: &[LotId]) {
    books
        .write(|open| -> Result<(), Error> {
            let stock = facts(open, lots);
            let moves: Vec<Move> = lots.iter().map(|lot| moving(*lot)).collect();
            let posting = post_moves(
                &stock,
                Head::new(DocKind::Movement(Movement::Move), day(), "HP"),
                &moves,
            )
            .unwrap();
            post(open, &posting, &stamp(0, "many"))?;
            Ok(())
        })
        .unwrap();
}

/// The same rows by prepared statements and nothing else: a document, an entry, two balances, a position.
fn raw(path: &Path, entries: usize, commit_each: bool) {
    let db = rusqlite::Connection::open(path).unwrap();
    db.execute_batch("PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA recursive_triggers = ON")
        .unwrap();
    let count = |sql: &str| db.query_row(sql, [], |row| row.get::<_, i64>(0)).unwrap();
    let (document, entry) = (
        count("SELECT MAX(id) FROM document"),
        count("SELECT MAX(id) FROM entry"),
    );
    let first_lot = count("SELECT MIN(id) FROM lot");
    let mut document = document;
    let write_document = |id: i64| {
        let sql = "INSERT INTO document (id, kind, day, at, by, op, request, first_entry, entries, hash) \
                   VALUES (?1, 'move', '2026-11-25', '2026-11-25T09:00:00Z', 'HP', ?2, zeroblob(32), 1, 1, zeroblob(32))";
        db.prepare_cached(sql)
            .unwrap()
            .execute((id, format!("raw-{id}")))
            .unwrap();
    };
    let law = 7 * 10_000 + 2 * 100 + 2;
    if !commit_each {
        db.execute_batch("BEGIN IMMEDIATE").unwrap();
        document += 1;
        write_document(document);
    }
    for n in 0..entries as i64 {
        if commit_each {
            db.execute_batch("BEGIN IMMEDIATE").unwrap();
            document += 1;
            write_document(document);
        }
        let lot = first_lot + n % 90;
        let sql = "INSERT INTO entry (id, document, law, lot, from_place, to_place, qty, value) \
                   VALUES (?1, ?2, ?3, ?4, 2000001, 2000002, 1000000, 0)";
        db.prepare_cached(sql)
            .unwrap()
            .execute((entry + 1 + n, document, law, lot))
            .unwrap();
        for (place, qty) in [(2_000_001, -1_i64), (2_000_002, 1)] {
            let sql = "UPDATE balance SET qty = qty + ?3 WHERE lot = ?1 AND place = ?2";
            db.prepare_cached(sql)
                .unwrap()
                .execute((lot, place, qty))
                .unwrap();
        }
        db.prepare_cached("UPDATE lot_position SET reserved = reserved WHERE lot = ?1")
            .unwrap()
            .execute([lot])
            .unwrap();
        if commit_each {
            db.execute_batch("COMMIT").unwrap();
        }
    }
    if !commit_each {
        db.execute_batch("COMMIT").unwrap();
    }
}
