//! Claims: part 4 of the law of stock, as small histories, boundary cases first.

use super::world::{
    BLUE, NUT, ORDER, Outcome, RED, SEALANT, TURBO, Trouble, World, at, day, head, line, refused, today,
};
use bincard::domain::measure::Qty;
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::ids::{JobId, LotId, PartId};
use bincard::domain::stores::law::{Kind, Movement};
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::posting::{Field, Source};
use bincard::domain::stores::stock::Method;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::making::{Input, Output, open};

fn world() -> World {
    World::new(Method::Actual)
}

fn change() -> Head {
    Head::new(DocKind::Change, today(), "HP")
}

fn pick(job: JobId, lot: LotId, part: PartId, qty: i64) -> Move {
    let kit = at(Kind::Kit, job.0);
    Move::new(Movement::Pick, lot, at(Kind::Shelf, 1), kit, Qty::whole(qty)).onto(line(job, part))
}

fn picks(world: &World, job: JobId, lot: LotId, part: PartId, qty: i64) -> Outcome {
    world.moves(head(Movement::Pick), &[pick(job, lot, part, qty)])
}

fn dated(world: &World, expiry: &str) -> LotId {
    let new = NewLot {
        expiry: Some(day(expiry)),
        ..NewLot::default()
    };
    world.born(
        Movement::BringForward,
        NUT,
        at(Kind::Shelf, 1),
        Qty::whole(20),
        20,
        new,
    )
}

/// 4.1: the last day itself is usable; judged on the latest of clock, document day and day of use (1 December).
#[test]
fn a_claim_needs_goods_that_last_until_the_day_of_use() {
    for (expiry, good) in [("2026-11-30", false), ("2026-12-01", true), ("2026-12-02", true)] {
        let world = world();
        let lot = dated(&world, expiry);
        let outcome = world.reserve(RED, lot, NUT, 1);
        assert_eq!(outcome.is_ok(), good, "{expiry}: {outcome:?}");
        assert_eq!(
            refused(world.reserve(BLUE, lot, NUT, 1)),
            "Dead",
            "{expiry}: blue is fitted on 15 December"
        );
        world.check();
    }
}

/// 4.1: no more than may be picked, no more than the line may take, only while it is short.
#[test]
fn a_claim_stays_within_lot_and_line() {
    let world = world();
    let lot = world.on_shelf(NUT, 8, 8);
    assert_eq!(refused(world.reserve(RED, lot, NUT, 9)), "Reserved");
    assert_eq!(refused(world.reserve(RED, lot, NUT, 0)), "Nothing");
    assert_eq!(refused(world.reserve(RED, lot, SEALANT, 1)), "WrongPart");
    world.reserve(RED, lot, NUT, 8).unwrap();
    assert_eq!(refused(world.reserve(BLUE, lot, NUT, 1)), "Reserved");
    let more = world.on_shelf(NUT, 8, 8);
    assert_eq!(refused(world.reserve(RED, more, NUT, 3)), "OverLine");
    world.reserve(RED, more, NUT, 2).unwrap();
    assert_eq!(refused(world.reserve(RED, more, NUT, 1)), "NotShort");
    world.check();
}

/// 4.1: owner and condition must suit the line, on reserving and again on picking.
#[test]
fn strangers_and_used_goods_are_refused() {
    let world = world();
    let (red, shelf) = (at(Kind::Customer, 1), at(Kind::Shelf, 1));
    let new = NewLot {
        owner: Some(red),
        ..NewLot::default()
    };
    let lot = world.born(
        Movement::BookIn,
        NUT,
        at(Kind::Receiving, 1),
        Qty::whole(5),
        0,
        new,
    );
    let accept = Move::new(
        Movement::Accept,
        lot,
        at(Kind::Receiving, 1),
        shelf,
        Qty::whole(5),
    );
    world.moves(head(Movement::Accept), &[accept]).unwrap();
    assert_eq!(refused(world.reserve(BLUE, lot, NUT, 1)), "WrongOwner");
    assert_eq!(refused(picks(&world, BLUE, lot, NUT, 1)), "WrongOwner");
    world.reserve(RED, lot, NUT, 1).unwrap();
    let used = NewLot {
        condition: "overhauled".to_owned(),
        ..NewLot::default()
    };
    let used = world.born(Movement::BringForward, NUT, shelf, Qty::whole(5), 5, used);
    assert_eq!(refused(world.reserve(RED, used, NUT, 1)), "WrongCondition");
    assert_eq!(refused(picks(&world, RED, used, NUT, 1)), "WrongCondition");
    let allows = Some(",new,overhauled,".to_owned());
    world
        .draw_up(change(), &[], &[RED], |draft| {
            draft.set_field(Field::LineAllows, line(RED, NUT).0, allows)
        })
        .unwrap();
    world.reserve(RED, used, NUT, 1).unwrap();
    world.check();
}

