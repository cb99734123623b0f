//! Undo: part 5 of the law of stock, as small histories.

use super::world::{BLUE, NUT, RED, Trouble, World, at, day, head, line, refused, today};
use bincard::domain::measure::Qty;
use bincard::domain::refusal::Refusal;
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::ids::{DocId, LotId};
use bincard::domain::stores::law::{Kind, Movement, Role};
use bincard::domain::stores::posting::{Field, Held, Source};
use bincard::domain::stores::stock::Method;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::holding::hold;
use bincard::domain::stores::verbs::restate::restate;

fn go(world: &World, movement: Movement, lot: LotId, from: Kind, to: Kind, qty: i64) -> DocId {
    let asked = Move::new(movement, lot, at(from, 1), at(to, 1), Qty::whole(qty));
    let red = line(RED, NUT);
    let counts = |kind: Kind| matches!(kind, Kind::Kit | Kind::Engine).then_some(red);
    let asked = Move {
        from_line: counts(from),
        to_line: counts(to),
        ..asked
    };
    world.moves(head(movement), &[asked]).unwrap()
}

/// An undo is undone by entering again; a document comes off once.
#[test]
fn a_document_is_undone_once_and_an_undo_never() {
    let world = World::new(Method::Actual);
    let lot = world.on_shelf(NUT, 10, 10);
    let loss = go(&world, Movement::Loss, lot, Kind::Shelf, Kind::Counted, 2);
    let undo = world.undo(loss).unwrap();
    assert_eq!(refused(world.undo(loss)), "NoSecondUndo");
    assert_eq!(refused(world.undo(undo)), "NoSecondUndo");
    world.check();
}

/// 5.1: refused when a sum would fall below zero; the refusal names the later documents, newest first.
#[test]
fn a_refused_undo_names_what_came_later() {
    let world = World::new(Method::Actual);
    let lot = world.on_shelf(NUT, 10, 10);
    let picked = go(&world, Movement::Pick, lot, Kind::Shelf, Kind::Kit, 5);
    go(&world, Movement::Issue, lot, Kind::Kit, Kind::Engine, 2);
    go(&world, Movement::Issue, lot, Kind::Kit, Kind::Engine, 1);
    match world.undo(picked) {
        Err(Trouble::Refused(Refusal::Later { later, .. })) => {
            let newest = |number: &String| number.starts_with("ISS");
            assert_eq!(later.len(), 2, "{later:?}");
            assert!(later.iter().all(newest) && later[0] > later[1], "{later:?}");
        }
        other => panic!("{other:?}"),
    }
    world.check();
}

/// 5.3: what was lost and found again does not come back a second time.
#[test]
fn a_loss_that_was_found_cannot_be_undone() {
    let world = World::new(Method::Actual);
    let lot = world.on_shelf(NUT, 10, 10);
    let loss = go(&world, Movement::Loss, lot, Kind::Shelf, Kind::Counted, 2);
    let gain = go(&world, Movement::Gain, lot, Kind::Counted, Kind::Shelf, 1);
    assert_eq!(refused(world.undo(loss)), "Later");
    world.undo(gain).unwrap();
    world.undo(loss).unwrap();
    world.check();
}

/// 5.4: a claim that was ended comes back as far as the day of use bears it, stale or not.
#[test]
fn a_stale_claim_comes_back_stale() {
    for (expiry, back) in [("2026-12-01", 5), ("2026-11-30", 0)] {
        let world = World::new(Method::Actual);
        let lot = world.on_shelf(NUT, 10, 10);
        world.reserve(RED, lot, NUT, 5).unwrap();
        let free = Head::new(DocKind::Free, today(), "HP");
        let freed = world
            .draw_up(free, &[lot], &[RED], |draft| {
                draft.free(line(RED, NUT), Source::Lot(lot), None).map(drop)
            })
            .unwrap();
        let change = Head::new(DocKind::Change, today(), "HP");
        world
            .draw_up(change, &[lot], &[], |draft| {
                draft.set_field(Field::LotExpiry, lot.0, Some(expiry.to_owned()))
            })
            .unwrap();
        world.today.set(day("2026-12-05"));
        world.undo(freed).unwrap();
        assert_eq!(world.claimed(RED, NUT, Source::Lot(lot)), back, "{expiry}");
    }
}

