//! What goods are worth: the worked example of the law under every method, row by row.

use super::world::{NUT, RED, World, at, head, line, today};
use bincard::domain::measure::{Money, Qty};
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::ids::LotId;
use bincard::domain::stores::law::{Kind, Movement};
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::stock::Method;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::late_cost::late_cost;

/// What lies on shelf, in kit, on the engine, in receiving and at counted, then the live layers as quantity:value.
fn figures(world: &World) -> String {
    let own = |kind: Kind| {
        format!(
            "SELECT COALESCE(SUM(value), 0) / 1000000 FROM balance WHERE place / 1000000 = {}",
            kind.code()
        )
    };
    let shelf = world.number("SELECT COALESCE(SUM(value), 0) / 1000000 FROM layer");
    let [kit, engine, receiving, counted] =
        [Kind::Kit, Kind::Engine, Kind::Receiving, Kind::Counted].map(|kind| world.number(&own(kind)));
    let layers = "SELECT (qty / 1000000) || ':' || (value / 1000000) FROM layer WHERE qty > 0 ORDER BY id";
    let layers = world.rows(layers).join(" ");
    format!("{shelf} {kit} {engine} {receiving} {counted} | {layers}")
}

/// The steps of the example after both lots were accepted, L2 being moved but for the first pick.
fn step(world: &World, step: usize, l1: LotId, l2: LotId) {
    let (shelf, kit, engine) = (at(Kind::Shelf, 1), at(Kind::Kit, 1), at(Kind::Engine, 1));
    let (receiving, counted) = (at(Kind::Receiving, 1), at(Kind::Counted, 1));
    let red = line(RED, NUT);
    let whole = Qty::whole;
    let go = |movement, from, to, qty| Move::new(movement, l2, from, to, whole(qty));
    let moves = match step {
        1 => vec![
            Move {
                lot: l1,
                ..go(Movement::Pick, shelf, kit, 10)
            }
            .onto(red),
            go(Movement::Pick, shelf, kit, 5).onto(red),
        ],
        2 => vec![go(Movement::Issue, kit, engine, 3).off(red).onto(red)],
        3 => vec![go(Movement::Return, engine, receiving, 1).off(red)],
        4 => vec![go(Movement::Accept, receiving, shelf, 1)],
        5 => vec![go(Movement::PutBack, kit, shelf, 2).off(red)],
        7 => vec![go(Movement::Loss, shelf, counted, 2)],
        8 => vec![go(Movement::Gain, counted, shelf, 3)],
        _ => {
            let supplier = at(Kind::Supplier, 1);
            let freight = |world: &World| {
                world.run(
                    |facts| {
                        facts.family(l2)?;
                        facts.place(supplier)?;
                        facts.place(counted)
                    },
                    |stock| {
                        late_cost(
                            stock,
                            head(Movement::LateCost),
                            supplier,
                            counted,
                            l2,
                            Money::whole(20),
                        )
                    },
                )
            };
            freight(world).unwrap();
            return;
        }
    };
    world.moves(head(moves[0].movement), &moves).unwrap();
}

/// Each row: shelf, kit, engine, receiving, counted | layers. Source: part 3 of the law of stock; the figures it
/// leaves out, and the layers of actual and average, worked out by hand from its rules.
fn worked_example(method: Method, expected: [&str; 9]) {
    let world = World::new(method);
    let need = Qty::whole(15);
    let change = Head::new(DocKind::Change, today(), "HP");
    world
        .draw_up(change, &[], &[RED], |draft| draft.set_need(line(RED, NUT), need))
        .unwrap();
    let receiving = at(Kind::Receiving, 1);
    let [l1, l2] = [(10, 60), (20, 240)].map(|(qty, cost)| {
        let qty = Qty::whole(qty);
        let lot = world.born(Movement::BookIn, NUT, receiving, qty, cost, NewLot::default());
        let accept = Move::new(Movement::Accept, lot, receiving, at(Kind::Shelf, 1), qty);
        world.moves(head(Movement::Accept), &[accept]).unwrap();
        lot
    });
    for (n, expected) in expected.into_iter().enumerate() {
        if n > 0 {
            step(&world, n, l1, l2);
        }
        assert_eq!(figures(&world), expected, "{} at step {n}", method.word());
        world.check();
    }
    let picks = "SELECT COUNT(*) FROM entry WHERE law / 10000 = 10";
    assert_eq!(world.number(picks), 2, "one entry for each layer touched");
}

#[test]
fn actual_gives_each_lot_its_own_cost() {
    worked_example(
        Method::Actual,
        [
            "300 0 0 0 0 | 10:60 20:240",
            "180 120 0 0 0 | 15:180",
            "180 84 36 0 0 | 15:180",
            "180 84 24 12 0 | 15:180",
            "192 84 24 0 0 | 16:192",
            "216 60 24 0 0 | 18:216",
            "234 60 26 0 0 | 18:234",
            "208 60 26 0 26 | 16:208",
            "234 60 26 0 0 | 19:234",
        ],
    );
}

#[test]
fn fifo_draws_the_oldest_and_feeds_at_the_back() {
    worked_example(
        Method::Fifo,
        [
            "300 0 0 0 0 | 10:60 20:240",
            "180 120 0 0 0 | 15:180",
            "180 84 36 0 0 | 15:180",
            "180 84 24 12 0 | 15:180",
            "192 84 24 0 0 | 15:180 1:12",
            "216 60 24 0 0 | 15:180 1:12 2:24",
            "234 60 26 0 0 | 15:195 1:13 2:26",
            "208 60 26 0 26 | 13:169 1:13 2:26",
            "234 60 26 0 0 | 13:169 1:13 2:26 3:26",
        ],
    );
}

#[test]
fn average_shares_one_layer() {
    worked_example(
        Method::Average,
        [
            "300 0 0 0 0 | 30:300",
            "150 150 0 0 0 | 15:150",
            "150 120 30 0 0 | 15:150",
            "150 120 20 10 0 | 15:150",
            "160 120 20 0 0 | 16:160",
            "180 100 20 0 0 | 18:180",
            "198 100 22 0 0 | 18:198",
            "176 100 22 0 22 | 16:176",
            "198 100 22 0 0 | 19:198",
        ],
    );
}