/// 4.2: unopened sealant in whole tubes of 50 ml; a line of 12 ml takes 8 ml opened and one tube, two tubes never.
#[test]
fn tubes_are_claimed_whole_and_never_two_too_many() {
    let world = world();
    let tubes = world.on_shelf(SEALANT, 150, 30);
    assert_eq!(refused(world.reserve(RED, tubes, SEALANT, 12)), "HandOut");
    assert_eq!(refused(world.reserve(RED, tubes, SEALANT, 100)), "OverLine");
    assert_eq!(refused(picks(&world, RED, tubes, SEALANT, 12)), "HandOut");
    let opened = NewLot {
        opened: Some(today()),
        ..NewLot::default()
    };
    let rest = world.born(
        Movement::BringForward,
        SEALANT,
        at(Kind::Shelf, 1),
        Qty::whole(8),
        2,
        opened,
    );
    world.reserve(RED, rest, SEALANT, 8).unwrap();
    world.reserve(RED, tubes, SEALANT, 50).unwrap();
    assert_eq!(refused(world.reserve(RED, tubes, SEALANT, 50)), "NotShort");
    world.check();
}

/// 4.1: a serial is claimed whole.
#[test]
fn a_serial_is_claimed_whole() {
    let world = world();
    let new = NewLot {
        size: Some(Qty::whole(2)),
        ..NewLot::default()
    };
    let set = world.born(
        Movement::BringForward,
        TURBO,
        at(Kind::Shelf, 1),
        Qty::whole(2),
        9,
        new,
    );
    assert_eq!(refused(world.reserve(RED, set, TURBO, 1)), "Whole");
    assert_eq!(refused(world.reserve(RED, set, TURBO, 2)), "OverLine");
    let half = Move::new(
        Movement::Scrap,
        set,
        at(Kind::Shelf, 1),
        at(Kind::Scrap, 1),
        Qty::whole(1),
    );
    assert_eq!(refused(world.moves(head(Movement::Scrap), &[half])), "Whole");
    world.check();
}

/// 4.3, 4.4: what has happened strips, the latest day of use first; what is chosen is refused and names the job.
#[test]
fn what_happened_strips_and_what_is_chosen_is_refused() {
    let world = world();
    let lot = world.on_shelf(NUT, 10, 10);
    world.reserve(RED, lot, NUT, 5).unwrap();
    world.reserve(BLUE, lot, NUT, 5).unwrap();
    let go = |movement, to, qty| Move::new(movement, lot, at(Kind::Shelf, 1), at(to, 1), Qty::whole(qty));
    for (movement, to) in [
        (Movement::SendOut, Kind::Away),
        (Movement::SendBack, Kind::Supplier),
        (Movement::Dispatch, Kind::Customer),
    ] {
        let paper = Head {
            due: Some(today()),
            ..head(movement)
        };
        assert_eq!(
            refused(world.moves(paper, &[go(movement, to, 1)])),
            "Reserved",
            "{movement}"
        );
    }
    match picks(&world, RED, lot, NUT, 6) {
        Err(Trouble::Refused(refusal)) => {
            let told = refusal.to_string();
            assert!(told.contains("blue") && !told.contains("red"), "{told}");
        }
        other => panic!("{other:?}"),
    }
    let source = Source::Lot(lot);
    for (movement, to, red, blue) in [
        (Movement::Quarantine, Kind::Quarantine, 5, 3),
        (Movement::Loss, Kind::Counted, 5, 1),
        (Movement::Scrap, Kind::Scrap, 4, 0),
    ] {
        world.moves(head(movement), &[go(movement, to, 2)]).unwrap();
        assert_eq!(world.claimed(RED, NUT, source), red, "red after {movement}");
        assert_eq!(world.claimed(BLUE, NUT, source), blue, "blue after {movement}");
        world.check();
    }
}

