//! The domain alone: facts built in memory, no books behind them; it refuses, and prices, all the same.

use super::world::*;
use bincard::domain::kitting::job::{Job, JobState, Line};
use bincard::domain::measure::{Money, Qty};
use bincard::domain::refusal::Refusal;
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::ids::{DocId, HoldId, JobId, LayerId, LotId, PartId, PlaceId};
use bincard::domain::stores::law::{Kind, Movement, Role};
use bincard::domain::stores::lot::{Lot, NEW};
use bincard::domain::stores::place::Place;
use bincard::domain::stores::posting::{Held, Posting};
use bincard::domain::stores::stock::{Balance, Layer, LiveHold, Method, Next, Person, Position, Stock};
use bincard::domain::stores::verbs::draft::Draft;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::moves::post_moves;
use std::sync::Arc;

const LOT: LotId = LotId(1);

/// Ten of a part on the first shelf at 60, one job that wants what the others of these tests want.
fn stock(part: PartId) -> Stock {
    let roles = vec![Role::Clerk, Role::Manager, Role::Inspector];
    let mut stock = Stock::empty(
        day(0),
        day(0),
        Method::Actual,
        Person {
            initials: "HP".into(),
            roles,
        },
    );
    stock.parts.insert(part, bare_part(part));
    for id in [
        SHELF,
        SHELF_2,
        BENCH,
        CAGE,
        SCRAP,
        SHOP,
        COUNTED,
        SUPPLIER,
        CUSTOMER,
        PLATER,
        kit(BLUE),
        engine(BLUE),
    ] {
        let code = format!("{} {}", id.kind().unwrap().word(), id.0 % 1_000_000);
        stock.places.insert(
            id,
            Place {
                id,
                name: code.clone(),
                code,
                walk: None,
                owner: None,
                held: 0,
            },
        );
    }
    shelve(&mut stock, part);
    stock.jobs.insert(BLUE, job(BLUE));
    let need = NEEDS
        .iter()
        .find(|(of, _)| *of == part)
        .map_or(n(1), |(_, need)| Qty::from_millionths(*need));
    stock.lines.insert(line(BLUE, part), job_line(BLUE, part, need));
    stock.next = Next {
        lot: 2,
        layer: 2,
        hold: 1,
        document: 5,
        draw: 1,
    };
    stock
}

/// Ten of the part on the first shelf at 60, by their own layer.
fn shelve(stock: &mut Stock, part: PartId) {
    stock.lots.insert(LOT, Arc::new(lot(LOT, part)));
    stock.balances.insert(
        (LOT, SHELF),
        Balance {
            qty: n(10),
            value: Money::ZERO,
        },
    );
    stock.balances.insert(
        (LOT, SUPPLIER),
        Balance {
            qty: n(-10),
            value: Money::whole(-60),
        },
    );
    stock.positions.insert(
        LOT,
        Position {
            pickable: n(10),
            reserved: Qty::ZERO,
            held: 0,
        },
    );
    let layer = Layer {
        id: LayerId(1),
        part,
        lot: Some(LOT),
        shared: false,
        qty: n(10),
        value: Money::whole(60),
    };
    stock.layers.insert(layer);
}

fn lot(id: LotId, part: PartId) -> Lot {
    Lot {
        id,
        number: format!("L{id:06}"),
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
        condition: NEW.into(),
        made: None,
        opened: None,
        expiry: None,
        expiry_how: None,
        order_line: None,
        document: DocId(2),
    }
}

fn job(id: JobId) -> Job {
    Job {
        id,
        number: format!("J-{id:04}"),
        bill: None,
        choices: String::new(),
        tag: None,
        kit: kit(id),
        crate_place: Some(crate_of(id)),
        engine: engine(id),
        customer: Some(CUSTOMER),
        list: 1,
        use_day: day(10),
        priority: 5,
        state: JobState::Open,
        document: DocId(1),
    }
}

fn job_line(job: JobId, part: PartId, need: Qty) -> Line {
    Line {
        id: line(job, part),
        job,
        n: part.0,
        part,
        allows: ",new,".into(),
        dropped: false,
        need,
        most: bare_part(part).most(need),
        reserved: Qty::ZERO,
        pegged: Qty::ZERO,
        kitted: Qty::ZERO,
        fitted: Qty::ZERO,
        document: DocId(1),
    }
}

fn head(movement: Movement) -> Head {
    Head::new(DocKind::Movement(movement), day(0), "HP")
}

fn go(stock: &Stock, asked: Move) -> Result<Posting, Refusal> {
    post_moves(stock, head(asked.movement), &[asked])
}

fn to(movement: Movement, to: PlaceId, qty: i64) -> Move {
    Move::new(movement, LOT, SHELF, to, n(qty))
}

