//! What a person waits for: whole processes, from the shell's word to the last line, beside a program that only says
//! hello. First a shop's size (20,000 parts, 200,000 entries, 50 open jobs, every kind of command), then `stock` on a
//! million parts and ten million entries.
//!
//! `BINCARD_BENCH_PARTS` and `BINCARD_BENCH_ENTRIES` make the second store smaller.

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

use bincard::db::books::Books;
use bincard::db::error::Error;
use bincard::db::load::Gather;
use bincard::db::post::{Stamp, post};
use bincard::db::sqlite::Purpose;
use bincard::domain::measure::{Day, Qty};
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::ids::{LotId, PlaceId};
use bincard::domain::stores::law::{Kind, Movement, Role};
use bincard::domain::stores::stock::Person;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::moves::post_moves;
use rusqlite::Connection;
use std::fmt::Write;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

const RUNS: usize = 21;
const DAY: &str = "2026-11-25";

fn main() {
    if std::env::args().any(|word| word == "--hello") {
        println!("hello");
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let hello = median(|| command(&std::env::current_exe().unwrap(), None, &["--hello"]));
    println!("hello                                          {hello:>8.2} ms");
    let shop = folder.path().join("shop.db");
    a_shop(&shop, folder.path());
    println!("20,000 parts, 200,000 entries, 50 open jobs, 3,000 job lines:");
    for words in COMMANDS {
        let words: Vec<&str> = words.split(' ').collect();
        timed(&shop, &words, hello);
    }
    let big = folder.path().join("big.db");
    let (parts, entries) = (
        count("BINCARD_BENCH_PARTS", 1_000_000),
        count("BINCARD_BENCH_ENTRIES", 10_000_000),
    );
    a_warehouse(&big, parts, entries);
    println!("{parts} parts, {entries} entries:");
    timed(&big, &["stock", &format!("P-{}", parts / 2)], hello);
    timed(&big, &["card", &format!("P-{}", parts / 2)], hello);
}

/// Commands that only read, and trial runs of commands that write: the real run but for its commit.
const COMMANDS: &[&str] = &[
    "stock P-10000",
    "stock washer 10000",
    "find P-10000",
    "find washer 10000",
    "today",
    "card P-10000",
    "card A-1 --since 2026-11-25",
    "expiry",
    "job list",
    "job show J-0025",
    "shorts",
    "pick J-0025",
    "compare KIT",
    "cost J-0025",
    "log",
    "inspect",
    "note",
    "settings",
    "reserve J-0025 --by HP --dry-run",
    "move L000123T --to A-2 --by HP --dry-run",
    "scrap L000124R 1 --by HP --dry-run -w bent",
    "goods-in P-77 5 --supplier QUO --cost 5 --by HP --dry-run",
    "note one line -j J-0001 --by HP --dry-run",
];

fn count(name: &str, usual: i64) -> i64 {
    std::env::var(name).map_or(usual, |text| text.parse().unwrap())
}

fn timed(store: &Path, words: &[&str], hello: f64) {
    let program = Path::new(env!("CARGO_BIN_EXE_bincard"));
    let took = median(|| command(program, Some(store), words));
    println!(
        "{:<46} {took:>8.2} ms   {:.2} × hello",
        words.join(" "),
        took / hello
    );
}

/// Milliseconds of one run; exits 0 and 1 are answers.
fn command(program: &Path, store: Option<&Path>, words: &[&str]) -> f64 {
    let mut command = Command::new(program);
    command
        .args(words)
        .env_clear()
        .stdout(Stdio::null())
        .stderr(Stdio::piped());
    if let Some(store) = store {
        command.arg("--store").arg(store);
    }
    let since = Instant::now();
    let done = command.output().unwrap();
    let took = since.elapsed().as_secs_f64() * 1000.0;
    assert!(
        matches!(done.status.code(), Some(0 | 1)),
        "{words:?}: {}",
        String::from_utf8_lossy(&done.stderr)
    );
    assert!(
        !String::from_utf8_lossy(&done.stderr).contains("error"),
        "{words:?}: {}",
        String::from_utf8_lossy(&done.stderr)
    );
    took
}

fn median(mut run: impl FnMut() -> f64) -> f64 {
    let mut all: Vec<f64> = (0..RUNS).map(|_| run()).collect();
    all.sort_by(f64::total_cmp);
    all[RUNS / 2]
}

fn bincard(store: &Path, words: &[&str]) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_bincard"));
    let done = command
        .args(words)
        .arg("--store")
        .arg(store)
        .env_clear()
        .output()
        .unwrap();
    assert!(
        done.status.success(),
        "{words:?}: {}",
        String::from_utf8_lossy(&done.stderr)
    );
}

