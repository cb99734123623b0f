//! Undo: part 5 of the law, rule by rule.

use super::acts::{Done, Fault, refused};
use super::world::*;
use bincard::domain::kitting::alter::Alter;
use bincard::domain::measure::Money;
use bincard::domain::refusal::Refusal;
use bincard::domain::stores::document::DocKind;
use bincard::domain::stores::ids::{DocId, LotId};
use bincard::domain::stores::law::{Kind, Movement};
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::posting::{Held, Posting, Source};
use bincard::domain::stores::stock::Method;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::making::{Input, Output};
use bincard::domain::stores::verbs::relabel;

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

/// Insists that an undo is refused because of something later, and gives the documents that it names.
#[track_caller]
fn later(done: Done, words: &str) -> (Vec<String>, Option<Movement>) {
    match done {
        Err(Fault::Refused(Refusal::Later {
            because,
            later,
            instead,
            ..
        })) if because.contains(words) => (later, instead),
        other => panic!("not refused with {words:?}: {other:?}"),
    }
}

/// The contrary posting itself: entries in reverse order, places and lines swapped, quantity, value and layer the same;
/// the document it undoes is named, and named once.
#[test]
fn an_undo_is_a_contrary_posting() {
    let mut world = World::new(Method::Fifo);
    world
        .alter(BLUE, &[Alter::Need(line(BLUE, STUD), n(15))])
        .unwrap();
    let first = world.shelved(STUD, n(10), 60);
    world.shelved(STUD, n(20), 240);
    let picked = {
        let head = world.head(DocKind::Movement(Movement::Pick));
        let pick = |qty| Move::new(Movement::Pick, first, SHELF, kit(BLUE), qty).onto(line(BLUE, STUD));
        world.moves(head, &[pick(n(6)), pick(n(4))]).unwrap()
    };
    let undone = world.undo(picked).unwrap();
    let entries = |document: DocId, columns: &str, order: &str| {
        let sql = format!(
            "SELECT {columns}, qty, value, layer FROM entry WHERE document = {document} ORDER BY id {order}"
        );
        world.rows(&sql)
    };
    let there = entries(picked, "lot, from_place, to_place, from_line, to_line", "DESC");
    assert_eq!(there.len(), 2);
    assert_eq!(
        there,
        entries(undone, "lot, to_place, from_place, to_line, from_line", "ASC")
    );
    assert_eq!(
        world.number(&format!("SELECT contra FROM document WHERE id = {undone}")),
        picked.0
    );
    refused(world.undo(picked), "UND-000008 has undone it already");
    refused(
        world.undo(undone),
        "it is itself an undo; enter again what it took back",
    );
    world.sound();
}

/// 5.1: refused when the law refuses it; the later documents on that lot and place are named, newest first, and the
/// verb that does it the ordinary way.
#[test]
fn an_older_document_stands_under_what_came_later() {
    let mut world = world();
    let lot = world.book_in(STUD, n(10), 60, NewLot::default());
    let booked = DocId(2);
    let accepted = world.accept(lot, n(10)).unwrap();
    let picked = world.pick(line(BLUE, STUD), lot, n(4)).unwrap();
    world.issue(line(BLUE, STUD), lot, n(1)).unwrap();
    let (named, ordinary) = later(world.undo(accepted), "no longer in SHELF 1");
    assert_eq!(
        (named, ordinary),
        (vec!["PCK-000004".to_owned()], Some(Movement::Quarantine))
    );
    let (named, ordinary) = later(world.undo(booked), "no longer in RECEIVING 1");
    assert_eq!(
        (named, ordinary),
        (vec!["ACC-000003".to_owned()], Some(Movement::SendBack))
    );
    let (named, ordinary) = later(world.undo(picked), "has less than that");
    assert_eq!(
        (named, ordinary),
        (vec!["ISS-000005".to_owned()], Some(Movement::PutBack))
    );
    // In the other order all of it goes.
    for document in [DocId(5), picked, accepted, booked] {
        world.undo(document).unwrap();
        world.sound();
    }
    assert_eq!(world.at(lot, RECEIVING), (0, 0));
}

