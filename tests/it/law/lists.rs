//! Claims that arrive, follow and go stale, lists and dropped choices: part 4 of the law, rules 5 to 10.

use super::acts::refused;
use super::world::*;
use bincard::domain::kitting::alter::Alter;
use bincard::domain::kitting::pick::{Confirmation, pick_as_listed};
use bincard::domain::measure::Qty;
use bincard::domain::stores::document::DocKind;
use bincard::domain::stores::ids::{JobId, LotId};
use bincard::domain::stores::law::{Kind, Movement};
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::stock::Method;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::making::{Input, Output};

const ONE: i64 = 1_000_000;

fn world() -> World {
    World::new(Method::Actual)
}

fn expiring(after: i64) -> NewLot {
    NewLot {
        expiry: Some(day(after)),
        ..NewLot::default()
    }
}

/// 4.5: at the first acceptance pegs arrive in order of day of use, as far as the lot is free, fits and is usable.
#[test]
fn pegs_arrive_in_order_of_day_of_use() {
    let mut world = world();
    let studs = order_line(1, STUD);
    for job in [AMBER, GREEN, BLUE] {
        world.peg(line(job, STUD), studs, n(10)).unwrap();
    }
    // Usable up to day 20, so not for amber.
    let from_order = NewLot {
        order_line: Some(studs),
        ..expiring(20)
    };
    let lot = world.book_in(STUD, n(25), 150, from_order);
    assert_eq!(world.order(studs), [25 * ONE, 0, 30 * ONE]);
    world.accept(lot, n(14)).unwrap();
    let claimed = |world: &World| [BLUE, GREEN, AMBER].map(|job| world.claimed(line(job, STUD), lot) / ONE);
    assert_eq!(claimed(&world), [10, 4, 0]);
    world.accept(lot, n(11)).unwrap();
    assert_eq!(
        (claimed(&world), world.order(studs)),
        ([10, 10, 0], [25 * ONE, 25 * ONE, 10 * ONE])
    );
    world.sound();
    // Accepted again after a day in the cage: only the first acceptance counts.
    world
        .go(Move::new(Movement::Quarantine, lot, SHELF, CAGE, n(5)))
        .unwrap();
    world
        .go(Move::new(Movement::Accept, lot, CAGE, SHELF, n(5)))
        .unwrap();
    assert_eq!(world.order(studs), [25 * ONE, 25 * ONE, 10 * ONE]);
    world.sound();
}

/// 4.5: the peg bound is ordered − closed − accepted: what comes in over it leaves nothing to promise.
#[test]
fn pegs_beyond_what_is_still_to_come_are_shed() {
    let mut world = world();
    let studs = order_line(1, STUD);
    world.peg(line(AMBER, STUD), studs, n(10)).unwrap();
    let lot = world.book_in(
        STUD,
        n(141),
        150,
        NewLot {
            order_line: Some(studs),
            ..expiring(20)
        },
    );
    world.accept(lot, n(140)).unwrap();
    assert_eq!(world.order(studs)[2], 10 * ONE);
    world.accept(lot, n(1)).unwrap();
    assert_eq!(world.order(studs), [141 * ONE, 141 * ONE, 9 * ONE]);
    world.sound();
}

/// 4.6: opening takes free quantity first; claims the pack carried move to the child if it is usable on the day of
/// use, otherwise they are shed.
#[test]
fn claims_follow_an_opened_pack() {
    // Tubes on the shelf, days the opened one lasts; what blue (day 10) and green (day 20) then have on tubes and child.
    let table = [
        (150, 30, [50, 50], [0, 0]),
        (100, 30, [50, 0], [0, 50]),
        (100, 20, [50, 0], [0, 50]),
        (100, 19, [50, 0], [0, 0]),
    ];
    for (qty, lasts, tubes_left, on_child) in table {
        let mut world = world();
        let tubes = world.shelved(SEALANT, n(qty), 30);
        for job in [BLUE, GREEN] {
            world.reserve(line(job, SEALANT), tubes, n(50)).unwrap();
        }
        let input = Input {
            lot: tubes,
            place: SHELF,
            qty: n(50),
            line: None,
        };
        let opened = |qty| Output {
            part: SEALANT,
            qty,
            lot: NewLot {
                opened: Some(day(0)),
                ..expiring(lasts)
            },
        };
        let document = world.open(&[input], &[opened(n(30)), opened(n(20))]).unwrap();
        let children = world.rows(&format!("SELECT id FROM lot WHERE document = {document}"));
        let on = |job, world: &World| -> i64 {
            children
                .iter()
                .map(|row| world.claimed(line(job, SEALANT), LotId(row.int(0).unwrap())) / ONE)
                .sum()
        };
        assert_eq!(
            [BLUE, GREEN].map(|job| world.claimed(line(job, SEALANT), tubes) / ONE),
            tubes_left,
            "{qty} {lasts}"
        );
        assert_eq!(
            [BLUE, GREEN].map(|job| on(job, &world)),
            on_child,
            "{qty} {lasts}"
        );
        world.sound();
    }
}

