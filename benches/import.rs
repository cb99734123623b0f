//! How fast lists are taken on beside the raw limit of the engine, both measured in the same run.
//!
//! Ours: the whole of `import` less its process: files read and judged, names resolved, the document decided, chained and
//! posted with one durable commit. Floor: every row that it wrote, put into the same tables with the same indexes and
//! guards by prepared statements, without a decision, in one transaction with one durable commit.
//! `BINCARD_BENCH_LOTS` sets how many lots there are; there is a part for every three of them.

// A bench opens files, reads the clock and the environment, prints and falls over in order to fail.
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

use bincard::cmd::desk::{Desk, Moment};
use bincard::domain::measure::Day;
use rusqlite::types::Value;
use rusqlite::{Connection, params_from_iter};
use std::ffi::OsString;
use std::fmt::Write;
use std::path::Path;
use std::time::Instant;

/// Bins that the lots lie in.
const BINS: usize = 300;
/// How often each is measured; the fastest counts.
const TIMES: usize = 3;

fn main() {
    let lots: usize = std::env::var("BINCARD_BENCH_LOTS").map_or(60_000, |text| text.parse().unwrap());
    let folder = tempfile::tempdir().unwrap();
    let lists = folder.path().join("lists");
    write_lists(&lists, lots);
    let (mut ours, mut raw, mut rows) = (f64::MAX, f64::MAX, 0);
    for time in 0..TIMES {
        let store = folder.path().join(format!("ours{time}.db"));
        founded(&store);
        let before = counted(&store);
        ours = ours.min(timed(|| taken_on(&store, &lists)));
        let written = written(&store, &before);
        rows = written.iter().map(|(_, rows)| rows.len()).sum();
        let floor = folder.path().join(format!("raw{time}.db"));
        founded(&floor);
        raw = raw.min(timed(|| put_in(&floor, &written)));
    }
    println!("{lots} lots of {} parts, {rows} rows written", lots / 3);
    println!(
        "import {:.2} s, {:.1} µs a row   raw {:.2} s, {:.1} µs a row   {:.0} % of the raw speed",
        ours,
        ours * 1e6 / rows as f64,
        raw,
        raw * 1e6 / rows as f64,
        raw / ours * 100.0
    );
}

fn timed(work: impl FnOnce()) -> f64 {
    let start = Instant::now();
    work();
    start.elapsed().as_secs_f64()
}

/// Bins, parts and what lies where.
fn write_lists(folder: &Path, lots: usize) {
    std::fs::create_dir(folder).unwrap();
    let mut bins = "code,name,kind,parent,walk\n".to_owned();
    for n in 1..=BINS {
        writeln!(bins, "S-{n},bin {n},shelf,,{n}").unwrap();
    }
    let mut parts = "number,name,class,unit,step,hand_out,life,opened_life_days,pack_policy,bench_stock,critical,maker,issue\n"
        .to_owned();
    for n in 1..=lots / 3 {
        writeln!(
            parts,
            "P-{n},\"part, number {n}\",component,each,1,,,,measure,no,no,a maker,1"
        )
        .unwrap();
    }
    let mut stock = "part,bin,qty,value,batch,serial,expiry,condition,owner,maker,made\n".to_owned();
    for n in 0..lots {
        let (part, bin) = (n / 3 + 1, n % BINS + 1);
        writeln!(
            stock,
            "P-{part},S-{bin},{},{}.50,B{n},,2028-06-30,new,,,",
            n % 90 + 1,
            n % 500
        )
        .unwrap();
    }
    for (name, text) in [("bins.csv", bins), ("parts.csv", parts), ("stock.csv", stock)] {
        std::fs::write(folder.join(name), text).unwrap();
    }
}

/// An empty store.
fn founded(store: &Path) {
    typed(store, &["init", "--name", "Bench", "--by", "HP"]);
}

fn taken_on(store: &Path, lists: &Path) {
    typed(store, &["import", &lists.display().to_string(), "--by", "HP"]);
}

/// A command typed in process; it must end well.
fn typed(store: &Path, words: &[&str]) {
    let store = store.display().to_string();
    let all = ["bincard", "--store", &store];
    let args: Vec<OsString> = all.iter().chain(words).map(OsString::from).collect();
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let mut ops = 0;
    let exit = bincard::cmd::run(
        &mut Desk {
            out: &mut out,
            err: &mut err,
            input: &mut std::io::empty(),
            input_is_person: false,
            out_is_person: false,
            err_is_person: false,
            width: 80,
            clock: &|| {
                Some(Moment {
                    at: "2026-11-25T09:00:00Z".to_owned(),
                    day: Day::parse("2026-11-25").ok()?,
                })
            },
            env: &|_| None,
            new_op: &mut || {
                ops += 1;
                format!("bench-{ops}-{:?}", Instant::now())
            },
            waiting: || {},
            drawing: || panic!("nobody reads along"),
        },
        &args,
    );
    assert_eq!(exit, 0, "{words:?}: {}", String::from_utf8_lossy(&err));
}

/// The tables of a store in the order in which they lean on one another, with how many rows each has.
fn counted(store: &Path) -> Vec<(String, i64)> {
    let raw = Connection::open(store).unwrap();
    let count = |table: &&str| {
        let sql = format!("SELECT COUNT(*) FROM {table}");
        (
            (*table).to_owned(),
            raw.query_row(&sql, [], |row| row.get(0)).unwrap(),
        )
    };
    [
        "place",
        "part",
        "document",
        "lot",
        "lot_position",
        "layer",
        "entry",
        "balance",
    ]
    .iter()
    .map(count)
    .collect()
}

/// A table and its rows.
type Rows = (String, Vec<Vec<Value>>);

/// Every row that was written since, table by table in the order of its key.
fn written(store: &Path, before: &[(String, i64)]) -> Vec<Rows> {
    let raw = Connection::open(store).unwrap();
    let mut all = Vec::new();
    for (table, had) in before {
        let order = if table == "balance" { "lot, place" } else { "1" };
        let known = if *had == 0 || table == "balance" {
            String::new()
        } else if table == "place" {
            "WHERE id NOT IN (SELECT id FROM place WHERE document = 1)".to_owned()
        } else {
            format!("WHERE id > {had}")
        };
        let sql = format!("SELECT * FROM {table} {known} ORDER BY {order}");
        let mut statement = raw.prepare(&sql).unwrap();
        let columns = statement.column_count();
        let rows = statement
            .query_map([], |row| (0..columns).map(|at| row.get(at)).collect())
            .unwrap();
        all.push((table.clone(), rows.map(Result::unwrap).collect()));
    }
    all
}

/// Puts the rows in, with the settings of a store at work.
fn put_in(store: &Path, written: &[Rows]) {
    let raw = Connection::open(store).unwrap();
    raw.execute_batch(
        "PRAGMA foreign_keys = ON; PRAGMA recursive_triggers = ON; PRAGMA synchronous = FULL; PRAGMA cell_size_check = ON; \
         BEGIN IMMEDIATE",
    )
    .unwrap();
    for (table, rows) in written {
        let Some(first) = rows.first() else { continue };
        let marks = vec!["?"; first.len()].join(", ");
        let mut statement = raw
            .prepare(&format!("INSERT INTO {table} VALUES ({marks})"))
            .unwrap();
        for row in rows {
            statement.execute(params_from_iter(row)).unwrap();
        }
    }
    raw.execute_batch("COMMIT").unwrap();
}
