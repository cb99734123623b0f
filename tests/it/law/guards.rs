//! The guards of the books with the domain switched off: postings made by hand and handed to the books, past every rule
//! of the domain. (Each guard alone, by raw statements, stands in `books/guards`.)

use super::acts::Done;
use super::world::*;
use bincard::db::error::Error;
use bincard::domain::measure::Money;
use bincard::domain::stores::document::DocKind;
use bincard::domain::stores::ids::{DocId, HoldId, LayerId, LineId, LotId, PlaceId};
use bincard::domain::stores::law::{Kind, Movement};
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::posting::{
    Change, Claim, Entry, Field, Held, HoldRow, NewLayer, Posting, Source, Why,
};
use bincard::domain::stores::stock::Method;

const ONE: i64 = 1_000_000;

/// A store with ten studs (lot 1) on the shelf, four of them reserved for blue, a set of four and a customer's lot.
fn stocked() -> World {
    let mut world = World::new(Method::Actual);
    let lot = world.shelved(STUD, n(10), 60);
    world.shelved_as(
        PISTON,
        n(4),
        400,
        NewLot {
            size: Some(n(4)),
            serial: Some("P-1".into()),
            ..NewLot::default()
        },
    );
    world.reserve(line(BLUE, STUD), lot, n(4)).unwrap();
    let hold = world.hold(Held::Place(SHELF_2));
    world.lift(hold).unwrap();
    let rows = world.rows("SELECT id FROM lot ORDER BY id");
    assert_eq!(
        rows.iter().map(|row| row.int(0).unwrap()).collect::<Vec<_>>(),
        [STUDS.0, SET.0]
    );
    world
}

const STUDS: LotId = LotId(1);
const SET: LotId = LotId(2);

/// Without the pragma that the store sets, a row could be written over and no trigger would see it: the program's own
/// connection has it on.
#[test]
fn the_program_sets_what_the_guards_need() {
    let world = stocked();
    let settings = world.books.settings().unwrap();
    for (name, wanted) in [("recursive_triggers", "1"), ("foreign_keys", "1")] {
        assert!(
            settings
                .iter()
                .any(|(found, value)| *found == name && value == wanted),
            "{name}"
        );
    }
    let replace = "INSERT OR REPLACE INTO entry SELECT * FROM entry";
    let done: Result<usize, Error> = world.books.write(|open| open.run(replace, &[]));
    assert!(matches!(done, Err(Error::Refused(because)) if because.contains("bin cards are never")));
    let raw = world.raw();
    raw.execute_batch("PRAGMA recursive_triggers = OFF; BEGIN")
        .unwrap();
    assert!(
        raw.execute_batch(replace).is_ok(),
        "the guard would not bite without it"
    );
    raw.execute_batch("ROLLBACK").unwrap();
}

/// A posting made by hand and handed to the books, past every rule of the domain.
fn by_hand(world: &mut World, fill: impl FnOnce(&mut Posting)) -> Done {
    let mut posting = Posting::new(world.head(DocKind::Movement(Movement::Move)));
    fill(&mut posting);
    world.act(|_| Ok(()), |_| Ok(posting))
}

fn entry(movement: Movement, lot: LotId, from: PlaceId, to: PlaceId, qty: i64, value: i64) -> Entry {
    let layer = (from.is(Kind::Shelf) != to.is(Kind::Shelf)).then_some(LayerId(lot.0));
    Entry {
        movement,
        lot,
        from,
        to,
        from_line: None,
        to_line: None,
        qty: n(qty),
        value: Money::whole(value),
        layer,
    }
}

fn claim(line: LineId, lot: LotId, qty: i64) -> Claim {
    Claim {
        line,
        source: Source::Lot(lot),
        qty: n(qty),
        why: Why::Reserve,
    }
}

/// Fills a posting with what it should not have.
type Fill = fn(&mut Posting);

