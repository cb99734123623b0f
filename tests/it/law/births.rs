//! Goods that come into the books, and what becomes of them on an engine: what part 2 asks of them.

use super::acts::{Fault, refused};
use super::world::*;
use bincard::domain::kitting::alter::Alter;
use bincard::domain::measure::Money;
use bincard::domain::stores::document::DocKind;
use bincard::domain::stores::ids::PlaceId;
use bincard::domain::stores::law::{Kind, Movement};
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::stock::Method;
use bincard::domain::stores::verbs::birth::Birth;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::relabel;

const ONE: i64 = 1_000_000;

fn world() -> World {
    World::new(Method::Actual)
}

fn serial(number: &str) -> NewLot {
    NewLot {
        serial: Some(number.into()),
        maker: Some("Ockley".into()),
        ..NewLot::default()
    }
}

fn owned(owner: PlaceId) -> NewLot {
    NewLot {
        owner: Some(owner),
        ..NewLot::default()
    }
}

/// A birth of ten studs into the world.
fn birth(movement: Movement, from: PlaceId, to: PlaceId, lot: NewLot, value: i64) -> Birth {
    let line = to.is(Kind::Engine).then_some(line(BLUE, STUD));
    Birth {
        movement,
        part: STUD,
        lot,
        from,
        to,
        qty: n(10),
        value: Money::whole(value),
        line,
    }
}

/// What each birth wants said of its lot: refused without, good with it.
#[test]
fn a_birth_says_what_the_law_wants() {
    let off = || NewLot {
        off_engine: Some(engine(BLUE)),
        ..NewLot::default()
    };
    let pending = || NewLot {
        pending: true,
        ..NewLot::default()
    };
    let plain = NewLot::default;
    let (early, taken) = (Movement::FittedEarly, Movement::TakeOff);
    let (found, booked) = (Movement::FoundFitted, Movement::BookIn);
    let table = [
        (
            birth(early, SUPPLIER, engine(BLUE), plain(), 60),
            Err("papers are still to follow"),
        ),
        (birth(early, SUPPLIER, engine(BLUE), pending(), 60), Ok(60)),
        (
            birth(taken, CUSTOMER, crate_of(BLUE), plain(), 0),
            Err("which engine it came off"),
        ),
        (birth(taken, CUSTOMER, crate_of(BLUE), off(), 60), Ok(0)),
        (
            birth(found, CUSTOMER, engine(BLUE), plain(), 0),
            Err("is the customer's"),
        ),
        (
            birth(found, CUSTOMER, engine(BLUE), owned(CUSTOMER_2), 0),
            Err("is not his job"),
        ),
        (
            birth(found, CUSTOMER_2, engine(BLUE), owned(CUSTOMER_2), 0),
            Err("is not his job"),
        ),
        (birth(found, CUSTOMER, engine(BLUE), owned(CUSTOMER), 60), Ok(0)),
        (
            birth(booked, CUSTOMER, RECEIVING, owned(CUSTOMER), 60),
            Err("not ours, so it carries no value"),
        ),
        (birth(booked, CUSTOMER, RECEIVING, owned(CUSTOMER), 0), Ok(0)),
        (birth(booked, CUSTOMER, RECEIVING, plain(), 60), Ok(60)),
        (
            birth(Movement::Gain, COUNTED, SHELF, plain(), 0),
            Err("no papers, so it goes to quarantine"),
        ),
        (birth(Movement::Gain, COUNTED, CAGE, plain(), 60), Ok(0)),
        (
            birth(Movement::Gain, COUNTED, CAGE, serial("S-9"), 0),
            Err("moves only whole"),
        ),
    ];
    for (asked, wanted) in table {
        let (mut world, to) = (world(), asked.to);
        match (world.bear(asked.clone()), wanted) {
            (done, Err(words)) => refused(done, words),
            (done, Ok(value)) => {
                assert_eq!(
                    world.at(done.unwrap().1, to),
                    (10 * ONE, value * ONE),
                    "{asked:?}"
                );
                world.sound();
            }
        }
    }
    // "A sized lot only if it was lost" (movement 21), with papers or without.
    let one = Birth {
        qty: n(1),
        ..birth(Movement::Gain, COUNTED, CAGE, serial("S-9"), 0)
    };
    refused(world().bear(one), "stands somewhere already");
}

