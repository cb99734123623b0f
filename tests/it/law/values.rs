//! Value: part 3 of the law beyond its worked example.

use super::acts::refused;
use super::world::*;
use bincard::domain::kitting::alter::Alter;
use bincard::domain::measure::{Money, Qty};
use bincard::domain::stores::ids::LotId;
use bincard::domain::stores::law::{Kind, Movement};
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::stock::Method;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::making::{Input, Output};
use bincard::domain::stores::verbs::value::share;

const ONE: i64 = 1_000_000;

/// share(V, Q, q) = V if q = Q, else V·q/Q rounded half away from zero to a millionth; by hand, in millionths.
#[test]
fn a_share_is_rounded_half_away() {
    let table = [
        (100, 3, 1, 33),
        (100, 3, 2, 67),
        (100, 3, 3, 100),
        (1, 2, 1, 1),
        (3, 2, 1, 2),
        (5, 10, 5, 3),
        (0, 3, 1, 0),
        (1, 3, 1, 0),
        (2, 3, 1, 1),
        // 128 bits in between: nine million million pounds over a thousand million pieces.
        (
            9_000_000_000_000_000_000,
            1_000_000_000_000_000,
            999_999_999_999_999,
            8_999_999_999_999_991_000,
        ),
    ];
    for (value, whole, taken, wanted) in table {
        let found = share(
            Money::from_millionths(value),
            Qty::from_millionths(whole),
            Qty::from_millionths(taken),
        );
        assert_eq!(found.millionths(), wanted, "{taken} of {whole} at {value}");
    }
}

/// "The last unit takes the remainder; sums are exact": three at 100 drawn one by one, by each method.
#[test]
fn the_last_unit_takes_the_remainder() {
    for method in [Method::Actual, Method::Fifo, Method::Average] {
        let mut world = World::new(method);
        let lot = world.shelved(STUD, n(3), 100);
        let mut drawn = Vec::new();
        for _ in 0..3 {
            let done = world
                .go(Move::new(Movement::Scrap, lot, SHELF, SCRAP, n(1)))
                .unwrap();
            drawn.push(world.number(&format!("SELECT value FROM entry WHERE document = {done}")));
        }
        // 100/3, then 66.666667/2 rounded up at the seventh decimal, then what is left.
        assert_eq!(drawn, [33_333_333, 33_333_334, 33_333_333]);
        world.sound();
    }
}