/// 4.6 with I27: a claim that is stale does not follow onto a child that is dead today.
#[test]
fn a_stale_claim_does_not_follow() {
    let mut world = world();
    let tubes = world.shelved_as(SEALANT, n(50), 30, expiring(15));
    world.reserve(line(BLUE, SEALANT), tubes, n(50)).unwrap();
    world.on(16);
    let input = Input {
        lot: tubes,
        place: SHELF,
        qty: n(50),
        line: None,
    };
    let opened = NewLot {
        opened: Some(day(16)),
        ..NewLot::default()
    };
    world
        .open(
            &[input],
            &[Output {
                part: SEALANT,
                qty: n(50),
                lot: opened,
            }],
        )
        .unwrap();
    assert_eq!(world.line(line(BLUE, SEALANT)), [0; 4]);
    world.sound();
}

/// 4.7: passing time writes nothing; pick refuses the stale claim, reserving replaces it.
#[test]
fn a_claim_on_a_lot_that_died_is_stale() {
    let mut world = world();
    let lot = world.shelved_as(STUD, n(10), 60, expiring(15));
    let fresh = world.shelved(STUD, n(10), 60);
    let blue = line(BLUE, STUD);
    world.reserve(blue, lot, n(10)).unwrap();
    world.on(15).pick(blue, lot, n(1)).unwrap();
    world.on(16);
    assert_eq!(world.claimed(blue, lot), 9 * ONE);
    refused(world.pick(blue, lot, n(1)), "is dead on 2026-03-18");
    world.reserve_job(BLUE);
    assert_eq!(
        (world.claimed(blue, lot), world.claimed(blue, fresh)),
        (0, 9 * ONE)
    );
    world.sound();
}

/// 4.8: what raises the number of the list, and what does not.
#[test]
fn the_number_of_the_list_rises_with_what_voids_it() {
    let mut world = world();
    let (lot, other) = (world.shelved(STUD, n(20), 120), world.shelved(STUD, n(20), 120));
    let blue = line(BLUE, STUD);
    assert_eq!([BLUE, GREEN].map(|job| world.list(job)), [1, 1]);
    let mut last = 1;
    let mut rose = |world: &World, by: i64, what: &str| {
        last += by;
        assert_eq!((world.list(BLUE), world.list(GREEN)), (last, 1), "{what}");
    };
    let reserved = world.reserve(blue, lot, n(8)).unwrap();
    rose(&world, 1, "reserved");
    world.pick_by(2, blue, lot, n(3)).unwrap();
    rose(&world, 0, "picked what the list says");
    world.pick(blue, lot, n(1)).unwrap();
    rose(&world, 0, "the same at the hatch");
    world.pick(blue, other, n(4)).unwrap();
    rose(&world, 1, "another lot picked, the listed claim shed");
    let back = world.put_back(blue, other, n(4)).unwrap();
    rose(&world, 0, "put back, the claim is not remade");
    world.undo(back).unwrap();
    rose(&world, 0, "that undone");
    for (what, change) in [
        ("need", Alter::Need(blue, n(12))),
        ("allowed conditions", Alter::Allows(blue, ",new,used,".into())),
        ("day of use", Alter::UseDay(day(11))),
        ("dropped", Alter::Drop(blue)),
        ("taken back", Alter::TakeBack(blue, n(10))),
    ] {
        world.alter(BLUE, &[change]).unwrap();
        rose(&world, 1, what);
    }
    assert!(
        world.undo(reserved).is_ok(),
        "what was reserved is gone, and the paper with it"
    );
    rose(&world, 0, "an undo that finds nothing left to take back");
    let again = world.reserve(blue, lot, n(2)).unwrap();
    rose(&world, 1, "reserved");
    world.undo(again).unwrap();
    rose(&world, 1, "an undo never lowers it");
    world.sound();
}

/// 4.8 and part 10: a list may be confirmed in two goes, and a second confirmation takes nothing; after a change the old
/// paper is refused.
#[test]
fn a_list_is_confirmed_in_two_goes() {
    let mut world = world();
    let (studs, wire) = (world.shelved(STUD, n(20), 120), world.shelved(WIRE, n(10), 20));
    world.reserve(line(BLUE, STUD), studs, n(10)).unwrap();
    world
        .reserve(line(BLUE, WIRE), wire, Qty::from_millionths(2_500_000))
        .unwrap();
    let list = world.list(BLUE);
    world.pick_by(list, line(BLUE, STUD), studs, n(4)).unwrap();
    assert!(world.as_listed(BLUE, list).unwrap(), "the second half");
    assert_eq!(
        (world.line(line(BLUE, STUD))[2], world.line(line(BLUE, WIRE))[2]),
        (10 * ONE, 2_500_000)
    );
    assert!(!world.as_listed(BLUE, list).unwrap(), "nothing is left");
    world
        .alter(BLUE, &[Alter::Need(line(BLUE, STUD), n(11))])
        .unwrap();
    refused(
        world.pick_by(list, line(BLUE, STUD), studs, n(1)),
        "no longer holds, list 4 does",
    );
    refused(world.as_listed(BLUE, list), "no longer holds");
    refused(
        world.pick_by(list + 2, line(BLUE, STUD), studs, n(1)),
        "no longer holds",
    );
    world.pick_by(list + 1, line(BLUE, STUD), studs, n(1)).unwrap();
    // A paper is of one job: green's number means nothing on blue's line.
    let mut head = world.head(DocKind::Movement(Movement::Pick));
    (head.list, head.job) = (Some(list + 1), Some(GREEN));
    world
        .alter(BLUE, &[Alter::Need(line(BLUE, STUD), n(12))])
        .unwrap();
    head.list = Some(world.list(BLUE));
    let asked = Move::new(Movement::Pick, studs, SHELF, kit(BLUE), n(1)).onto(line(BLUE, STUD));
    refused(world.moves(head, &[asked]), "no longer holds");
    world.sound();
}