/// 5.1: value without quantity: freight that came since would be left with nothing to lie on.
#[test]
fn no_undo_leaves_value_without_goods() {
    let mut world = world();
    let lot = world.book_in(STUD, n(10), 60, NewLot::default());
    world.late_cost(lot, Money::whole(5)).unwrap();
    later(world.undo(DocId(2)), "would keep value without goods");
    // A layer drawn on since cannot give back what others took.
    let mut world = World::new(Method::Average);
    let dear = world.shelved(STUD, n(10), 100);
    let cheap = world.shelved(STUD, n(10), 0);
    out(&mut world, Movement::Scrap, cheap, SCRAP, 10);
    later(world.undo(DocId(3)), "cost layer has since been drawn on");
    assert_eq!(world.at(dear, SHELF).0, 10 * ONE);
    world.sound();
}

/// 5.2: the newest document restores exactly, whatever it was (the ways of part 2 are gone in `ways`): claims, holds,
/// records, jobs, a making, a swap, a restatement, a closing.
#[test]
fn the_newest_document_restores_exactly() {
    let mut world = World::new(Method::Fifo);
    let (studs, more) = (world.shelved(STUD, n(20), 120), world.shelved(STUD, n(20), 200));
    let (blue, green) = (line(BLUE, STUD), line(GREEN, STUD));
    let serial = |number: &str| NewLot {
        serial: Some(number.into()),
        size: Some(n(1)),
        owner: Some(CUSTOMER),
        ..NewLot::default()
    };
    let blower = world.shelved_as(BLOWER, n(1), 0, serial("B-1"));
    world.undone_exactly(|w| w.reserve(blue, studs, n(10)));
    world.reserve(blue, studs, n(10)).unwrap();
    world.reserve(green, studs, n(10)).unwrap();
    world.reserve(line(BLUE, BLOWER), blower, n(1)).unwrap();
    world.peg(line(AMBER, STUD), order_line(1, STUD), n(10)).unwrap();
    world.undone_exactly(|w| w.free(blue, Source::Lot(studs)));
    world.undone_exactly(|w| w.free(line(AMBER, STUD), Source::Order(order_line(1, STUD))));
    world.undone_exactly(|w| w.pick(blue, studs, n(4)));
    world.undone_exactly(|w| w.pick(blue, more, n(6)));
    world.undone_exactly(|w| w.try_hold(Held::Lot(studs)));
    world.undone_exactly(|w| w.try_hold(Held::Place(SHELF)));
    let hold = world.hold(Held::Lot(more));
    world.undone_exactly(|w| w.lift(hold));
    for change in [
        Alter::Need(blue, n(3)),
        Alter::UseDay(day(3)),
        Alter::Allows(blue, ",used,".into()),
        Alter::Drop(blue),
    ] {
        world.undone_exactly(|w| w.alter(BLUE, &[change]));
    }
    world.undone_exactly(|w| w.cancel(BLUE));
    let head = world.head(DocKind::Change);
    world.undone_exactly(|w| w.act(|f| f.lot(blower), |s| relabel::condition(s, head, blower, "used")));
    let mut head = world.head(DocKind::Change);
    head.owner_word = Some("by letter".into());
    world.undone_exactly(|w| w.act(|f| f.lot(blower), |s| relabel::owner(s, head, blower, None)));
    let head = world.head(DocKind::Change);
    world.undone_exactly(|w| {
        w.act(
            |f| f.lot(studs),
            |s| relabel::expiry(s, head, studs, Some(day(9)), "by hand"),
        )
    });
    world.undone_exactly(|w| w.restate(Method::Average));
    world.undone_exactly(|w| w.late_cost(studs, Money::from_millionths(1)));
    let input = Input {
        lot: studs,
        place: SHELF,
        qty: n(15),
        line: None,
    };
    world.undone_exactly(|w| {
        w.open(
            &[input],
            &[Output {
                part: STUD,
                qty: n(15),
                lot: NewLot::default(),
            }],
        )
    });
    world.pick(blue, studs, n(10)).unwrap();
    world.issue(blue, studs, n(10)).unwrap();
    world.undone_exactly(|w| w.swap(BLUE, place(Kind::Engine, 4)));
    world.free(line(BLUE, BLOWER), Source::Lot(blower)).unwrap();
    world.undone_exactly(|w| w.close(BLUE));
}