/// Lots of every kind, and whether each has a layer of its own.
fn kinds_of_lot() -> [(&'static str, NewLot, i64); 6] {
    let plain = NewLot::default;
    [
        ("plain", plain(), 0),
        (
            "serial",
            NewLot {
                serial: Some("S".into()),
                ..plain()
            },
            1,
        ),
        (
            "set",
            NewLot {
                size: Some(n(1)),
                ..plain()
            },
            1,
        ),
        (
            "customer's",
            NewLot {
                owner: Some(CUSTOMER),
                ..plain()
            },
            1,
        ),
        (
            "opened",
            NewLot {
                opened: Some(day(0)),
                ..plain()
            },
            1,
        ),
        (
            "take-off",
            NewLot {
                off_engine: Some(engine(BLUE)),
                ..plain()
            },
            1,
        ),
    ]
}

/// Which lots always have their own layer: opened, made, serial, set, customer's, take-off; a plain one shares.
#[test]
fn what_is_not_interchangeable_has_its_own_layer() {
    for method in [Method::Fifo, Method::Average] {
        for (what, new, own) in &kinds_of_lot() {
            let mut world = World::new(method);
            world.shelved(STUD, n(5), 500);
            let value = i64::from(new.owner.is_none()) * 7;
            let lot = world.shelved_as(STUD, n(1), value, new.clone());
            let layers = world.number(&format!(
                "SELECT COUNT(*) FROM layer WHERE lot = {lot} AND shared = 0"
            ));
            assert_eq!(layers, *own, "{what}");
            let done = world
                .go(Move::new(Movement::Scrap, lot, SHELF, SCRAP, n(1)))
                .unwrap();
            // Its own price, or the shared pool's: the oldest by fifo, the mean of 507 over six by average.
            let shared = if method == Method::Fifo {
                100 * ONE
            } else {
                84_500_000
            };
            let wanted = if *own == 1 { value * ONE } else { shared };
            assert_eq!(
                world.number(&format!("SELECT value FROM entry WHERE document = {done}")),
                wanted,
                "{what} {method:?}"
            );
            world.sound();
        }
    }
}

/// An emptied pool keeps its layer, so an older draw undone finds the one it drew on.
#[test]
fn an_emptied_pool_keeps_its_layer() {
    for method in [Method::Actual, Method::Average] {
        let mut world = World::new(method);
        let lot = world.shelved(STUD, n(4), 40);
        let first = world
            .go(Move::new(Movement::Quarantine, lot, SHELF, CAGE, n(2)))
            .unwrap();
        let second = world
            .go(Move::new(Movement::Quarantine, lot, SHELF, CAGE, n(2)))
            .unwrap();
        world
            .go(Move::new(Movement::Accept, lot, CAGE, SHELF, n(1)))
            .unwrap();
        world.undo(first).unwrap();
        assert_eq!(world.layers(STUD), [(3 * ONE, 30 * ONE)], "{method:?}");
        assert_eq!(world.number("SELECT COUNT(*) FROM layer"), 1);
        assert!(world.undo(second).is_err(), "one of the two has left the cage");
        world.sound();
    }
}

/// 2 → 2 moves no value; 2 → 3 draws; goods on the bench carry their own.
#[test]
fn a_move_within_the_shelves_costs_nothing() {
    for method in [Method::Actual, Method::Fifo, Method::Average] {
        let mut world = World::new(method);
        let (old, new) = (world.shelved(STUD, n(2), 10), world.shelved(STUD, n(2), 30));
        world
            .go(Move::new(Movement::Move, new, SHELF, SHELF_2, n(2)))
            .unwrap();
        assert_eq!(
            world.number("SELECT value FROM entry ORDER BY id DESC LIMIT 1"),
            0
        );
        world
            .go(Move::new(Movement::Move, new, SHELF_2, BENCH, n(1)))
            .unwrap();
        let wanted = match method {
            Method::Actual => 15,
            Method::Fifo => 5,
            Method::Average => 10,
        };
        assert_eq!(world.at(new, BENCH), (ONE, wanted * ONE), "{method:?}");
        world
            .go(Move::new(Movement::Move, new, BENCH, SHELF, n(1)))
            .unwrap();
        assert_eq!(world.number("SELECT SUM(value) FROM layer"), 40 * ONE);
        assert_eq!(
            world.at(old, SHELF),
            (2 * ONE, 0),
            "a shelf is valued by its layers"
        );
        world.sound();
    }
}

/// A gain makes no money: it takes back what the count holds of that lot, beyond that nothing.
#[test]
fn a_gain_makes_no_money() {
    // Lost of ten at 60, found, and what the found ones are worth.
    for (lost, found, worth) in [(3, 1, 6), (3, 2, 12), (3, 3, 18), (3, 4, 18), (1, 9, 6)] {
        let mut world = World::new(Method::Actual);
        let lot = world.shelved(STUD, n(10), 60);
        world
            .go(Move::new(Movement::Loss, lot, SHELF, COUNTED, n(lost)))
            .unwrap();
        let done = world
            .go(Move::new(Movement::Gain, lot, COUNTED, SHELF, n(found)))
            .unwrap();
        assert_eq!(
            world.number(&format!("SELECT value FROM entry WHERE document = {done}")),
            worth * ONE,
            "{lost} {found}"
        );
        world.sound();
    }
    let mut world = World::new(Method::Actual);
    let lot = world.shelved(STUD, n(10), 60);
    world
        .go(Move::new(Movement::Gain, lot, COUNTED, SHELF, n(1)))
        .unwrap();
    assert_eq!(world.layers(STUD), [(11 * ONE, 60 * ONE)], "never lost");
    world.sound();
}

/// A credit may leave the count below nothing; what is found again brings no debt with it.
#[test]
fn a_gain_brings_no_debt() {
    let mut world = World::new(Method::Actual);
    let lot = world.shelved(STUD, n(10), 60);
    world
        .go(Move::new(Movement::Loss, lot, SHELF, COUNTED, n(10)))
        .unwrap();
    world.late_cost(lot, -Money::whole(70)).unwrap();
    let done = world
        .go(Move::new(Movement::Gain, lot, COUNTED, SHELF, n(5)))
        .unwrap();
    assert_eq!(
        world.number(&format!("SELECT value FROM entry WHERE document = {done}")),
        0
    );
    world.sound();
}

/// Forty studs at 40 strewn over every kind of place, eight of them opened on the shelf: the lot and its child.
fn strewn() -> (World, LotId, LotId) {
    let mut world = World::new(Method::Fifo);
    world
        .alter(BLUE, &[Alter::Need(line(BLUE, STUD), n(30))])
        .unwrap();
    let lot = world.shelved(STUD, n(40), 40);
    let blue = line(BLUE, STUD);
    let mut go = |movement, from, to, qty| {
        let asked = Move::new(movement, lot, from, to, n(qty));
        world
            .go(if to == kit(BLUE) || to == engine(BLUE) {
                asked.onto(blue)
            } else {
                asked
            })
            .unwrap();
    };
    go(Movement::Move, SHELF, BENCH, 2);
    go(Movement::Quarantine, SHELF, CAGE, 3);
    go(Movement::SendOut, SHELF, PLATER, 4);
    go(Movement::Scrap, SHELF, SCRAP, 5);
    go(Movement::Dispatch, SHELF, CUSTOMER, 6);
    go(Movement::Pick, SHELF, kit(BLUE), 7);
    world.issue(blue, lot, n(1)).unwrap();
    // Opened on the shelf: the children bear their share, making none.
    let input = Input {
        lot,
        place: SHELF,
        qty: n(8),
        line: None,
    };
    world
        .open(
            &[input],
            &[Output {
                part: STUD,
                qty: n(8),
                lot: NewLot::default(),
            }],
        )
        .unwrap();
    let child = LotId(world.number("SELECT MAX(id) FROM lot"));
    (world, lot, child)
}

/// Late cost follows the goods to wherever they lie, by quantity; what has left the house is a variance.
#[test]
fn late_cost_follows_the_goods() {
    let (mut world, lot, child) = strewn();
    let blue = line(BLUE, STUD);
    let before = |world: &World| {
        let places = [
            (lot, BENCH),
            (lot, CAGE),
            (lot, PLATER),
            (lot, SCRAP),
            (lot, CUSTOMER),
            (lot, kit(BLUE)),
            (lot, engine(BLUE)),
            (lot, COUNTED),
        ];
        places.map(|(lot, place)| world.at(lot, place).1)
    };
    let was = before(&world);
    let shelf_was: Vec<i64> = world.layers(STUD).iter().map(|layer| layer.1).collect();
    // Forty at 80: two each. Five on the shelf as themselves, eight as the child.
    world.late_cost(lot, Money::whole(80)).unwrap();
    let rose: Vec<i64> = before(&world)
        .iter()
        .zip(was)
        .map(|(now, was)| (now - was) / ONE)
        .collect();
    assert_eq!(rose, [4, 6, 8, 0, 0, 12, 2, 22]);
    let shelf: Vec<i64> = world
        .layers(STUD)
        .iter()
        .zip(shelf_was)
        .map(|(now, was)| (now.1 - was) / ONE)
        .collect();
    assert_eq!(shelf, [10, 16]);
    assert_eq!(world.at(child, SHELF).0, 8 * ONE);
    world.sound();
    // The same after closing: the engine's share is a variance too.
    world
        .go(Move::new(Movement::Scrap, lot, kit(BLUE), SCRAP, n(6)).off(blue))
        .unwrap();
    world.close(BLUE).unwrap();
    let counted = world.at(lot, COUNTED).1;
    world.late_cost(lot, Money::whole(40)).unwrap();
    assert_eq!(
        (
            world.at(lot, engine(BLUE)).1,
            (world.at(lot, COUNTED).1 - counted) / ONE
        ),
        (0, 18)
    );
    world.sound();
}

/// Largest remainder: 0.000001 goes to one of three places; a credit comes off as it would have come on.
#[test]
fn late_cost_leaves_no_remainder() {
    let mut world = World::new(Method::Actual);
    let lot = world.book_in(STUD, n(9), 90, NewLot::default());
    for to in [CAGE, place(Kind::Receiving, 2)] {
        let movement = if to == CAGE {
            Movement::Quarantine
        } else {
            Movement::Move
        };
        world.go(Move::new(movement, lot, RECEIVING, to, n(3))).unwrap();
    }
    world.late_cost(lot, Money::from_millionths(1)).unwrap();
    let values =
        |world: &World| [RECEIVING, place(Kind::Receiving, 2), CAGE].map(|place| world.at(lot, place).1);
    assert_eq!(values(&world), [30_000_001, 30_000_000, 30_000_000]);
    world.late_cost(lot, Money::from_millionths(-2)).unwrap();
    assert_eq!(values(&world), [30_000_000, 29_999_999, 30_000_000]);
    refused(world.late_cost(lot, Money::ZERO), "quantity is nothing");
    refused(
        world.late_cost(lot, Money::whole(-91)),
        "they carry less than that",
    );
    world.sound();
}

/// A shelf's share goes over the lot's live layers by quantity; where it has none, to the part's newest layer.
#[test]
fn late_cost_of_a_shelf_goes_to_its_layers() {
    let mut world = World::new(Method::Fifo);
    let first = world.shelved(STUD, n(4), 40);
    let second = world.shelved(STUD, n(4), 40);
    // Four of the second drawn, oldest first: the first lot's layer is gone, its goods lie on the shelf.
    world
        .go(Move::new(Movement::Scrap, second, SHELF, SCRAP, n(4)))
        .unwrap();
    world.shelved(STUD, n(1), 10);
    world.late_cost(first, Money::whole(8)).unwrap();
    assert_eq!(world.layers(STUD), [(4 * ONE, 40 * ONE), (ONE, 18 * ONE)]);
    world.sound();
    let mut world = World::new(Method::Average);
    let lot = world.shelved(STUD, n(4), 40);
    world.late_cost(lot, Money::whole(8)).unwrap();
    assert_eq!(world.layers(STUD), [(4 * ONE, 48 * ONE)]);
    world.sound();
}

/// "Never on a lot that is not ours": refused; what of our lot became a customer's leaves its share as a variance.
#[test]
fn late_cost_never_lies_on_what_is_not_ours() {
    let mut world = World::new(Method::Actual);
    let his = world.shelved_as(
        STUD,
        n(4),
        0,
        NewLot {
            owner: Some(CUSTOMER),
            ..NewLot::default()
        },
    );
    refused(
        world.late_cost(his, Money::whole(1)),
        "not ours, so it carries no value",
    );
    let ours = world.shelved(STUD, n(4), 0);
    let input = Input {
        lot: ours,
        place: SHELF,
        qty: n(1),
        line: None,
    };
    let given = Output {
        part: STUD,
        qty: n(1),
        lot: NewLot {
            owner: Some(CUSTOMER),
            ..NewLot::default()
        },
    };
    world.open(&[input], &[given]).unwrap();
    world.late_cost(ours, Money::whole(8)).unwrap();
    assert_eq!(
        (
            world.at(ours, COUNTED).1,
            world.number("SELECT SUM(value) FROM layer")
        ),
        (2 * ONE, 6 * ONE)
    );
    world.sound();
}

/// Restate: all shelf lots out by the old method, in by the new; the total is the same, each lot fed with what it drew.
#[test]
fn a_change_of_method_keeps_the_total() {
    // Four at 20 and three at 36, two of the later lot scrapped: 4 and 1 are left. Actual: worth 20 and 12. Fifo: the two
    // came out of the older layer, so (2, 10) and (3, 36) are left, of which the first lot draws 10 and 24. Average:
    // seven at 56, five at 40 left, of which the first lot draws 32.
    let table = [
        (Method::Actual, Method::Average, vec![(5, 32)]),
        (Method::Actual, Method::Fifo, vec![(4, 20), (1, 12)]),
        (Method::Fifo, Method::Actual, vec![(4, 34), (1, 12)]),
        (Method::Fifo, Method::Average, vec![(5, 46)]),
        (Method::Average, Method::Fifo, vec![(4, 32), (1, 8)]),
        (Method::Average, Method::Actual, vec![(4, 32), (1, 8)]),
    ];
    for (from, to, layers) in table {
        let mut world = World::new(from);
        world.shelved(STUD, n(4), 20);
        let second = world.shelved(STUD, n(3), 36);
        world
            .go(Move::new(Movement::Scrap, second, SHELF, SCRAP, n(2)))
            .unwrap();
        world.restate(to).unwrap();
        let wanted: Vec<(i64, i64)> = layers
            .iter()
            .map(|(qty, value)| (qty * ONE, value * ONE))
            .collect();
        assert_eq!(world.layers(STUD), wanted, "{from:?} to {to:?}");
        world.sound();
    }
}

/// Whole-pack policy: the job keeps what the pack cost; the rest goes back at a stated nothing, or to scrap on the line.
#[test]
fn the_rest_of_a_whole_pack_goes_back_at_nothing() {
    for (part, rest) in [(PRIMER, 0), (SEALANT, 38)] {
        let mut world = World::new(Method::Actual);
        let lot = world.shelved(part, n(50), 50);
        let blue = line(BLUE, SEALANT);
        // The line is the sealant's; a line for the primer takes its place.
        if part == PRIMER {
            world
                .raw()
                .execute("UPDATE job_line SET part = 8 WHERE id = ?1", [blue.0])
                .unwrap();
        }
        world.pick(blue, lot, n(50)).unwrap();
        let back = Move::new(Movement::PutBack, lot, kit(BLUE), SHELF, n(38)).off(blue);
        world.go(back.at(Money::ZERO)).unwrap();
        assert_eq!(world.at(lot, kit(BLUE)), (12 * ONE, (50 - rest) * ONE), "{part}");
        assert_eq!(world.layers(part), [(38 * ONE, rest * ONE)]);
        // All of it takes all of the value along, whatever was stated.
        world
            .go(Move {
                qty: n(12),
                ..back.at(Money::ZERO)
            })
            .unwrap();
        assert_eq!(world.layers(part), [(50 * ONE, 50 * ONE)]);
        world
            .go(Move::new(Movement::Pick, lot, SHELF, kit(BLUE), n(50)).onto(blue))
            .unwrap();
        world
            .go(Move::new(Movement::Scrap, lot, kit(BLUE), SCRAP, n(38)).off(blue))
            .unwrap();
        assert_eq!(world.at(lot, kit(BLUE)), (12 * ONE, 12 * ONE));
    }
}
