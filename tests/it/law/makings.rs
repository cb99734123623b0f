//! Stock that becomes other stock: what part 2 asks of a making and of its children.

use super::acts::{Done, refused};
use super::world::*;
use bincard::domain::stores::document::DocKind;
use bincard::domain::stores::ids::LotId;
use bincard::domain::stores::law::Movement;
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::stock::Method;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::making::{Input, Output};

const ONE: i64 = 1_000_000;

fn world() -> World {
    World::new(Method::Actual)
}

/// 8: one part, one place, as much out as in; 9: the making's value goes through whole.
#[test]
fn a_making_is_even() {
    let mut world = world();
    let (lot, wire) = (world.shelved(STUD, n(10), 60), world.shelved(WIRE, n(10), 60));
    let on = |lot, place, qty| Input {
        lot,
        place,
        qty: n(qty),
        line: None,
    };
    let of = |part, qty| Output {
        part,
        qty: n(qty),
        lot: NewLot::default(),
    };
    refused(
        world.open(&[on(lot, SHELF, 5)], &[of(STUD, 4)]),
        "5 went in and 4 would come out",
    );
    refused(
        world.open(&[on(lot, SHELF, 5)], &[of(STUD, 6)]),
        "5 went in and 6 would come out",
    );
    refused(
        world.open(&[on(lot, SHELF, 5)], &[of(WIRE, 5)]),
        "the line wants WIRE",
    );
    refused(
        world.open(&[on(lot, SHELF, 5), on(wire, SHELF, 1)], &[of(STUD, 6)]),
        "the line wants WIRE",
    );
    world
        .go(Move::new(Movement::Move, lot, SHELF, BENCH, n(5)))
        .unwrap();
    refused(
        world.open(&[on(lot, SHELF, 5), on(lot, BENCH, 5)], &[of(STUD, 10)]),
        "lies in one place",
    );
    // Three children of seven parts at 42: 18, 12, 12 by quantity.
    world
        .go(Move::new(Movement::Move, lot, BENCH, SHELF, n(5)))
        .unwrap();
    let opened = world
        .open(&[on(lot, SHELF, 7)], &[of(STUD, 3), of(STUD, 2), of(STUD, 2)])
        .unwrap();
    let values = world.rows(&format!(
        "SELECT value FROM entry WHERE document = {opened} AND from_place = {MAKING} ORDER BY id"
    ));
    assert_eq!(
        values
            .iter()
            .map(|row| row.int(0).unwrap() / ONE)
            .collect::<Vec<_>>(),
        [18, 12, 12]
    );
    // Made of three studs and ten metres: 18 + 60.
    world
        .make_up(&[on(lot, SHELF, 3), on(wire, SHELF, 10)], of(SPACER, 2))
        .unwrap();
    let made = LotId(world.number("SELECT MAX(id) FROM lot"));
    assert_eq!(world.at(made, RECEIVING), (2 * ONE, 78 * ONE));
    let parents = world.rows(&format!(
        "SELECT parent FROM lot_parent WHERE lot = {made} ORDER BY parent"
    ));
    assert_eq!(
        parents.iter().map(|row| row.int(0).unwrap()).collect::<Vec<_>>(),
        [lot.0, wire.0]
    );
    world.sound();
}

/// A child ends no later than the earliest of its parents, whichever of them is named first.
#[test]
fn a_child_outlives_no_parent() {
    for (lasts, stated, wanted) in [
        ([Some(40), Some(30)], None, Ok(Some(30))),
        ([Some(30), Some(40)], None, Ok(Some(30))),
        ([None, Some(30)], None, Ok(Some(30))),
        ([Some(40), Some(30)], Some(30), Ok(Some(30))),
        ([Some(40), Some(30)], Some(29), Ok(Some(29))),
        ([Some(40), Some(30)], Some(31), Err("lasts no longer than")),
        ([None, None], Some(31), Ok(Some(31))),
        ([None, None], None, Ok(None)),
    ] {
        let mut world = world();
        let lots = lasts.map(|last| {
            world.shelved_as(
                STUD,
                n(2),
                12,
                NewLot {
                    expiry: last.map(day),
                    ..NewLot::default()
                },
            )
        });
        let inputs = lots.map(|lot| Input {
            lot,
            place: SHELF,
            qty: n(1),
            line: None,
        });
        let output = Output {
            part: SPACER,
            qty: n(1),
            lot: NewLot {
                expiry: stated.map(day),
                ..NewLot::default()
            },
        };
        let done = world.make_up(&inputs, output);
        match wanted {
            Err(words) => refused(done, words),
            Ok(last) => {
                done.unwrap();
                let row = &world.rows("SELECT expiry FROM lot ORDER BY id DESC LIMIT 1")[0];
                assert_eq!(row.maybe_day(0).unwrap(), last.map(day));
                world.sound();
            }
        }
    }
}

/// A child has its parents' owner: ours at nothing may become a customer's, his becomes ours only with his word, and
/// customer's and house lots are not made up together.
#[test]
fn a_child_has_its_parents_owner() {
    let none = None;
    let (his, other) = (Some(CUSTOMER), Some(CUSTOMER_2));
    // Owners that go in, their value, the owner that comes out, whether his word is on the paper, and the answer.
    let table = [
        (vec![none], 0, his, false, Ok(())),
        (
            vec![none],
            60,
            his,
            false,
            Err("not ours, so it carries no value"),
        ),
        (vec![his], 0, his, false, Ok(())),
        (vec![his], 0, none, false, Err("whose word is not recorded")),
        (vec![his], 0, none, true, Ok(())),
        (vec![his], 0, other, true, Err("has another owner")),
        (vec![his, none], 0, his, true, Err("has another owner")),
        (vec![none, his], 0, none, true, Err("has another owner")),
        (vec![his, other], 0, his, true, Err("has another owner")),
        (vec![his, his], 0, his, false, Ok(())),
    ];
    for (owners, value, owner, word, wanted) in table {
        let mut world = world();
        let mut inputs = Vec::new();
        for owner in &owners {
            let lot = NewLot {
                owner: *owner,
                ..NewLot::default()
            };
            let lot = world.shelved_as(STUD, n(4), if owner.is_none() { value } else { 0 }, lot);
            inputs.push(Input {
                lot,
                place: SHELF,
                qty: n(2),
                line: None,
            });
        }
        let qty = n(2 * i64::try_from(owners.len()).unwrap());
        let mut head = world.head(DocKind::Movement(Movement::Open));
        head.owner_word = word.then(|| "by letter".to_owned());
        let output = Output {
            part: STUD,
            qty,
            lot: NewLot {
                owner,
                ..NewLot::default()
            },
        };
        let done: Done = world.open_under(head, &inputs, std::slice::from_ref(&output));
        match wanted {
            Ok(()) => drop(done.unwrap()),
            Err(words) => refused(done, words),
        }
        let made_up = world.make_up(
            &inputs,
            Output {
                part: SPACER,
                ..output
            },
        );
        assert_eq!(
            made_up.is_ok(),
            wanted.is_ok() && !word,
            "{owners:?} made up: {made_up:?}"
        );
        world.sound();
    }
}