/// What postings made by hand would break.
const BY_HAND: [(&str, Fill); 19] = [
    ("more than lies there", |p| {
        p.entries
            .push(entry(Movement::Scrap, STUDS, SHELF, SCRAP, 11, 60))
    }),
    ("more value than the layer has", |p| {
        p.entries.push(entry(Movement::Scrap, STUDS, SHELF, SCRAP, 1, 61))
    }),
    ("the last of the goods without the last of the value", |p| {
        p.entries
            .push(entry(Movement::Scrap, STUDS, SHELF, SCRAP, 10, 59))
    }),
    ("reserved goods, their claims left standing", |p| {
        p.entries.push(entry(Movement::Scrap, STUDS, SHELF, SCRAP, 7, 42))
    }),
    ("out of a kit where it never was", |p| {
        p.entries
            .push(entry(Movement::Scrap, STUDS, kit(BLUE), SCRAP, 1, 0))
    }),
    ("off an engine where it never was", |p| {
        p.entries
            .push(entry(Movement::Return, STUDS, engine(BLUE), RECEIVING, 1, 0))
    }),
    ("a way that the law does not know", |p| {
        p.entries.push(entry(Movement::Accept, STUDS, SHELF, CAGE, 1, 6))
    }),
    ("a set in two places", |p| {
        p.entries.push(entry(Movement::Gain, SET, COUNTED, CAGE, 4, 0));
    }),
    ("a claim on more than is free", |p| {
        p.claims.push(claim(line(GREEN, STUD), STUDS, 7))
    }),
    ("a claim beyond what the line takes", |p| {
        p.claims.push(claim(line(BLUE, STUD), STUDS, 6));
        p.entries.push(Entry {
            to_line: Some(1),
            ..entry(Movement::Pick, STUDS, SHELF, kit(BLUE), 1, 6)
        });
    }),
    ("a claim below nothing", |p| {
        p.claims.push(claim(line(BLUE, STUD), STUDS, -5))
    }),
    ("a promise beyond what is ordered", |p| {
        p.claims.push(Claim {
            line: line(BLUE, STUD),
            source: Source::Order(order_line(1, STUD)),
            qty: n(151),
            why: Why::Reserve,
        })
    }),
    ("kitted below nothing", |p| {
        p.entries.push(Entry {
            from_line: Some(1),
            ..entry(Movement::PutBack, STUDS, kit(BLUE), SHELF, 1, 0)
        })
    }),
    ("need above most", |p| {
        p.changes.push(change(Field::LineNeed, 1, "10000000", "11000000"))
    }),
    ("dropped with a need", |p| {
        p.changes.push(change(Field::LineDropped, 1, "0", "1"))
    }),
    ("a hold lifted that is none", |p| {
        p.holds.push(HoldRow {
            id: HoldId(9),
            on: Held::Lot(STUDS),
            cause: "x".into(),
            lifts: Some(HoldId(77)),
        })
    }),
    ("a hold lifted twice", |p| {
        p.holds.push(HoldRow {
            id: HoldId(9),
            on: Held::Place(SHELF_2),
            cause: "x".into(),
            lifts: Some(HoldId(1)),
        })
    }),
    ("a second own layer of a lot", |p| {
        p.layers.push(NewLayer {
            id: LayerId(9),
            part: STUD,
            lot: Some(STUDS),
            shared: false,
        })
    }),
    ("a second undo", |p| p.head.contra = Some(DocId(1000))),
];
/// Each of them is refused by the books; each leaves them as they were.
#[test]
fn the_books_refuse_postings_made_by_hand() {
    for (what, fill) in BY_HAND {
        let mut world = stocked();
        let before = world.digest();
        let done = by_hand(&mut world, fill);
        assert!(
            matches!(done, Err(super::acts::Fault::Books(Error::Refused(_)))),
            "{what}: {done:?}"
        );
        assert_eq!(world.digest(), before, "{what}");
    }
    // Undone once: by hand as little as by the domain.
    let mut world = stocked();
    let caged = world
        .go(bincard::domain::stores::verbs::enter::Move::new(
            Movement::Quarantine,
            STUDS,
            SHELF,
            CAGE,
            n(1),
        ))
        .unwrap();
    world.undo(caged).unwrap();
    assert!(by_hand(&mut world, |p| p.head.contra = Some(caged)).is_err());
    world.sound();
}

fn change(field: Field, id: i64, old: &str, new: &str) -> Change {
    Change {
        field,
        id,
        old: Some(old.into()),
        new: Some(new.into()),
    }
}

/// A good posting made by hand passes, so the refusals above are not for being made by hand.
#[test]
fn a_good_posting_made_by_hand_passes() {
    let mut world = stocked();
    by_hand(&mut world, |p| {
        p.entries.push(Entry {
            to_line: Some(1),
            ..entry(Movement::Pick, STUDS, SHELF, kit(BLUE), 4, 24)
        });
        p.claims.push(Claim {
            why: Why::Pick,
            ..claim(line(BLUE, STUD), STUDS, -4)
        });
    })
    .unwrap();
    assert_eq!(world.line(line(BLUE, STUD)), [0, 0, 4 * ONE, 0]);
    world.sound();
}
