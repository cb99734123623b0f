//! The worked example of the law's value rules, for the three methods: one part, L1 10 at 6, L2 20 at 12.

use super::world::{BLUE, NUT, World, line, place};
use bincard::domain::measure::{Money, Qty};
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::ids::LotId;
use bincard::domain::stores::law::{Kind, Movement};
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::late_cost::late_cost;

/// What stands on shelf, in the kit, on the engine, in receiving and counted.
fn values(world: &World) -> [i64; 5] {
    let one = |sql: &str| {
        let sum = world.read(|open| open.row(sql, &[]).unwrap().unwrap().int(0).unwrap());
        assert_eq!(sum % 1_000_000, 0, "the example comes to whole figures");
        sum / 1_000_000
    };
    [
        one("SELECT COALESCE(SUM(value), 0) FROM layer"),
        one("SELECT COALESCE(SUM(value), 0) FROM balance WHERE place / 1000000 = 6"),
        one("SELECT COALESCE(SUM(value), 0) FROM balance WHERE place / 1000000 = 20"),
        one("SELECT COALESCE(SUM(value), 0) FROM balance WHERE place / 1000000 = 1"),
        one("SELECT COALESCE(SUM(value), 0) FROM balance WHERE place / 1000000 = 32"),
    ]
}

/// The live layers by age, their values.
fn layers(world: &World) -> Vec<i64> {
    world.read(|open| {
        let rows = open
            .rows("SELECT value FROM layer WHERE qty > 0 ORDER BY id", &[])
            .unwrap();
        rows.iter().map(|row| row.int(0).unwrap() / 1_000_000).collect()
    })
}

/// The steps of the example; what stands after each, written out by hand in the law.
fn walk(method: &str, wanted: [[i64; 5]; 9], freight_layers: &[i64]) {
    let world = World::new(method);
    let blue = line(BLUE, NUT);
    let (shelf, kit, engine) = (place(Kind::Shelf, 1), place(Kind::Kit, 1), place(Kind::Engine, 1));
    let (receiving, counted) = (place(Kind::Receiving, 1), place(Kind::Counted, 1));
    let go = |movement, lot: LotId, from, to, qty| Move::new(movement, lot, from, to, Qty::whole(qty));
    let (first, second) = (world.on_shelf(NUT, "10", "60"), world.on_shelf(NUT, "20", "240"));
    assert_eq!(values(&world), wanted[0], "both accepted");
    // The line takes ten; the example picks fifteen, so the line is made to want as many.
    want(&world, 30);
    let picks = [
        go(Movement::Pick, first, shelf, kit, 10).onto(blue),
        go(Movement::Pick, second, shelf, kit, 5).onto(blue),
    ];
    world.go(&picks).unwrap();
    assert_eq!(values(&world), wanted[1], "pick");
    world
        .go(&[go(Movement::Issue, second, kit, engine, 3).off(blue).onto(blue)])
        .unwrap();
    assert_eq!(values(&world), wanted[2], "issue");
    world
        .go(&[go(Movement::Return, second, engine, receiving, 1).off(blue)])
        .unwrap();
    assert_eq!(values(&world), wanted[3], "return");
    world
        .go(&[go(Movement::Accept, second, receiving, shelf, 1)])
        .unwrap();
    assert_eq!(values(&world), wanted[4], "accept it");
    world
        .go(&[go(Movement::PutBack, second, kit, shelf, 2).off(blue)])
        .unwrap();
    assert_eq!(values(&world), wanted[5], "put back");
    let head = Head::new(DocKind::Movement(Movement::LateCost), world.day.get(), "XX");
    let supplier = place(Kind::Supplier, 1);
    let freight = world.act(
        |facts| {
            facts.place(supplier)?;
            facts.place(counted)?;
            facts.family(second)
        },
        |stock| late_cost(stock, head, supplier, counted, second, Money::whole(20)),
    );
    freight.unwrap();
    assert_eq!(values(&world), wanted[6], "freight");
    assert_eq!(layers(&world), freight_layers, "layers after the freight");
    world
        .go(&[go(Movement::Loss, second, shelf, counted, 2)])
        .unwrap();
    assert_eq!(values(&world), wanted[7], "two missing");
    world
        .go(&[go(Movement::Gain, second, counted, shelf, 3)])
        .unwrap();
    assert_eq!(values(&world), wanted[8], "three found");
    world.prove();
}

/// Makes the line want this many.
fn want(world: &World, need: i64) {
    use bincard::domain::stores::verbs::draft::Draft;
    let head = Head::new(DocKind::Change, world.day.get(), "XX");
    let changed = world.act(
        |facts| facts.job(BLUE),
        |stock| {
            let mut draft = Draft::new(stock, head);
            draft.set_need(line(BLUE, NUT), Qty::whole(need))?;
            draft.finish()
        },
    );
    changed.unwrap();
}

#[test]
fn by_the_lots_own_cost() {
    walk(
        "actual",
        [
            [300, 0, 0, 0, 0],
            [180, 120, 0, 0, 0],
            [180, 84, 36, 0, 0],
            [180, 84, 24, 12, 0],
            [192, 84, 24, 0, 0],
            [216, 60, 24, 0, 0],
            [234, 60, 26, 0, 0],
            [208, 60, 26, 0, 26],
            [234, 60, 26, 0, 0],
        ],
        &[234],
    );
}

#[test]
fn first_in_first_out() {
    walk(
        "fifo",
        [
            [300, 0, 0, 0, 0],
            [180, 120, 0, 0, 0],
            [180, 84, 36, 0, 0],
            [180, 84, 24, 12, 0],
            [192, 84, 24, 0, 0],
            [216, 60, 24, 0, 0],
            [234, 60, 26, 0, 0],
            [208, 60, 26, 0, 26],
            [234, 60, 26, 0, 0],
        ],
        &[195, 13, 26],
    );
}

#[test]
fn by_the_average() {
    walk(
        "average",
        [
            [300, 0, 0, 0, 0],
            [150, 150, 0, 0, 0],
            [150, 120, 30, 0, 0],
            [150, 120, 20, 10, 0],
            [160, 120, 20, 0, 0],
            [180, 100, 20, 0, 0],
            [198, 100, 22, 0, 0],
            [176, 100, 22, 0, 22],
            [198, 100, 22, 0, 0],
        ],
        &[198],
    );
}