/// 5.4: what another line has reserved since does not come back.
#[test]
fn a_claim_comes_back_as_far_as_the_lot_bears_it() {
    let world = World::new(Method::Actual);
    let lot = world.on_shelf(NUT, 10, 10);
    world.reserve(RED, lot, NUT, 8).unwrap();
    let caged = go(
        &world,
        Movement::Quarantine,
        lot,
        Kind::Shelf,
        Kind::Quarantine,
        6,
    );
    assert_eq!(world.claimed(RED, NUT, Source::Lot(lot)), 4);
    let more = world.on_shelf(NUT, 10, 10);
    world.reserve(RED, more, NUT, 5).unwrap();
    world.undo(caged).unwrap();
    assert_eq!(world.claimed(RED, NUT, Source::Lot(lot)), 5, "the line takes ten");
    world.check();
}

/// 5.5: a hold younger than the document forbids, an older one does not.
#[test]
fn a_younger_hold_forbids_an_undo() {
    let world = World::new(Method::Actual);
    let lot = world.on_shelf(NUT, 10, 10);
    let older = go(&world, Movement::Move, lot, Kind::Shelf, Kind::Bench, 2);
    let held = Head::new(DocKind::Hold, today(), "HP");
    world
        .run(
            |facts| facts.lot(lot),
            |stock| hold(stock, held, Held::Lot(lot), "recall"),
        )
        .unwrap();
    let younger = go(
        &world,
        Movement::Quarantine,
        lot,
        Kind::Shelf,
        Kind::Quarantine,
        2,
    );
    assert_eq!(refused(world.undo(older)), "Later");
    world.undo(younger).unwrap();
    world.check();
}

/// Record changes are set back only if the field still holds what the document wrote.
#[test]
fn a_field_changed_since_is_not_set_back() {
    let world = World::new(Method::Actual);
    let set = |day: &str| {
        let change = Head::new(DocKind::Change, today(), "HP");
        let day = Some(day.to_owned());
        world
            .draw_up(change, &[], &[BLUE], |draft| {
                draft.set_field(Field::JobUseDay, BLUE.0, day)
            })
            .unwrap()
    };
    let (first, second) = (set("2027-01-10"), set("2027-01-20"));
    assert_eq!(refused(world.undo(first)), "Later");
    world.undo(second).unwrap();
    world.undo(first).unwrap();
    assert_eq!(world.rows("SELECT use_day FROM job WHERE id = 2"), ["2026-12-15"]);
    world.check();
}

/// 5.7: nothing with a layer comes off across a change of method, not even back to the first one.
#[test]
fn no_undo_crosses_a_change_of_method() {
    let world = World::new(Method::Actual);
    let lot = world.on_shelf(NUT, 10, 10);
    let picked = go(&world, Movement::Pick, lot, Kind::Shelf, Kind::Kit, 5);
    let issued = go(&world, Movement::Issue, lot, Kind::Kit, Kind::Engine, 2);
    for method in [Method::Fifo, Method::Actual] {
        let making = at(Kind::Making, 1);
        let gather = |facts: &mut bincard::db::load::Gather<'_, '_>| {
            facts.shelves()?;
            facts.place(making)
        };
        world
            .run(gather, |stock| {
                restate(stock, head(Movement::Restate), making, method)
            })
            .unwrap();
        world.check();
    }
    world.undo(issued).unwrap();
    assert_eq!(refused(world.undo(picked)), "Later");
    world.check();
}

/// Who may undo is who may do: out of quarantine it is the inspector who sends out.
#[test]
fn who_may_undo_is_who_may_do() {
    let world = World::new(Method::Actual);
    let lot = world.on_shelf(NUT, 10, 10);
    go(
        &world,
        Movement::Quarantine,
        lot,
        Kind::Shelf,
        Kind::Quarantine,
        2,
    );
    let paper = || Head {
        due: Some(today()),
        ..head(Movement::SendOut)
    };
    let out = Move::new(
        Movement::SendOut,
        lot,
        at(Kind::Quarantine, 1),
        at(Kind::Away, 1),
        Qty::whole(1),
    );
    world.roles.set(&[Role::Clerk]);
    assert_eq!(refused(world.moves(paper(), &[out])), "NotAuthorised");
    world.roles.set(&[Role::Inspector]);
    let sent = world.moves(paper(), &[out]).unwrap();
    world.roles.set(&[Role::Clerk]);
    assert_eq!(refused(world.undo(sent)), "NotAuthorised");
    world.roles.set(&[Role::Inspector]);
    world.undo(sent).unwrap();
    world.check();
}
