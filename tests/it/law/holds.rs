//! Holds: part 6 of the law of stock, as small histories.

use super::world::{NUT, Outcome, RED, World, at, head, line, refused, today};
use bincard::domain::measure::Qty;
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::ids::{HoldId, LotId, PlaceId};
use bincard::domain::stores::law::{Kind, Movement};
use bincard::domain::stores::posting::{Held, Source};
use bincard::domain::stores::stock::Method;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::holding::{hold, lift};

fn on(world: &World, on: Held) -> HoldId {
    let head = Head::new(DocKind::Hold, today(), "HP");
    let gather = |facts: &mut bincard::db::load::Gather<'_, '_>| match on {
        Held::Lot(lot) => facts.lot(lot),
        Held::Place(place) => facts.place_with_lots(place),
    };
    world
        .run(gather, |stock| hold(stock, head, on, "certificate in doubt"))
        .unwrap();
    HoldId(world.number("SELECT MAX(id) FROM hold"))
}

fn off(world: &World, id: HoldId) -> Outcome {
    let head = Head::new(DocKind::Hold, today(), "HP");
    world.run(|facts| facts.hold(id), |stock| lift(stock, head, id))
}

fn pickable(world: &World, lot: LotId) -> i64 {
    world.number(&format!(
        "SELECT pickable / 1000000 FROM lot_position WHERE lot = {lot}"
    ))
}

/// 6.1: holds nest: held while any lives; lifting gives back what may be picked, not the claims.
#[test]
fn holds_nest_and_strip_claims_at_once() {
    let world = World::new(Method::Actual);
    let (lot, bin) = (world.on_shelf(NUT, 10, 10), at(Kind::Shelf, 1));
    world.reserve(RED, lot, NUT, 4).unwrap();
    let first = on(&world, Held::Lot(lot));
    assert_eq!(world.claimed(RED, NUT, Source::Lot(lot)), 0);
    assert_eq!(refused(world.reserve(RED, lot, NUT, 1)), "OnHold");
    let second = on(&world, Held::Lot(lot));
    let third = on(&world, Held::Place(bin));
    world.check();
    for (id, free) in [(first, 0), (third, 0), (second, 10)] {
        off(&world, id).unwrap();
        assert_eq!(pickable(&world, lot), free);
        world.check();
    }
    assert_eq!(world.claimed(RED, NUT, Source::Lot(lot)), 0);
    world.reserve(RED, lot, NUT, 4).unwrap();
    assert_eq!(refused(off(&world, first)), "Unknown", "a hold is lifted once");
}

/// 6.1: a held bin strips only what the lot no longer bears from its other bins.
#[test]
fn a_held_bin_leaves_the_other_bins_pickable() {
    let world = World::new(Method::Actual);
    let lot = world.on_shelf(NUT, 10, 10);
    let (one, two) = (at(Kind::Shelf, 1), at(Kind::Shelf, 2));
    world
        .moves(
            head(Movement::Move),
            &[Move::new(Movement::Move, lot, one, two, Qty::whole(3))],
        )
        .unwrap();
    world.reserve(RED, lot, NUT, 5).unwrap();
    on(&world, Held::Place(one));
    assert_eq!(
        (pickable(&world, lot), world.claimed(RED, NUT, Source::Lot(lot))),
        (3, 3)
    );
    world.check();
}

/// 6.2: towards cage, sender, scrap, receiving and counted always; towards shelf, bench, kit, engine, customer, away
/// never.
#[test]
fn held_goods_go_to_the_cage_and_never_into_use() {
    let world = World::new(Method::Actual);
    let (lot, bin) = (world.on_shelf(NUT, 10, 10), at(Kind::Shelf, 1));
    let red = line(RED, NUT);
    let go = |movement: Movement, from: PlaceId, to: Kind| {
        let asked = Move::new(movement, lot, from, at(to, 1), Qty::whole(1));
        Move {
            to_line: matches!(to, Kind::Kit | Kind::Engine).then_some(red),
            from_line: from.is(Kind::Kit).then_some(red),
            ..asked
        }
    };
    let run = |asked: Move| {
        let paper = Head {
            due: Some(today()),
            ..head(asked.movement)
        };
        world.moves(paper, &[asked])
    };
    let kit = at(Kind::Kit, 1);
    world
        .moves(
            head(Movement::Pick),
            &[Move {
                qty: Qty::whole(4),
                ..go(Movement::Pick, bin, Kind::Kit)
            }],
        )
        .unwrap();
    on(&world, Held::Lot(lot));
    for asked in [
        go(Movement::Move, bin, Kind::Bench),
        go(Movement::Pick, bin, Kind::Kit),
        go(Movement::Dispatch, bin, Kind::Customer),
        go(Movement::SendOut, bin, Kind::Away),
        go(Movement::PutBack, kit, Kind::Shelf),
        go(Movement::Issue, kit, Kind::Engine),
    ] {
        assert_eq!(refused(run(asked)), "OnHold", "{}", asked.movement);
    }
    for asked in [
        go(Movement::Quarantine, bin, Kind::Quarantine),
        go(Movement::Quarantine, kit, Kind::Quarantine),
        go(Movement::SendBack, bin, Kind::Supplier),
        go(Movement::Scrap, bin, Kind::Scrap),
        go(Movement::Return, kit, Kind::Receiving),
        go(Movement::Loss, bin, Kind::Counted),
    ] {
        run(asked).unwrap_or_else(|trouble| panic!("{}: {trouble:?}", asked.movement));
        world.check();
    }
}