/// 4.9 and part 10: issue is barred while a dropped line has parts in kit or on the engine, whichever line is issued.
#[test]
fn issue_is_barred_beside_a_dropped_choice() {
    let mut world = world();
    let (studs, nuts) = (world.shelved(STUD, n(20), 120), world.shelved(NUT, n(20), 20));
    let (stud_line, nut_line) = (line(BLUE, STUD), line(BLUE, NUT));
    world.pick(stud_line, studs, n(10)).unwrap();
    world.pick(nut_line, nuts, n(8)).unwrap();
    world.issue(nut_line, nuts, n(1)).unwrap();
    world.alter(BLUE, &[Alter::Drop(nut_line)]).unwrap();
    refused(world.issue(stud_line, studs, n(1)), "choice that was taken away");
    world.put_back(nut_line, nuts, n(7)).unwrap();
    refused(world.issue(stud_line, studs, n(1)), "still has NUT");
    world.give_back(nut_line, nuts, n(1)).unwrap();
    world.issue(stud_line, studs, n(1)).unwrap();
    world.sound();
    // Taken back, it bars nothing either.
    world.alter(BLUE, &[Alter::TakeBack(nut_line, n(8))]).unwrap();
    world.pick(nut_line, nuts, n(8)).unwrap();
    world.issue(stud_line, studs, n(1)).unwrap();
    world.sound();
}

/// 4.9: the need of a dropped line stays nothing.
#[test]
fn a_dropped_line_needs_nothing() {
    let mut world = world();
    let blue = line(BLUE, STUD);
    world.alter(BLUE, &[Alter::Drop(blue)]).unwrap();
    refused(
        world.alter(BLUE, &[Alter::Need(blue, n(1))]),
        "choice that was taken away",
    );
    world.sound();
}

/// 4.10: a document writes each lot's position once, net: what is claimed and shed in one go stands as its sum.
#[test]
fn a_position_is_written_net() {
    let mut world = world();
    let lot = world.shelved(STUD, n(10), 60);
    world.reserve(line(BLUE, STUD), lot, n(10)).unwrap();
    let head = world.head(DocKind::Movement(Movement::Move));
    // There and back, and a pick in between: pickable falls only by the pick.
    let moves = [
        Move::new(Movement::Move, lot, SHELF, SHELF_2, n(10)),
        Move::new(Movement::Pick, lot, SHELF_2, kit(BLUE), n(4)).onto(line(BLUE, STUD)),
        Move::new(Movement::Move, lot, SHELF_2, BENCH, n(6)),
    ];
    world.moves(head, &moves).unwrap();
    assert_eq!(world.position(lot), (6 * ONE, 6 * ONE, 0));
    assert_eq!(world.at(lot, place(Kind::Bench, 1)), (6 * ONE, 36 * ONE));
    world.sound();
}

impl World {
    /// Reserves for a job as the clerk does, and insists that there was something to reserve.
    #[track_caller]
    fn reserve_job(&mut self, job: JobId) {
        let head = self.head(DocKind::Reserve);
        let gather = |facts: &mut bincard::db::load::Gather<'_, '_>| {
            bincard::db::kitting::jobs::gather_jobs(facts, &[job])
        };
        self.act(gather, |stock| {
            Ok(bincard::domain::kitting::reserve::reserve(stock, head, &[job])?
                .posting
                .expect("something is reserved"))
        })
        .unwrap();
    }

    /// Confirms a list as it was printed; whether there was anything left on it.
    fn as_listed(&mut self, job: JobId, list: i64) -> Result<bool, super::acts::Fault> {
        let head = self.head(DocKind::Movement(Movement::Pick));
        let stamp = self.stamp();
        let (day, today, person) = (self.day, self.today, self.person());
        self.books.write(|books| {
            let mut facts = bincard::db::load::Gather::begin(books, day, today, person)?;
            bincard::db::kitting::jobs::gather_jobs(&mut facts, &[job])?;
            let stock = facts.done();
            let picked = bincard::db::kitting::picked::picked_from_list(books, stock.job(job)?)?;
            let paper = Confirmation {
                list,
                picked: &picked,
                answers: None,
            };
            let Some(posting) = pick_as_listed(&stock, head, job, paper)? else {
                return Ok(false);
            };
            bincard::db::post::post(books, &posting, &stamp)?;
            Ok(true)
        })
    }
}