/// "One book-in, one lot": no lot is booked in, brought forward or taken off the customer's engine a second time.
#[test]
fn a_lot_is_born_once() {
    let mut world = world();
    let lot = world.shelved(STUD, n(10), 60);
    for (movement, from, to) in [
        (Movement::BookIn, SUPPLIER, RECEIVING),
        (Movement::BookIn, SUPPLIER_2, RECEIVING),
        (Movement::BringForward, CARDS, SHELF),
        (Movement::TakeOff, CUSTOMER, crate_of(BLUE)),
    ] {
        refused(
            world.go(Move::new(movement, lot, from, to, n(1))),
            "stands somewhere already",
        );
    }
    world.sound();
}

/// Part 9: a serial is one lot for ever; it comes back from where the books believe it, and from nowhere else.
#[test]
fn a_serial_comes_back_from_where_it_is_believed() {
    let mut world = world();
    let blower = world.shelved_as(BLOWER, n(1), 900, serial("B-1"));
    assert_eq!(
        world.number("SELECT size FROM lot WHERE serial = 'B-1'"),
        ONE,
        "a serial is a whole"
    );
    let again = Birth {
        movement: Movement::BookIn,
        part: BLOWER,
        lot: serial("B-1"),
        from: SUPPLIER,
        to: RECEIVING,
        qty: n(1),
        value: Money::ZERO,
        line: None,
    };
    assert!(
        matches!(world.bear(again), Err(Fault::Books(_))),
        "its serial is in the books already"
    );
    let back = |from| Move::new(Movement::BookIn, blower, from, RECEIVING, n(1));
    for from in [SUPPLIER, SUPPLIER_2, CUSTOMER] {
        refused(world.go(back(from)), "stands somewhere already");
    }
    world
        .go(Move::new(Movement::Dispatch, blower, SHELF, CUSTOMER, n(1)))
        .unwrap();
    for from in [SUPPLIER, SUPPLIER_2, CUSTOMER_2] {
        refused(world.go(back(from)), "stands somewhere already");
    }
    world.go(back(CUSTOMER).at(Money::whole(900))).unwrap();
    world.sound();
    // A book-in undone leaves the serial nowhere, and it is entered again as itself.
    let mut world = self::world();
    let blower = world.book_in(BLOWER, n(1), 900, serial("B-1"));
    world.undo(bincard::domain::stores::ids::DocId(2)).unwrap();
    world
        .go(Move::new(Movement::BookIn, blower, SUPPLIER, RECEIVING, n(1)).at(Money::whole(900)))
        .unwrap();
    assert_eq!(world.at(blower, RECEIVING), (ONE, 900 * ONE));
    world.sound();
}

/// A book-in answers the order line it was made on, and no other part's.
#[test]
fn a_book_in_counts_on_its_order_line() {
    let mut world = world();
    let studs = order_line(1, STUD);
    let on_order = |part| NewLot {
        order_line: Some(order_line(1, part)),
        ..NewLot::default()
    };
    refused(
        world.bear(birth(Movement::BookIn, SUPPLIER, RECEIVING, on_order(WIRE), 60)),
        "of another part or lot",
    );
    let lot = world.book_in(STUD, n(10), 60, on_order(STUD));
    assert_eq!(world.order(studs), [10 * ONE, 0, 0]);
    world
        .go(Move::new(Movement::SendBack, lot, RECEIVING, SUPPLIER, n(4)))
        .unwrap();
    assert_eq!(
        world.order(studs),
        [10 * ONE, 0, 0],
        "the order line is not reopened"
    );
    world.sound();
}

/// The halves of a set are refused wherever it lies; a set and a serial go whole.
#[test]
fn a_set_goes_whole() {
    let mut world = world();
    let set = world.shelved_as(
        PISTON,
        n(4),
        400,
        NewLot {
            size: Some(n(4)),
            ..NewLot::default()
        },
    );
    for (movement, to) in [
        (Movement::Move, BENCH),
        (Movement::Quarantine, CAGE),
        (Movement::Scrap, SCRAP),
        (Movement::Dispatch, CUSTOMER),
    ] {
        for part_of_it in [1, 3, 5] {
            refused(
                world.go(Move::new(movement, set, SHELF, to, n(part_of_it))),
                "moves only whole",
            );
        }
        let done = world.go(Move::new(movement, set, SHELF, to, n(4))).unwrap();
        world.undo(done).unwrap();
    }
    world.sound();
}