/// 5.2: an acceptance goes back whole: what pegs became, what the order line counted, and the pegs that were shed.
#[test]
fn an_acceptance_goes_back_whole() {
    let mut world = world();
    let studs = order_line(1, STUD);
    for job in [BLUE, GREEN, AMBER] {
        world.peg(line(job, STUD), studs, n(10)).unwrap();
    }
    let new = NewLot {
        order_line: Some(studs),
        expiry: Some(day(20)),
        ..NewLot::default()
    };
    let lot = world.book_in(STUD, n(145), 150, new);
    world.undone_exactly(|w| w.accept(lot, n(7)));
    world.undone_exactly(|w| w.accept(lot, n(145)));
    world.accept(lot, n(100)).unwrap();
    // Part of it again after a first acceptance was taken back: it still counts once.
    let second = world.accept(lot, n(45)).unwrap();
    world.undo(second).unwrap();
    world.accept(lot, n(45)).unwrap();
    assert_eq!(world.order(studs)[..2], [145 * ONE, 145 * ONE]);
    world.sound();
}

/// 5.3: what went to a place that may be owed comes back only if it is still there, or nothing of that lot has passed.
#[test]
fn a_loss_comes_back_only_while_it_is_missing() {
    let mut world = world();
    let lot = world.shelved(STUD, n(10), 60);
    let lost = out(&mut world, Movement::Loss, lot, COUNTED, 3);
    let found = world
        .go(Move::new(Movement::Gain, lot, COUNTED, SHELF, n(2)))
        .unwrap();
    later(world.undo(lost), "no longer at COUNTED 1");
    world.undo(found).unwrap();
    world.undo(lost).unwrap();
    world.sound();
    // A matched set that was found again cannot be brought back a second time (part 9: a set stood in two places).
    let set = world.shelved_as(
        PISTON,
        n(4),
        400,
        NewLot {
            size: Some(n(4)),
            ..NewLot::default()
        },
    );
    let lost = out(&mut world, Movement::Loss, set, COUNTED, 4);
    world
        .go(Move::new(Movement::Gain, set, COUNTED, CAGE, n(4)))
        .unwrap();
    later(world.undo(lost), "no longer at COUNTED 1");
    // Sent back: the supplier is owed all along, and the goods are his; nothing has passed since.
    let sent = out(&mut world, Movement::SendBack, lot, SUPPLIER, 4);
    world.undo(sent).unwrap();
    let sent = out(&mut world, Movement::SendBack, lot, SUPPLIER, 4);
    out(&mut world, Movement::SendBack, lot, SUPPLIER, 1);
    later(world.undo(sent), "no longer at SUPPLIER 1");
    world.sound();
}

/// 5.5: refused while a hold younger than the document lies on lot or place; an older one does not matter.
#[test]
fn a_younger_hold_stands_in_the_way() {
    let mut world = world();
    let lot = world.shelved(STUD, n(10), 60);
    let older = world.hold(Held::Lot(lot));
    let caged = out(&mut world, Movement::Quarantine, lot, CAGE, 5);
    world.undone_exactly(|w| w.go(Move::new(Movement::Quarantine, lot, SHELF, CAGE, n(1))));
    for on in [Held::Lot(lot), Held::Place(SHELF), Held::Place(CAGE)] {
        let younger = world.hold(on);
        later(
            world.undo(caged),
            "a later hold lies on its goods: dropped on the floor",
        );
        world.lift(younger).unwrap();
    }
    world.hold(Held::Place(BENCH));
    world.undo(caged).unwrap();
    world.lift(older).unwrap();
    world.sound();
}

/// 5.6: what only changed fields that no rule of stock reads is changed again, not undone.
#[test]
fn fields_changed_by_themselves_are_changed_again() {
    let mut world = world();
    let head = world.head(DocKind::Change);
    let nothing = world.act(|_| Ok(()), |_| Ok(Posting::new(head))).unwrap();
    refused(
        world.undo(nothing),
        "only changed records, which are changed again",
    );
}

/// 5, first words: a record change is set back if the field still holds what the document wrote, else refused.
#[test]
fn a_field_changed_since_is_not_set_back() {
    let mut world = world();
    let blue = line(BLUE, STUD);
    let lowered = world.alter(BLUE, &[Alter::Need(blue, n(8))]).unwrap();
    let again = world.alter(BLUE, &[Alter::Need(blue, n(6))]).unwrap();
    later(world.undo(lowered), "of the job_line was changed since");
    world.undo(again).unwrap();
    world.undo(lowered).unwrap();
    assert_eq!(
        world.number(&format!("SELECT need FROM job_line WHERE id = {blue}")),
        10 * ONE
    );
    world.sound();
}