/// The words of a refusal, what is asked, and what was changed among the facts before.
type Spoilt = (&'static str, Move, fn(&mut Stock));

/// What each fact, changed, makes the domain refuse; the same movement passes without it.
#[test]
fn the_domain_refuses_with_no_books_behind_it() {
    let pick = to(Movement::Pick, kit(BLUE), 1).onto(line(BLUE, STUD));
    let table: [Spoilt; 16] = [
        (
            "stud moves in steps of 1 each",
            Move {
                qty: Qty::from_millionths(1),
                ..pick
            },
            |_| {},
        ),
        (
            "10 each there are in shelf 1",
            to(Movement::Scrap, SCRAP, 11),
            |_| {},
        ),
        (
            "knows no scrap from shelf to quarantine",
            to(Movement::Scrap, CAGE, 1),
            |_| {},
        ),
        ("may not do this", pick, |s| s.person.roles.clear()),
        ("is on hold: recalled", pick, |s| hold(s, Held::Lot(LOT))),
        ("is on hold: recalled", pick, |s| hold(s, Held::Place(SHELF))),
        ("is dead on 2026-03-12", pick, |s| {
            Arc::make_mut(s.lots.get_mut(&LOT).unwrap()).expiry = Some(day(9))
        }),
        ("the line takes new", pick, |s| {
            Arc::make_mut(s.lots.get_mut(&LOT).unwrap()).condition = "used".into()
        }),
        ("is not his job", pick, |s| {
            Arc::make_mut(s.lots.get_mut(&LOT).unwrap()).owner = Some(SUPPLIER)
        }),
        ("moves only whole", pick, |s| {
            Arc::make_mut(s.lots.get_mut(&LOT).unwrap()).size = Some(n(10))
        }),
        ("is closed", pick, |s| {
            s.jobs.get_mut(&BLUE).unwrap().state = JobState::Closed
        }),
        ("takes no more than 0 each", pick, |s| {
            s.lines.get_mut(&line(BLUE, STUD)).unwrap().most = n(0)
        }),
        ("0 each free", pick, |s| {
            s.positions.get_mut(&LOT).unwrap().reserved = n(10)
        }),
        ("not bench stock", to(Movement::Use, SHOP, 1), |_| {}),
        ("needs the day", to(Movement::SendOut, PLATER, 1), |_| {}),
        ("whose word is not recorded", to(Movement::Scrap, SCRAP, 1), |s| {
            Arc::make_mut(s.lots.get_mut(&LOT).unwrap()).owner = Some(CUSTOMER)
        }),
    ];
    for (words, asked, change) in table {
        let mut changed = stock(STUD);
        change(&mut changed);
        let refusal = go(&changed, asked).expect_err(words).to_string();
        assert!(refusal.to_lowercase().contains(words), "{refusal}, not {words}");
    }
    assert!(go(&stock(STUD), pick).is_ok());
}

fn hold(stock: &mut Stock, on: Held) {
    match on {
        Held::Lot(lot) => stock.positions.get_mut(&lot).unwrap().held = 1,
        Held::Place(place) => stock.places.get_mut(&place).unwrap().held = 1,
    }
    stock.holds.push(LiveHold {
        id: HoldId(1),
        on,
        cause: "recalled".into(),
        document: DocId(3),
    });
}

/// What was not handed over is a fault of ours, and never taken for nothing.
#[test]
fn what_was_not_read_is_not_taken_for_nothing() {
    let pick = to(Movement::Pick, kit(BLUE), 1).onto(line(BLUE, STUD));
    let forget: [fn(&mut Stock); 6] = [
        |s| drop(s.lots.remove(&LOT)),
        |s| drop(s.parts.remove(&STUD)),
        |s| drop(s.places.remove(&kit(BLUE))),
        |s| drop(s.lines.remove(&line(BLUE, STUD))),
        |s| drop(s.jobs.remove(&BLUE)),
        |s| s.layers.clear(),
    ];
    for (number, change) in forget.into_iter().enumerate() {
        let mut less = stock(STUD);
        change(&mut less);
        assert!(matches!(go(&less, pick), Err(Refusal::Unread { .. })), "{number}");
    }
}

/// What goes in and comes out of a decision is the posting alone: the facts it was given stay as they were.
#[test]
fn a_decision_leaves_its_facts_alone() {
    let facts = stock(STUD);
    let before = format!("{facts:?}");
    let asked = to(Movement::Quarantine, CAGE, 3);
    let posting = go(&facts, asked).unwrap();
    assert_eq!(posting.entries.len(), 1);
    assert_eq!(
        (posting.entries[0].value, posting.entries[0].layer),
        (Money::whole(18), Some(LayerId(1)))
    );
    assert_eq!(format!("{facts:?}"), before);
    assert_eq!(
        go(&facts, asked).unwrap(),
        posting,
        "and the same facts give the same posting"
    );
}

/// A claim is bounded by the facts alone as well: pickable, most, short.
#[test]
fn claims_are_bounded_with_no_books_behind_them() {
    let reserve =
        |stock: &Stock, qty| Draft::new(stock, head(Movement::Pick)).reserve(line(BLUE, STUD), LOT, n(qty));
    assert!(reserve(&stock(STUD), 10).is_ok());
    for (words, qty, change) in [
        ("takes no more than 10", 11, (|_| {}) as fn(&mut Stock)),
        ("9 each free", 10, |s| {
            s.positions.get_mut(&LOT).unwrap().reserved = n(1)
        }),
        ("is not short", 1, |s| {
            s.lines.get_mut(&line(BLUE, STUD)).unwrap().fitted = n(10)
        }),
        ("quantity is nothing", 0, |_| {}),
    ] {
        let mut changed = stock(STUD);
        change(&mut changed);
        let refusal = reserve(&changed, qty).expect_err(words).to_string();
        assert!(refusal.contains(words), "{refusal}, not {words}");
    }
    assert_eq!(
        stock(STUD).places.keys().filter(|id| id.is(Kind::Shelf)).count(),
        2
    );
}