/// 4.4: a line that needs less gives up pegs first, then the lot that expires last.
#[test]
fn a_line_sheds_pegs_before_lots_and_the_freshest_lot_first() {
    let world = world();
    let (soon, late) = (dated(&world, "2027-01-31"), dated(&world, "2027-06-30"));
    world.reserve(RED, soon, NUT, 4).unwrap();
    world.reserve(RED, late, NUT, 3).unwrap();
    world.peg(RED, 3).unwrap();
    for (need, pegged, fresh, older) in [(8, 1, 3, 4), (6, 0, 2, 4), (3, 0, 0, 3), (0, 0, 0, 0)] {
        let lower = |draft: &mut bincard::domain::stores::verbs::draft::Draft| {
            draft.set_need(line(RED, NUT), Qty::whole(need))
        };
        world.draw_up(change(), &[soon, late], &[RED], lower).unwrap();
        let stands = [Source::Order(ORDER), Source::Lot(late), Source::Lot(soon)];
        let stands = stands.map(|source| world.claimed(RED, NUT, source));
        assert_eq!(stands, [pegged, fresh, older], "need {need}");
        world.check();
    }
}

/// 4.5: pegs turn into claims at the first acceptance, in order of day of use, as far as the lot goes and fits.
#[test]
fn pegs_arrive_in_order_of_day_of_use() {
    for (expiry, red, blue) in [
        (None, 4, 2),
        (Some("2026-12-14"), 4, 0),
        (Some("2026-11-30"), 0, 0),
    ] {
        let world = world();
        world.peg(BLUE, 5).unwrap();
        world.peg(RED, 4).unwrap();
        let new = NewLot {
            order_line: Some(ORDER),
            expiry: expiry.map(day),
            ..NewLot::default()
        };
        let receiving = at(Kind::Receiving, 1);
        let lot = world.born(Movement::BookIn, NUT, receiving, Qty::whole(6), 6, new);
        let accept = Move::new(
            Movement::Accept,
            lot,
            receiving,
            at(Kind::Shelf, 1),
            Qty::whole(6),
        );
        world.moves(head(Movement::Accept), &[accept]).unwrap();
        let arrived = [RED, BLUE].map(|job| world.claimed(job, NUT, Source::Lot(lot)));
        assert_eq!(arrived, [red, blue], "{expiry:?}");
        let coming = [RED, BLUE].map(|job| world.claimed(job, NUT, Source::Order(ORDER)));
        assert_eq!(coming, [4 - red, 5 - blue], "{expiry:?}");
        world.check();
    }
}