/// 5.7: no undo of a document with a layer across a later change of method; one without a layer goes.
#[test]
fn no_layer_is_undone_across_a_change_of_method() {
    for (method, to) in [
        (Method::Actual, Method::Fifo),
        (Method::Fifo, Method::Average),
        (Method::Average, Method::Actual),
    ] {
        let mut world = World::new(method);
        let lot = world.shelved(STUD, n(10), 60);
        let accepted = DocId(3);
        let caged = out(&mut world, Movement::Quarantine, lot, CAGE, 3);
        let moved = world
            .go(Move::new(Movement::Move, lot, SHELF, SHELF_2, n(7)))
            .unwrap();
        let restated = world.restate(to).unwrap();
        for document in [accepted, caged] {
            later(world.undo(document), "the method of value was changed since");
        }
        world.undo(moved).unwrap();
        world.sound();
        // The change of method itself goes only while it is the newest document.
        let scrapped = out(&mut world, Movement::Scrap, lot, SCRAP, 1);
        later(
            world.undo(restated),
            "the books went on by the new method of value",
        );
        world.undo(scrapped).unwrap();
        later(
            world.undo(restated),
            "the books went on by the new method of value",
        );
        world.sound();
    }
}

/// A closed job keeps what it fitted: what came onto or off its lines before is not undone any more.
#[test]
fn nothing_comes_off_the_lines_of_a_closed_job() {
    let mut world = world();
    let theirs = world.shelved_as(
        STUD,
        n(10),
        0,
        NewLot {
            owner: Some(CUSTOMER),
            ..NewLot::default()
        },
    );
    let blue = line(BLUE, STUD);
    world.pick(blue, theirs, n(10)).unwrap();
    let issued = world.issue(blue, theirs, n(10)).unwrap();
    let back = world.give_back(blue, theirs, n(3)).unwrap();
    let closed = world.close(BLUE).unwrap();
    for document in [issued, back] {
        later(world.undo(document), "J-0001 was closed since");
    }
    world.undo(closed).unwrap();
    world.undo(back).unwrap();
    world.sound();
}

/// A customer's lot carries no value: what was dispatched at a price does not come back once it is recorded as his.
#[test]
fn what_became_a_customers_does_not_bring_value_back() {
    let mut world = world();
    let serial = NewLot {
        serial: Some("B-1".into()),
        size: Some(n(1)),
        ..NewLot::default()
    };
    let blower = world.shelved_as(BLOWER, n(1), 900, serial);
    let gone = out(&mut world, Movement::Dispatch, blower, CUSTOMER, 1);
    let head = world.head(DocKind::Change);
    world
        .act(
            |facts| {
                facts.place(CUSTOMER)?;
                facts.lot(blower)
            },
            |stock| relabel::owner(stock, head, blower, Some(CUSTOMER)),
        )
        .unwrap();
    later(world.undo(gone), "is not ours, so it carries no value");
    world.sound();
}

/// A job that was raised by mistake is given up by its undo, and not while its kit has anything.
#[test]
fn a_raised_job_is_given_up() {
    let mut world = world();
    let job = bincard::domain::stores::ids::JobId(4);
    let mut posting = Posting::new(world.head(DocKind::Job));
    posting.records = a_job(job, CUSTOMER, day(40), engine(job));
    let raised = world.act(|_| Ok(()), |_| Ok(posting)).unwrap();
    let lot = world.shelved(STUD, n(10), 60);
    world.reserve(line(job, STUD), lot, n(6)).unwrap();
    let picked = world.pick(line(job, STUD), lot, n(1)).unwrap();
    later(world.undo(raised), "J-0004 has parts in its kit or on its engine");
    world.undo(picked).unwrap();
    world.undo(raised).unwrap();
    let row = &world.rows(
        "SELECT state, (SELECT SUM(need + reserved) FROM job_line WHERE job = 4) FROM job WHERE id = 4",
    )[0];
    assert_eq!(
        (row.text(0).unwrap().as_str(), row.int(1).unwrap()),
        ("cancelled", 0)
    );
    world.sound();
}
