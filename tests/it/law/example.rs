//! The worked example of part 3 of the law, step by step, by each method.

use super::world::*;
use bincard::domain::kitting::alter::Alter;
use bincard::domain::measure::Money;
use bincard::domain::stores::ids::LotId;
use bincard::domain::stores::law::{Kind, Movement};
use bincard::domain::stores::stock::Method;
use bincard::domain::stores::verbs::enter::Move;

/// What stands after a step: the value on the shelf, in the kit, on the engine, in receiving, lost in the count, and
/// the shelf's layers (quantity, value); all in whole ones.
type Stands = ([i64; 5], &'static [(i64, i64)]);

/// The rows of the table. Actual keeps a layer for each lot, average one for the part; fifo's are those named there.
const ACTUAL: [Stands; 9] = [
    ([300, 0, 0, 0, 0], &[(10, 60), (20, 240)]),
    ([180, 120, 0, 0, 0], &[(15, 180)]),
    ([180, 84, 36, 0, 0], &[(15, 180)]),
    ([180, 84, 24, 12, 0], &[(15, 180)]),
    ([192, 84, 24, 0, 0], &[(16, 192)]),
    ([216, 60, 24, 0, 0], &[(18, 216)]),
    ([234, 60, 26, 0, 0], &[(18, 234)]),
    ([208, 60, 26, 0, 26], &[(16, 208)]),
    ([234, 60, 26, 0, 0], &[(19, 234)]),
];
const FIFO: [Stands; 9] = [
    ([300, 0, 0, 0, 0], &[(10, 60), (20, 240)]),
    ([180, 120, 0, 0, 0], &[(15, 180)]),
    ([180, 84, 36, 0, 0], &[(15, 180)]),
    ([180, 84, 24, 12, 0], &[(15, 180)]),
    ([192, 84, 24, 0, 0], &[(15, 180), (1, 12)]),
    ([216, 60, 24, 0, 0], &[(15, 180), (1, 12), (2, 24)]),
    ([234, 60, 26, 0, 0], &[(15, 195), (1, 13), (2, 26)]),
    ([208, 60, 26, 0, 26], &[(13, 169), (1, 13), (2, 26)]),
    ([234, 60, 26, 0, 0], &[(13, 169), (1, 13), (2, 26), (3, 26)]),
];
const AVERAGE: [Stands; 9] = [
    ([300, 0, 0, 0, 0], &[(30, 300)]),
    ([150, 150, 0, 0, 0], &[(15, 150)]),
    ([150, 120, 30, 0, 0], &[(15, 150)]),
    ([150, 120, 20, 10, 0], &[(15, 150)]),
    ([160, 120, 20, 0, 0], &[(16, 160)]),
    ([180, 100, 20, 0, 0], &[(18, 180)]),
    ([198, 100, 22, 0, 0], &[(18, 198)]),
    ([176, 100, 22, 0, 22], &[(16, 176)]),
    ([198, 100, 22, 0, 0], &[(19, 198)]),
];

/// The nine steps of the table; `l1` and `l2` are already accepted at the first.
fn step(world: &mut World, number: usize, l1: LotId, l2: LotId) {
    let (line, kit, missing) = (
        line(BLUE, STUD),
        kit(BLUE),
        Move::new(Movement::Loss, l2, SHELF, COUNTED, n(2)),
    );
    let done = match number {
        0 => return,
        1 => {
            let pick = |lot, qty| Move::new(Movement::Pick, lot, SHELF, kit, qty).onto(line);
            world.moves(
                world.head(bincard::domain::stores::document::DocKind::Movement(
                    Movement::Pick,
                )),
                &[pick(l1, n(10)), pick(l2, n(5))],
            )
        }
        2 => world.issue(line, l2, n(3)),
        3 => world.give_back(line, l2, n(1)),
        4 => world.accept(l2, n(1)),
        5 => world.put_back(line, l2, n(2)),
        6 => world.late_cost(l2, Money::whole(20)),
        7 => world.go(missing),
        _ => world.go(Move {
            movement: Movement::Gain,
            from: COUNTED,
            to: SHELF,
            qty: n(3),
            ..missing
        }),
    };
    done.unwrap();
}

/// The value of everything in places of a kind, millionths; on the shelf that of its layers.
fn value(world: &World, kind: Kind) -> i64 {
    match kind {
        Kind::Shelf => world.number("SELECT COALESCE(SUM(value), 0) FROM layer"),
        _ => world.number(&format!(
            "SELECT COALESCE(SUM(value), 0) FROM balance WHERE place / 1000000 = {}",
            kind.code()
        )),
    }
}

#[test]
fn the_table_of_part_3() {
    for (method, table) in [
        (Method::Actual, ACTUAL),
        (Method::Fifo, FIFO),
        (Method::Average, AVERAGE),
    ] {
        let mut world = World::new(method);
        // Ten and five are picked, so the line needs fifteen.
        world
            .alter(BLUE, &[Alter::Need(line(BLUE, STUD), n(15))])
            .unwrap();
        let l1 = world.shelved(STUD, n(10), 60);
        let l2 = world.shelved(STUD, n(20), 240);
        for (number, (values, layers)) in table.into_iter().enumerate() {
            step(&mut world, number, l1, l2);
            let kinds = [
                Kind::Shelf,
                Kind::Kit,
                Kind::Engine,
                Kind::Receiving,
                Kind::Counted,
            ];
            let found = kinds.map(|kind| value(&world, kind));
            assert_eq!(
                found,
                values.map(|whole| whole * 1_000_000),
                "{method:?} after step {number}"
            );
            let wanted: Vec<(i64, i64)> = layers
                .iter()
                .map(|(q, v)| (q * 1_000_000, v * 1_000_000))
                .collect();
            assert_eq!(
                world.layers(STUD),
                wanted,
                "{method:?} layers after step {number}"
            );
            world.sound();
        }
    }
}

/// "Two entries for each layer touched" (step 2 by fifo): each lot's pick is split where a layer ends.
#[test]
fn a_draw_is_split_where_a_layer_ends() {
    let mut world = World::new(Method::Fifo);
    world
        .alter(BLUE, &[Alter::Need(line(BLUE, STUD), n(15))])
        .unwrap();
    world.shelved(STUD, n(10), 60);
    let l2 = world.shelved(STUD, n(20), 240);
    let picked = world.pick(line(BLUE, STUD), l2, n(15)).unwrap();
    let rows = world.rows(&format!(
        "SELECT qty, value, layer FROM entry WHERE document = {picked} ORDER BY id"
    ));
    let rows: Vec<[i64; 3]> = rows
        .iter()
        .map(|row| [0, 1, 2].map(|at| row.int(at).unwrap()))
        .collect();
    assert_eq!(rows, [[10_000_000, 60_000_000, 1], [5_000_000, 60_000_000, 2]]);
    world.sound();
}