/// 15 and 16: what an open job has fitted is returned; once it is closed, what comes off is taken off at nothing.
#[test]
fn return_before_closing_take_off_after() {
    let mut world = world();
    let lot = world.shelved(STUD, n(10), 60);
    let blue = line(BLUE, STUD);
    world.pick(blue, lot, n(10)).unwrap();
    world.issue(blue, lot, n(10)).unwrap();
    let off = |to, qty| Move::new(Movement::TakeOff, lot, engine(BLUE), to, n(qty));
    refused(world.go(off(crate_of(BLUE), 1)), "an open job has it fitted");
    world.give_back(blue, lot, n(1)).unwrap();
    world.close(BLUE).unwrap();
    refused(world.give_back(blue, lot, n(1)), "J-0001 is closed");
    refused(
        world.go(Move::new(Movement::Scrap, lot, engine(BLUE), SCRAP, n(1)).off(blue)),
        "J-0001 is closed",
    );
    world.go(off(crate_of(BLUE), 2)).unwrap();
    world.go(off(RECEIVING, 3)).unwrap();
    assert_eq!(
        (world.at(lot, crate_of(BLUE)), world.line(blue)[3]),
        ((2 * ONE, 0), 9 * ONE)
    );
    world.sound();
}

/// What keeps a job open (part 2): kit, crate, claims, a pending lot, something away for it; and who may close it.
#[test]
fn a_job_closes_only_when_all_is_accounted_for() {
    let mut world = world();
    let lot = world.shelved(STUD, n(20), 120);
    let blue = line(BLUE, STUD);
    world.reserve(blue, lot, n(3)).unwrap();
    refused(world.close(BLUE), "parts are reserved on line 1");
    world.pick(blue, lot, n(3)).unwrap();
    refused(world.close(BLUE), "KIT 1 is not empty");
    world
        .go(Move::new(Movement::SendOut, lot, kit(BLUE), PLATER, n(1)).off(blue))
        .unwrap();
    world.issue(blue, lot, n(2)).unwrap();
    refused(world.close(BLUE), "is away for it");
    world
        .go(Move::new(Movement::BackIn, lot, PLATER, RECEIVING, n(1)))
        .unwrap();
    let off = NewLot {
        off_engine: Some(engine(BLUE)),
        ..owned(CUSTOMER)
    };
    let (_, taken) = world
        .bear(birth(Movement::TakeOff, CUSTOMER, crate_of(BLUE), off, 0))
        .unwrap();
    refused(world.close(BLUE), "CRATE 1 is not empty");
    world
        .go(Move::new(
            Movement::SendBack,
            taken,
            crate_of(BLUE),
            CUSTOMER,
            n(10),
        ))
        .unwrap();
    let early = NewLot {
        pending: true,
        ..NewLot::default()
    };
    let asked = Birth {
        qty: n(5),
        ..birth(Movement::FittedEarly, SUPPLIER, engine(BLUE), early, 30)
    };
    let (_, pending) = world.bear(asked).unwrap();
    refused(world.close(BLUE), "have not come");
    let head = world.head(DocKind::Change);
    world
        .act(
            |facts| facts.lot(pending),
            |stock| relabel::papers_came(stock, head, pending),
        )
        .unwrap();
    world.close(BLUE).unwrap();
    // Two at 6 and five at 6, sold: the engine carries nothing, the customer's side all of it.
    assert_eq!(
        world.number("SELECT SUM(value) FROM balance WHERE place / 1000000 = 20"),
        0
    );
    assert_eq!(
        world.number("SELECT SUM(value) FROM balance WHERE place / 1000000 = 31"),
        42 * ONE
    );
    refused(world.close(BLUE), "J-0001 is closed");
    refused(world.reserve(blue, lot, n(1)), "J-0001 is closed");
    world.sound();
}

/// After an engine: condition, and at value 0 the owner, of a serial or set is a record; of other goods it is not.
#[test]
fn condition_and_owner_of_a_whole_are_records() {
    let mut world = world();
    let lot = world.shelved(STUD, n(10), 60);
    let blower = world.shelved_as(BLOWER, n(1), 900, serial("B-1"));
    let his = world.shelved_as(
        BLOWER,
        n(1),
        0,
        NewLot {
            serial: Some("B-2".into()),
            ..owned(CUSTOMER)
        },
    );
    let owner = |world: &mut World, lot, to: Option<PlaceId>, word: bool| {
        let mut head = world.head(DocKind::Change);
        head.owner_word = word.then(|| "by letter".to_owned());
        let gather = |facts: &mut bincard::db::load::Gather<'_, '_>| {
            facts.place(CUSTOMER)?;
            facts.lot(lot)
        };
        world.act(gather, |stock| relabel::owner(stock, head, lot, to))
    };
    refused(
        owner(&mut world, lot, Some(CUSTOMER), true),
        "it is no serial and no set",
    );
    refused(
        owner(&mut world, blower, Some(CUSTOMER), true),
        "not ours, so it carries no value",
    );
    refused(owner(&mut world, his, None, false), "whose word is not recorded");
    world.reserve(line(BLUE, BLOWER), his, n(1)).unwrap();
    owner(&mut world, his, Some(CUSTOMER_2), true).unwrap();
    assert_eq!(
        world.claimed(line(BLUE, BLOWER), his),
        0,
        "a claim that no longer fits is stripped"
    );
    owner(&mut world, his, None, true).unwrap();
    world.reserve(line(BLUE, BLOWER), his, n(1)).unwrap();
    let head = world.head(DocKind::Change);
    world
        .act(
            |facts| facts.lot(his),
            |stock| relabel::condition(stock, head, his, "used"),
        )
        .unwrap();
    assert_eq!(world.claimed(line(BLUE, BLOWER), his), 0);
    let head = world.head(DocKind::Change);
    refused(
        world.act(
            |facts| facts.lot(lot),
            |stock| relabel::condition(stock, head, lot, "used"),
        ),
        "it is no serial and no set",
    );
    world.sound();
}

