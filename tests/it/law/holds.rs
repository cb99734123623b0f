//! Holds: part 6 of the law (where held goods may go stands way by way in `ways`).

use super::acts::refused;
use super::world::*;
use bincard::domain::stores::ids::LotId;
use bincard::domain::stores::law::Movement;
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::posting::Held;
use bincard::domain::stores::stock::Method;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::making::{Input, Output};

const ONE: i64 = 1_000_000;

/// 6.1: holds nest: held while any live, whichever is lifted first; on lot and place alike.
#[test]
fn holds_nest() {
    let mut world = World::new(Method::Actual);
    let lot = world.shelved(STUD, n(10), 60);
    for on in [Held::Lot(lot), Held::Place(SHELF)] {
        for first in [0, 1] {
            let holds = [world.hold(on), world.hold(on)];
            assert_eq!(world.position(lot).0, 0);
            world.lift(holds[first]).unwrap();
            assert_eq!(world.position(lot).0, 0, "one is left");
            refused(
                world.reserve(line(BLUE, STUD), lot, n(1)),
                if on == Held::Lot(lot) {
                    "is on hold"
                } else {
                    "0 each free"
                },
            );
            world.lift(holds[1 - first]).unwrap();
            assert_eq!(world.position(lot), (10 * ONE, 0, 0));
            refused(world.lift(holds[first]), "no live hold");
            world.sound();
        }
    }
}

/// 6.1: nothing pickable there, claims stripped at once; of a lot in two bins only what lies in the other one is left.
#[test]
fn a_held_bin_holds_only_what_lies_in_it() {
    let mut world = World::new(Method::Actual);
    let lot = world.shelved(STUD, n(20), 120);
    world
        .go(Move::new(Movement::Move, lot, SHELF, SHELF_2, n(8)))
        .unwrap();
    for job in [BLUE, GREEN] {
        world.reserve(line(job, STUD), lot, n(10)).unwrap();
    }
    world.hold(Held::Place(SHELF));
    assert_eq!(world.position(lot), (8 * ONE, 8 * ONE, 0));
    assert_eq!(
        [BLUE, GREEN].map(|job| world.claimed(line(job, STUD), lot) / ONE),
        [8, 0]
    );
    refused(
        world.pick(line(BLUE, STUD), lot, n(1)),
        "place SHELF 1 is on hold",
    );
    world
        .go(Move::new(Movement::Pick, lot, SHELF_2, kit(BLUE), n(8)).onto(line(BLUE, STUD)))
        .unwrap();
    world.sound();
}

/// 6.2: a recalled lot half in kits cannot be issued, until it is swapped or quarantined.
#[test]
fn a_recalled_lot_in_a_kit_is_not_issued() {
    let mut world = World::new(Method::Actual);
    let (lot, other) = (world.shelved(STUD, n(10), 60), world.shelved(STUD, n(10), 60));
    let blue = line(BLUE, STUD);
    world.pick(blue, lot, n(10)).unwrap();
    world.hold(Held::Lot(lot));
    refused(world.issue(blue, lot, n(10)), "is on hold: dropped on the floor");
    refused(world.put_back(blue, lot, n(10)), "is on hold");
    world
        .go(Move::new(Movement::Quarantine, lot, kit(BLUE), CAGE, n(10)).off(blue))
        .unwrap();
    assert_eq!(world.line(blue), [0; 4], "short again");
    world.pick(blue, other, n(10)).unwrap();
    world.issue(blue, other, n(10)).unwrap();
    world.sound();
}

/// 6.3 and part 2: children born in the cage take each live hold of each parent in the same document.
#[test]
fn a_child_born_in_the_cage_inherits_every_hold() {
    let mut world = World::new(Method::Actual);
    let lots = [0, 1].map(|_| world.shelved(STUD, n(10), 60));
    for (lot, holds) in [(lots[0], 2), (lots[1], 1)] {
        world
            .go(Move::new(Movement::Quarantine, lot, SHELF, CAGE, n(10)))
            .unwrap();
        for _ in 0..holds {
            world.hold(Held::Lot(lot));
        }
    }
    let lifted = world.hold(Held::Lot(lots[1]));
    world.lift(lifted).unwrap();
    let input = |lot| Input {
        lot,
        place: CAGE,
        qty: n(5),
        line: None,
    };
    let output = |qty| Output {
        part: STUD,
        qty: n(qty),
        lot: NewLot::default(),
    };
    let sorted = world
        .open(&[input(lots[0]), input(lots[1])], &[output(6), output(4)])
        .unwrap();
    let held = world.rows(&format!(
        "SELECT p.held FROM lot l JOIN lot_position p ON p.lot = l.id WHERE l.document = {sorted}"
    ));
    assert_eq!(
        held.iter().map(|row| row.int(0).unwrap()).collect::<Vec<_>>(),
        [3, 3]
    );
    let child = LotId(world.number("SELECT MAX(id) FROM lot"));
    refused(
        world.go(Move::new(Movement::Accept, child, CAGE, SHELF, n(4))),
        "is on hold",
    );
    world.sound();
    world.undo(sorted).unwrap();
    world.sound();
    // On the shelf nothing is opened that is held.
    let shelved = world.shelved(STUD, n(10), 60);
    world.hold(Held::Lot(shelved));
    let on_shelf = Input {
        lot: shelved,
        place: SHELF,
        qty: n(5),
        line: None,
    };
    refused(world.open(&[on_shelf], &[output(5)]), "is on hold");
}