/// A shop taken on from files, then moved about until it has its entries.
fn a_shop(store: &Path, folder: &Path) {
    let opening = folder.join("opening");
    std::fs::create_dir(&opening).unwrap();
    goods_of_a_shop(&opening);
    jobs_of_a_shop(&opening);
    bincard(
        store,
        &["init", "--name", "Bench", "--training-day", DAY, "--by", "HP"],
    );
    bincard(store, &["import", opening.to_str().unwrap(), "--by", "HP"]);
    let jobs: String = (1..=50)
        .map(|n| format!("KIT,,S{n},TOW,,2026-12-{:02},5\n", n % 28 + 1))
        .collect();
    let path = folder.join("jobs.csv");
    std::fs::write(
        &path,
        format!("conversion,choices,engine,customer,tag,use_day,priority\n{jobs}"),
    )
    .unwrap();
    bincard(store, &["import", path.to_str().unwrap(), "--by", "HP"]);
    move_about(store);
}

fn file(opening: &Path, name: &str, text: String) {
    std::fs::write(opening.join(name), text).unwrap();
}

fn goods_of_a_shop(opening: &Path) {
    let mut parts = String::from(
        "number,name,class,unit,step,hand_out,life,opened_life_days,pack_policy,bench_stock,critical,maker,issue\n\
         M1,\"engine, flat-four\",engine model,each,1,,,,measure,no,no,,\n\
         KIT,\"conversion, turbo\",conversion,each,1,,,,measure,no,no,,\n",
    );
    let mut stock = String::from("part,bin,qty,value,batch,serial,expiry,condition,owner,maker,made\n");
    let mut prices = String::from("part,supplier,basis,from_day,from_qty,unit,amount,currency\n");
    for n in 1..=20_000 {
        let (bin, last) = (n % 30 + 1, if n % 50 == 0 { "2027-06-30" } else { "" });
        writeln!(
            parts,
            "P-{n},\"washer {n}, plain\",standard part,each,1,,,,measure,no,no,,"
        )
        .unwrap();
        writeln!(stock, "P-{n},A-{bin},100,50.00,B{n},,{last},new,,,").unwrap();
        writeln!(prices, "P-{n},QUO,purchase,2026-01-05,0,each,0.50,GBP").unwrap();
    }
    file(opening, "parts.csv", parts);
    file(opening, "prices.csv", prices);
    file(opening, "stock.csv", stock);
    let bins: String = (1..=30).map(|n| format!("A-{n},bin {n},shelf,,{n}\n")).collect();
    let first = "code,name,kind,parent,walk\nIN,receiving,receiving,,1\nCAGE,cage,quarantine,,99\n";
    file(opening, "bins.csv", format!("{first}{bins}"));
    file(
        opening,
        "suppliers.csv",
        "code,name,currency,lead_days\nQUO,Quoyle,GBP,14\n".to_owned(),
    );
}

fn jobs_of_a_shop(opening: &Path) {
    file(opening, "customers.csv", "code,name\nTOW,Tow club\n".to_owned());
    let sizes = "part,name,value,unit\nM1,bore,100,mm\nM1,stroke,90,mm\nM1,ratio,8.5,\nM1,cylinders,4,\n";
    file(opening, "sizes.csv", sizes.to_owned());
    let engines: String = (1..=50).map(|n| format!("M1,S{n},TOW\n")).collect();
    file(
        opening,
        "engines.csv",
        format!("model,serial,customer\n{engines}"),
    );
    let bills = "part,revision,from_day,until_day,fits,data_source\nKIT,A,2026-01-01,,M1,shop manual 1\n";
    file(opening, "bills.csv", bills.to_owned());
    let lines: String = (1..=60)
        .map(|n| format!("KIT,A,{n},part,P-{},4,engine,,,\n", n * 300))
        .collect();
    let first = "bill,revision,n,kind,part,qty,per,group,choice,text\n";
    file(opening, "bill_lines.csv", format!("{first}{lines}"));
    file(
        opening,
        "rates.csv",
        "kind,name,from_day,amount\nlabour,bench,2026-01-01,64.00\n".to_owned(),
    );
}

/// Ninety documents of 2,000 moves each: 180,000 entries beside the 20,000 opening ones.
fn move_about(store: &Path) {
    let books = Books::open(store, Purpose::Write, || {}).unwrap();
    let day = Day::parse(DAY).unwrap();
    let person = Person {
        initials: "HP".to_owned(),
        roles: vec![Role::Clerk],
    };
    for round in 0..90_i64 {
        let done: Result<(), Error> = books.write(|open| {
            let mut facts = Gather::begin(open, day, day, person.clone())?;
            let mut moves = Vec::new();
            for n in 1..=2_000_i64 {
                let lot = (round * 2_000 + n) % 19_000 + 1;
                facts.lot(LotId(lot))?;
                let at = facts
                    .so_far()
                    .places_of(LotId(lot))
                    .find(|(_, balance)| balance.qty.is_positive());
                let Some((from, _)) = at else { continue };
                let to = PlaceId::of(Kind::Shelf, (from.0 + 1) % 29 + 1);
                if from != to {
                    facts.place(to)?;
                    moves.push(Move::new(Movement::Move, LotId(lot), from, to, Qty::whole(1)));
                }
            }
            let head = Head::new(DocKind::Movement(Movement::Move), day, "HP");
            let posting = post_moves(&facts.done(), head, &moves).unwrap();
            let stamp = Stamp {
                at: format!("{DAY}T12:00:00Z"),
                op: format!("bench-{round}"),
                request: [0; 32],
            };
            post(open, &posting, &stamp)?;
            Ok(())
        });
        done.unwrap();
    }
}