/// 4.6: opening takes what is free first; a claim follows if the opened pack lasts until the day of use.
#[test]
fn claims_follow_into_an_opened_pack_that_lasts() {
    for (expiry, follows) in [("2026-11-30", 0), ("2026-12-01", 50)] {
        let world = world();
        let lot = world.on_shelf(SEALANT, 100, 10);
        world.reserve(RED, lot, SEALANT, 50).unwrap();
        let opening = |world: &World| {
            let input = Input {
                lot,
                place: at(Kind::Shelf, 1),
                qty: Qty::whole(50),
                line: None,
            };
            let new = NewLot {
                opened: Some(today()),
                expiry: Some(day(expiry)),
                ..NewLot::default()
            };
            let output = Output {
                part: SEALANT,
                qty: Qty::whole(50),
                lot: new,
            };
            let making = at(Kind::Making, 1);
            let facts_of = |facts: &mut bincard::db::load::Gather<'_, '_>| {
                facts.lot(lot)?;
                facts.place(making)
            };
            world
                .run(facts_of, |stock| {
                    open(stock, head(Movement::Open), making, input, &[output])
                })
                .unwrap();
            world.newest_lot()
        };
        let first = opening(&world);
        assert_eq!(
            world.claimed(RED, SEALANT, Source::Lot(lot)),
            50,
            "the free tube goes first"
        );
        assert_eq!(world.claimed(RED, SEALANT, Source::Lot(first)), 0);
        let second = opening(&world);
        assert_eq!(world.claimed(RED, SEALANT, Source::Lot(lot)), 0);
        assert_eq!(
            world.claimed(RED, SEALANT, Source::Lot(second)),
            follows,
            "{expiry}"
        );
        world.check();
    }
}

/// 4.7: passing time writes nothing; the claim stays, but the pick is refused.
#[test]
fn a_claim_on_dead_goods_stays_and_cannot_be_picked() {
    let world = world();
    let lot = dated(&world, "2026-12-01");
    world.reserve(RED, lot, NUT, 5).unwrap();
    world.today.set(day("2026-12-02"));
    world.day.set(day("2026-12-02"));
    assert_eq!(world.claimed(RED, NUT, Source::Lot(lot)), 5);
    assert_eq!(refused(picks(&world, RED, lot, NUT, 5)), "Dead");
    world.check();
}

/// 4.8: picking what the list says leaves it valid; a claim, a need or another lot voids it; it never falls.
#[test]
fn a_list_holds_until_something_else_changes() {
    let world = world();
    let (lot, other) = (world.on_shelf(NUT, 10, 10), world.on_shelf(NUT, 10, 10));
    assert_eq!(world.list(RED), 1);
    world.reserve(RED, lot, NUT, 10).unwrap();
    assert_eq!(world.list(RED), 2);
    let on = |list: i64, lot: LotId, qty: i64| {
        let paper = Head {
            list: Some(list),
            job: Some(RED),
            ..head(Movement::Pick)
        };
        world.moves(paper, &[pick(RED, lot, NUT, qty)])
    };
    assert_eq!(refused(on(1, lot, 4)), "OldList");
    on(2, lot, 4).unwrap();
    on(2, lot, 4).unwrap();
    assert_eq!(world.list(RED), 2);
    on(2, other, 1).unwrap();
    assert_eq!(world.list(RED), 3, "the listed claim was shed");
    assert_eq!(refused(on(2, lot, 1)), "OldList");
    world.undo(world.newest_document()).unwrap();
    assert_eq!(
        world.list(RED),
        4,
        "an undo that gives a claim back does not let it fall"
    );
    world.check();
}

/// 4.9: nothing is issued while a line whose choice was dropped has parts in the kit.
#[test]
fn a_dropped_choice_bars_the_issue() {
    let world = world();
    let (nuts, wire) = (
        world.on_shelf(NUT, 10, 10),
        world.on_shelf(super::world::WIRE, 5, 5),
    );
    picks(&world, RED, nuts, NUT, 10).unwrap();
    picks(&world, RED, wire, super::world::WIRE, 2).unwrap();
    world
        .draw_up(change(), &[], &[RED], |draft| draft.drop_line(line(RED, NUT)))
        .unwrap();
    let (kit, wires) = (at(Kind::Kit, 1), line(RED, super::world::WIRE));
    let issue = Move::new(Movement::Issue, wire, kit, at(Kind::Engine, 1), Qty::whole(1));
    let issue = || world.moves(head(Movement::Issue), &[issue.off(wires).onto(wires)]);
    assert_eq!(refused(issue()), "DroppedChoice");
    let back = Move::new(Movement::PutBack, nuts, kit, at(Kind::Shelf, 1), Qty::whole(10));
    world
        .moves(head(Movement::PutBack), &[back.off(line(RED, NUT))])
        .unwrap();
    issue().unwrap();
    world.check();
}
