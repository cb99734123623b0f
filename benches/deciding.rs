//! How long deciding takes, without books: open jobs put in order of need, their kits reserved, what is short told.
//!
//! `BINCARD_BENCH_JOBS` sets how many jobs there are; each has 60 lines of 600 parts, each part four lots on the shelf.

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

use bincard::domain::kitting::deal::Deal;
use bincard::domain::kitting::job::{Job, JobState, Line};
use bincard::domain::kitting::reserve::reserve;
use bincard::domain::kitting::shorts::shorts;
use bincard::domain::kitting::turn::in_order_of_need;
use bincard::domain::measure::{Day, Qty, Unit};
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::ids::{DocId, JobId, LineId, LotId, PartId, PlaceId};
use bincard::domain::stores::law::{Kind, Role};
use bincard::domain::stores::lot::Lot;
use bincard::domain::stores::part::Part;
use bincard::domain::stores::stock::{Balance, Method, Person, Position, Stock};
use std::hint::black_box;
use std::sync::Arc;
use std::time::Instant;

/// Lines of a job.
const LINES: i64 = 60;
/// Parts that the lines are of.
const PARTS: i64 = 600;
/// Lots of a part.
const LOTS: i64 = 4;

fn main() {
    let jobs: i64 = std::env::var("BINCARD_BENCH_JOBS").map_or(10_000, |text| text.parse().unwrap());
    let ids: Vec<JobId> = (1..=jobs).map(JobId).collect();
    let enough = workshop(jobs, jobs * LINES * 4 / PARTS / LOTS + 4);
    let half = workshop(jobs, jobs * LINES * 2 / PARTS / LOTS);
    for _ in 0..3 {
        told("in order of need", jobs, || {
            in_order_of_need(&enough, &ids).unwrap().len()
        });
        told("facts copied", jobs, || enough.clone().lines.len());
        let turn = in_order_of_need(&half, &ids).unwrap();
        told("laid out to be dealt", jobs, || laid(&half, &turn).wanted());
        for (there, stock) in [("all", &enough), ("half", &half)] {
            let deal = laid(stock, &turn);
            let mut shares = 0;
            told(&format!("dealt, {there} there"), jobs, || {
                shares = deal.deal().len();
                shares
            });
        }
        told("reserved, all there", jobs, || reserved(&enough, &ids));
        told("reserved, half there", jobs, || reserved(&half, &ids));
        told("shorts told", jobs, || shorts(&half, &ids).unwrap().len());
    }
}

/// Lots and lines on the table.
fn laid(stock: &Stock, turn: &[JobId]) -> Deal {
    Deal::lay(stock, turn).unwrap()
}

/// Lines that reserving looked at.
fn reserved(stock: &Stock, ids: &[JobId]) -> usize {
    let head = Head::new(DocKind::Reserve, stock.day, "TW");
    reserve(stock, head, ids).unwrap().lines.len()
}

fn told(what: &str, jobs: i64, work: impl FnOnce() -> usize) {
    let since = Instant::now();
    let found = black_box(work());
    let took = since.elapsed();
    let line = took.as_nanos() / (jobs * LINES) as u128;
    println!(
        "{what}: {:.1} ms, {line} ns a line ({found})",
        took.as_secs_f64() * 1e3
    );
}

fn day() -> Day {
    Day::parse("2026-11-25").unwrap()
}

/// Jobs of 60 lines of four each, and so much of each lot on one shelf.
fn workshop(jobs: i64, of_each_lot: i64) -> Stock {
    let person = Person {
        initials: "TW".to_owned(),
        roles: vec![Role::Clerk],
    };
    let mut stock = Stock::empty(day(), day(), Method::Actual, person);
    for n in 1..=PARTS {
        stock.parts.insert(PartId(n), part(n));
        for lot in (n - 1) * LOTS + 1..=n * LOTS {
            lay(&mut stock, LotId(lot), PartId(n), Qty::whole(of_each_lot));
        }
    }
    for n in 1..=jobs {
        stock.jobs.insert(JobId(n), job(n));
        for line in 1..=LINES {
            let id = LineId((n - 1) * LINES + line);
            stock.lines.insert(id, wanted(id, JobId(n), line));
        }
    }
    stock
}

fn part(n: i64) -> Part {
    Part {
        id: PartId(n),
        number: format!("P-{n}"),
        name: "part".to_owned(),
        class: "component".to_owned(),
        unit: Unit::Each,
        step: Qty::whole(1),
        hand_out: None,
        life: None,
        opened_life: None,
        bench_stock: false,
        critical: false,
        whole_pack: false,
    }
}

fn lay(stock: &mut Stock, id: LotId, part: PartId, qty: Qty) {
    let lot = Lot {
        id,
        number: format!("L{:06}", id.0),
        part,
        child: false,
        pending: false,
        owner: None,
        size: None,
        specific: false,
        off_engine: None,
        batch: None,
        serial: None,
        maker: None,
        condition: "new".to_owned(),
        made: None,
        opened: None,
        expiry: Some(Day::parse(&format!("2028-0{}-01", 9 - id.0 % 4)).unwrap()),
        expiry_how: None,
        order_line: None,
        document: DocId(1),
    };
    stock.lots.insert(id, Arc::new(lot));
    let position = Position {
        pickable: qty,
        ..Position::default()
    };
    stock.positions.insert(id, position);
    let balance = Balance {
        qty,
        ..Balance::default()
    };
    stock.balances.insert((id, PlaceId::of(Kind::Shelf, 1)), balance);
}

fn job(n: i64) -> Job {
    Job {
        id: JobId(n),
        number: format!("J-{n:04}"),
        bill: None,
        choices: String::new(),
        tag: None,
        kit: PlaceId::of(Kind::Kit, n),
        crate_place: None,
        engine: PlaceId::of(Kind::Engine, n),
        customer: None,
        list: 1,
        use_day: Day::parse(&format!("2027-0{}-{:02}", 1 + n * 7 % 9, 1 + n * 11 % 28)).unwrap(),
        priority: 1 + n % 9,
        state: JobState::Open,
        document: DocId(1),
    }
}

fn wanted(id: LineId, job: JobId, n: i64) -> Line {
    Line {
        id,
        job,
        n,
        part: PartId(1 + id.0 * 7 % PARTS),
        allows: ",new,".to_owned(),
        dropped: false,
        need: Qty::whole(4),
        most: Qty::whole(4),
        reserved: Qty::ZERO,
        pegged: Qty::ZERO,
        kitted: Qty::ZERO,
        fitted: Qty::ZERO,
        document: DocId(1),
    }
}