/// 4.1: owner and condition are asked again at pick, rob and issue.
#[test]
fn owner_and_condition_are_asked_again() {
    let mut world = world();
    let blower = world.shelved_as(BLOWER, n(1), 0, serial("B-1"));
    let set_condition = |world: &mut World, word: &str| {
        let head = world.head(DocKind::Change);
        world
            .act(
                |facts| facts.lot(blower),
                |stock| relabel::condition(stock, head, blower, word),
            )
            .unwrap();
    };
    let blue = line(BLUE, BLOWER);
    set_condition(&mut world, "used");
    refused(world.pick(blue, blower, n(1)), "the line takes new");
    set_condition(&mut world, "new");
    world.pick(blue, blower, n(1)).unwrap();
    set_condition(&mut world, "used");
    refused(world.issue(blue, blower, n(1)), "the line takes new");
    let rob = Move::new(Movement::Rob, blower, kit(BLUE), kit(GREEN), n(1))
        .off(blue)
        .onto(line(GREEN, BLOWER));
    refused(world.go(rob), "the line takes new");
    world
        .alter(GREEN, &[Alter::Allows(line(GREEN, BLOWER), ",used,".into())])
        .unwrap();
    world.go(rob).unwrap();
    world.sound();
}

/// 13: goods are issued on the line of the job in whose kit they lie; for another job they are robbed first.
#[test]
fn goods_are_issued_to_their_own_job() {
    let mut world = world();
    let lot = world.shelved(STUD, n(10), 60);
    world.pick(line(BLUE, STUD), lot, n(10)).unwrap();
    let across = Move::new(Movement::Issue, lot, kit(BLUE), engine(GREEN), n(1));
    refused(
        world.go(across.off(line(BLUE, STUD)).onto(line(GREEN, STUD))),
        "is not a place of J-0001",
    );
    world.sound();
}

/// 14: only parts marked bench stock are used without a kit.
#[test]
fn only_bench_stock_is_used() {
    let mut world = world();
    let lot = world.shelved(STUD, n(10), 60);
    refused(
        world.go(Move::new(Movement::Use, lot, SHELF, SHOP, n(1))),
        "STUD is not bench stock",
    );
    let nuts = world.shelved(NUT, n(10), 10);
    world
        .go(Move::new(Movement::Use, nuts, SHELF, SHOP, n(1)))
        .unwrap();
    world.sound();
}

/// 17: an engine is not swapped for itself, and another takes over what is fitted, not what was used up.
#[test]
fn what_is_fitted_moves_with_the_swap() {
    let mut world = world();
    let (studs, nuts) = (world.shelved(STUD, n(10), 60), world.shelved(NUT, n(8), 8));
    world.pick(line(BLUE, STUD), studs, n(10)).unwrap();
    world.issue(line(BLUE, STUD), studs, n(10)).unwrap();
    let used = Move::new(Movement::Use, nuts, SHELF, engine(BLUE), n(8));
    world.go(used.onto(line(BLUE, NUT))).unwrap();
    refused(world.swap(BLUE, engine(BLUE)), "quantity is nothing");
    let other = place(Kind::Engine, 4);
    world.swap(BLUE, other).unwrap();
    let lies = |lot, place| world.at(lot, place);
    assert_eq!(
        [lies(studs, engine(BLUE)), lies(studs, other)],
        [(0, 0), (10 * ONE, 60 * ONE)]
    );
    assert_eq!(
        [lies(nuts, engine(BLUE)), lies(nuts, other)],
        [(8 * ONE, 8 * ONE), (0, 0)]
    );
    assert_eq!(
        [STUD, NUT].map(|part| world.line(line(BLUE, part))[3]),
        [10 * ONE, 8 * ONE]
    );
    world.sound();
}
