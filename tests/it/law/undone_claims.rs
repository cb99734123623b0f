//! What an undo does with claims: part 5 of the law, rule 4.

use super::world::*;
use bincard::domain::kitting::alter::Alter;
use bincard::domain::stores::ids::{DocId, LotId};
use bincard::domain::stores::law::Movement;
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::stock::Method;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::making::{Input, Output};

const ONE: i64 = 1_000_000;

fn world() -> World {
    World::new(Method::Actual)
}

/// A shelf lot's move out of the first shelf.
fn out(
    world: &mut World,
    movement: Movement,
    lot: LotId,
    to: bincard::domain::stores::ids::PlaceId,
    qty: i64,
) -> DocId {
    world.go(Move::new(movement, lot, SHELF, to, n(qty))).unwrap()
}

/// 5.4: ended claims come back as far as the lot bears them: what others reserved meanwhile is theirs.
#[test]
fn claims_come_back_as_far_as_the_lot_bears_them() {
    for (green, back) in [(0, 10), (1, 9), (4, 6), (10, 0)] {
        let mut world = world();
        let lot = world.shelved(STUD, n(10), 60);
        world.reserve(line(BLUE, STUD), lot, n(10)).unwrap();
        let dropped = world.alter(BLUE, &[Alter::Drop(line(BLUE, STUD))]).unwrap();
        if green > 0 {
            world.reserve(line(GREEN, STUD), lot, n(green)).unwrap();
        }
        world.undo(dropped).unwrap();
        assert_eq!(
            world.claimed(line(BLUE, STUD), lot),
            back * ONE,
            "green has {green}"
        );
        assert_eq!(world.claimed(line(GREEN, STUD), lot), green * ONE);
        world.sound();
    }
}

/// 5.4: as far as the line bears them: `most`, whole units, owner and condition.
#[test]
fn claims_come_back_as_far_as_the_line_bears_them() {
    for (need, back) in [(10, 10), (7, 7), (0, 0)] {
        let mut world = world();
        let lot = world.shelved(STUD, n(10), 60);
        world.reserve(line(BLUE, STUD), lot, n(10)).unwrap();
        let lost = out(&mut world, Movement::Loss, lot, COUNTED, 10);
        if need < 10 {
            world
                .alter(BLUE, &[Alter::Need(line(BLUE, STUD), n(need))])
                .unwrap();
        }
        world.undo(lost).unwrap();
        assert_eq!(world.claimed(line(BLUE, STUD), lot), back * ONE, "need {need}");
        world.sound();
    }
    // A tube comes back whole or not at all: 8 ml of an opened one stand already, 12 are needed, or 61.999999 taken.
    for (opened_first, back) in [(8, 50), (12, 0)] {
        let mut world = world();
        let tubes = world.shelved(SEALANT, n(100), 30);
        let blue = line(BLUE, SEALANT);
        world.reserve(blue, tubes, n(50)).unwrap();
        let lost = out(&mut world, Movement::Loss, tubes, COUNTED, 60);
        assert_eq!(world.claimed(blue, tubes), 0);
        let other = world.shelved(SEALANT, n(50), 15);
        let opened = world.open_tube(other);
        world.reserve(blue, opened, n(opened_first)).unwrap();
        world.undo(lost).unwrap();
        assert_eq!(world.claimed(blue, tubes), back * ONE, "{opened_first} ml opened");
        world.sound();
    }
    let mut world = world();
    let lot = world.shelved(STUD, n(10), 60);
    world.reserve(line(BLUE, STUD), lot, n(10)).unwrap();
    let lost = out(&mut world, Movement::Loss, lot, COUNTED, 10);
    world
        .alter(BLUE, &[Alter::Allows(line(BLUE, STUD), ",used,".into())])
        .unwrap();
    world.undo(lost).unwrap();
    assert_eq!(world.claimed(line(BLUE, STUD), lot), 0);
    world.sound();
}

/// 5.4: what was reserved meanwhile stands; a claim comes back only beside it, though the other lot expires first.
#[test]
fn what_was_reserved_meanwhile_stands() {
    for (meanwhile, back) in [(10, 0), (7, 3)] {
        let mut world = world();
        let blue = line(BLUE, STUD);
        let soon = world.shelved_as(
            STUD,
            n(10),
            60,
            NewLot {
                expiry: Some(day(40)),
                ..NewLot::default()
            },
        );
        let never = world.shelved(STUD, n(10), 60);
        world.reserve(blue, soon, n(10)).unwrap();
        let lost = out(&mut world, Movement::Loss, soon, COUNTED, 10);
        world.reserve(blue, never, n(meanwhile)).unwrap();
        world.undo(lost).unwrap();
        assert_eq!(
            [never, soon].map(|lot| world.claimed(blue, lot) / ONE),
            [meanwhile, back]
        );
        world.sound();
    }
}

/// A claim that went two ways in one document, part onto a child and part shed, comes back whole: net, not row by row.
#[test]
fn a_claim_that_went_two_ways_comes_back_whole() {
    let mut world = world();
    let tubes = world.shelved(SEALANT, n(50), 30);
    let blue = line(BLUE, SEALANT);
    world.reserve(blue, tubes, n(50)).unwrap();
    let input = Input {
        lot: tubes,
        place: SHELF,
        qty: n(50),
        line: None,
    };
    let child = |qty, condition: &str| {
        let lot = NewLot {
            opened: Some(day(0)),
            condition: condition.into(),
            ..NewLot::default()
        };
        Output {
            part: SEALANT,
            qty: n(qty),
            lot,
        }
    };
    world.undone_exactly(|w| {
        let done = w.open(&[input], &[child(30, "new"), child(20, "skinned over")]);
        assert_eq!(w.line(blue), [30 * ONE, 0, 0, 0]);
        done
    });
    assert_eq!(world.claimed(blue, tubes), 50 * ONE);
}

/// 5.4: judged on the day of use only, so a stale claim comes back stale; what would be dead on the day does not.
#[test]
fn a_stale_claim_comes_back_stale() {
    for (use_day, back) in [(10, 10), (15, 10), (16, 0)] {
        let mut world = world();
        let lot = world.shelved_as(
            STUD,
            n(10),
            60,
            NewLot {
                expiry: Some(day(15)),
                ..NewLot::default()
            },
        );
        world.reserve(line(BLUE, STUD), lot, n(10)).unwrap();
        let lost = world
            .on(20)
            .go(Move::new(Movement::Loss, lot, SHELF, COUNTED, n(10)))
            .unwrap();
        if use_day != 10 {
            world.alter(BLUE, &[Alter::UseDay(day(use_day))]).unwrap();
        }
        world.undo(lost).unwrap();
        assert_eq!(
            world.claimed(line(BLUE, STUD), lot),
            back * ONE,
            "fitted on day {use_day}"
        );
        world.sound();
    }
}

/// 5.4: claims that a document made go as far as they still stand.
#[test]
fn claims_it_made_go_as_far_as_they_stand() {
    let mut world = world();
    let lot = world.shelved(STUD, n(10), 60);
    let reserved = world.reserve(line(BLUE, STUD), lot, n(10)).unwrap();
    world.pick(line(BLUE, STUD), lot, n(4)).unwrap();
    world.undo(reserved).unwrap();
    assert_eq!(world.line(line(BLUE, STUD)), [0, 0, 4 * ONE, 0]);
    world.sound();
}