/// A warehouse put straight into the tables: each part has one lot that went to and fro between two bins.
fn a_warehouse(store: &Path, parts: i64, entries: i64) {
    bincard(
        store,
        &["init", "--name", "Bench", "--training-day", DAY, "--by", "HP"],
    );
    let mut raw = Connection::open(store).unwrap();
    raw.execute_batch("PRAGMA synchronous = OFF; PRAGMA cache_size = -400000")
        .unwrap();
    let tx = raw.transaction().unwrap();
    let turns = entries / parts;
    documents(&tx, entries);
    lots(&tx, parts, turns % 2 == 0);
    cards(&tx, parts, turns);
    tx.commit().unwrap();
    raw.execute_batch("PRAGMA wal_checkpoint(TRUNCATE)").unwrap();
}

/// How many entries a document of the warehouse has.
const PER_DOCUMENT: i64 = 10_000;

fn documents(tx: &Connection, entries: i64) {
    for n in 1..=2 {
        let sql = "INSERT INTO place (id, code, name, one_lot, document) VALUES (?1, ?2, ?2, 0, 1)";
        tx.execute(sql, (2_000_000 + n, format!("A-{n}"))).unwrap();
    }
    let mut document = tx
        .prepare(
            "INSERT INTO document (id, kind, day, at, by, op, request, first_entry, entries, hash) \
             VALUES (?1, 'move', '2026-11-25', '2026-11-25T12:00:00Z', 'HP', ?2, zeroblob(32), ?3, ?4, zeroblob(32))",
        )
        .unwrap();
    for n in 1..=(entries + PER_DOCUMENT - 1) / PER_DOCUMENT {
        document
            .execute((
                n + 1,
                format!("bench-{n}"),
                (n - 1) * PER_DOCUMENT + 1,
                PER_DOCUMENT,
            ))
            .unwrap();
    }
}

/// Parts with a lot each, all of it in the second bin after an even number of turns.
fn lots(tx: &Connection, parts: i64, in_second: bool) {
    let prepare = |sql: &str| tx.prepare(sql).unwrap();
    let mut part = prepare(
        "INSERT INTO part (id, number, name, class, unit, document) VALUES (?1, ?2, ?3, 'standard part', 'each', 1)",
    );
    let mut lot = prepare("INSERT INTO lot (id, number, part, specific, document) VALUES (?1, ?2, ?1, 0, 2)");
    let mut layer = prepare(
        "INSERT INTO layer (id, part, lot, shared, qty, value) VALUES (?1, ?1, ?1, 0, 100000000, 50000000)",
    );
    let mut position =
        prepare("INSERT INTO lot_position (lot, pickable, reserved, held) VALUES (?1, 100000000, 0, 0)");
    let mut balance =
        prepare("INSERT INTO balance (lot, place, qty, value, whole) VALUES (?1, ?2, ?3, ?4, 0)");
    let (first, second) = if in_second {
        (0, 100_000_000)
    } else {
        (100_000_000, 0)
    };
    for n in 1..=parts {
        part.execute((n, format!("P-{n}"), format!("washer {n}, plain")))
            .unwrap();
        lot.execute((n, format!("L{n:06}Z"))).unwrap();
        layer.execute((n,)).unwrap();
        position.execute((n,)).unwrap();
        balance.execute((n, 2_000_001, first, 0)).unwrap();
        balance.execute((n, 2_000_002, second, 0)).unwrap();
        balance
            .execute((n, 34_000_001, -100_000_000, -50_000_000))
            .unwrap();
    }
}

/// Every lot's card: brought forward, then to and fro.
fn cards(tx: &Connection, parts: i64, turns: i64) {
    let mut entry = tx
        .prepare(
            "INSERT INTO entry (id, document, law, lot, from_place, to_place, qty, value, layer) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, 100000000, ?7, ?4)",
        )
        .unwrap();
    for id in 1..=parts * turns {
        let (n, turn) = ((id - 1) % parts + 1, (id - 1) / parts);
        let (law, from, to, value) = match turn {
            0 => (253_402, 34_000_001, 2_000_001, 50_000_000),
            turn if turn % 2 == 1 => (70_202, 2_000_001, 2_000_002, 0),
            _ => (70_202, 2_000_002, 2_000_001, 0),
        };
        entry
            .execute((id, (id - 1) / PER_DOCUMENT + 2, law, n, from, to, value))
            .unwrap();
    }
}
