//! How goods come to lie where a way begins, and how the way is gone.

use super::super::acts::Done;
use super::super::world::*;
use bincard::domain::kitting::alter::Alter;
use bincard::domain::measure::{Money, Qty};
use bincard::domain::stores::ids::{LotId, PartId, PlaceId};
use bincard::domain::stores::law::{Kind, Movement};
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::stock::Method;
use bincard::domain::stores::verbs::birth::Birth;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::making::{Input, Output};

use super::Way;

/// Goods of these tests are ten nuts at 60, the last day of them the twelfth; blue and green want ten on day 10.
pub const LAST: i64 = 12;

pub fn workshop(method: Method) -> World {
    let mut world = World::new(method);
    for job in [BLUE, GREEN] {
        world
            .alter(
                job,
                &[Alter::UseDay(day(10)), Alter::Need(line(job, NUT), n(10))].as_slice()
                    [usize::from(job == BLUE)..],
            )
            .unwrap();
    }
    world
}

/// Brings ten to lie in the first place of a kind.
pub fn lie(world: &mut World, part: PartId, kind: Kind) -> LotId {
    let new = NewLot {
        expiry: Some(day(LAST)),
        ..NewLot::default()
    };
    let blue = line(BLUE, part);
    if kind == Kind::Crate {
        let lot = NewLot {
            off_engine: Some(engine(BLUE)),
            ..new
        };
        let birth = Birth {
            movement: Movement::TakeOff,
            part,
            lot,
            from: CUSTOMER,
            to: crate_of(BLUE),
            qty: n(10),
            value: Money::ZERO,
            line: None,
        };
        return world.bear(birth).unwrap().1;
    }
    let lot = world.book_in(part, n(10), 60, new);
    let mut go = |movement, from, to| {
        let asked = Move::new(movement, lot, from, to, n(10));
        let asked = if place(Kind::Kit, 1) == to || place(Kind::Engine, 1) == to {
            asked.onto(blue)
        } else {
            asked
        };
        world
            .go(if from == kit(BLUE) { asked.off(blue) } else { asked })
            .unwrap();
    };
    match kind {
        Kind::Receiving => {}
        Kind::Bench => go(Movement::Accept, RECEIVING, BENCH),
        Kind::Quarantine => go(Movement::Quarantine, RECEIVING, CAGE),
        Kind::Reject => go(Movement::Reject, RECEIVING, REJECT),
        _ => go(Movement::Accept, RECEIVING, SHELF),
    }
    match kind {
        Kind::Kit | Kind::Engine => go(Movement::Pick, SHELF, kit(BLUE)),
        Kind::Away => go(Movement::SendOut, SHELF, PLATER),
        Kind::Counted => go(Movement::Loss, SHELF, COUNTED),
        _ => {}
    }
    if kind == Kind::Engine {
        go(Movement::Issue, kit(BLUE), engine(BLUE));
    }
    lot
}

/// Whether the movement makes its lot.
pub fn is_birth(way: Way) -> bool {
    let born = [
        Movement::BookIn,
        Movement::FittedEarly,
        Movement::BringForward,
        Movement::FoundFitted,
    ];
    born.contains(&way.movement) || (way.movement, way.from) == (Movement::TakeOff, Kind::Customer)
}

/// Brings the world to where the way can be gone; the lot that goes, where one is there before.
pub fn prepare(world: &mut World, way: Way) -> Option<LotId> {
    if is_birth(way) {
        return None;
    }
    let lies = match way.movement {
        Movement::LateCost if way.from == Kind::Supplier => way.to,
        Movement::Restate => Kind::Shelf,
        Movement::Open if way.from == Kind::Making => way.to,
        Movement::MakeUp if way.from == Kind::Making => Kind::Shelf,
        _ => way.from,
    };
    // What was bench stock is used up and stays on the engine it was used on.
    let lot = lie(
        world,
        if way.movement == Movement::Swap { STUD } else { NUT },
        lies,
    );
    if (way.movement, way.from) == (Movement::LateCost, Kind::Crate) {
        // Take-off parts carry nothing that could be credited, until something was done to them.
        world.late_cost(lot, Money::whole(60)).unwrap();
    }
    if way.movement == Movement::TakeOff {
        world.close(BLUE).unwrap();
    }
    Some(lot)
}

/// Goes a way with so many of the lot.
pub fn go(world: &mut World, way: Way, lot: Option<LotId>, qty: Qty) -> Done {
    let Some(lot) = lot else {
        return give_birth(world, way, qty);
    };
    let (blue, green) = (line(BLUE, NUT), line(GREEN, NUT));
    let from = place(way.from, 1);
    let input = Input {
        lot,
        place: from,
        qty,
        line: (way.from == Kind::Kit).then_some(blue),
    };
    match way.movement {
        Movement::LateCost => {
            let sign = if way.from == Kind::Supplier { 1 } else { -1 };
            world.late_cost(lot, Money::from_millionths(qty.millionths() * sign))
        }
        Movement::Restate => world.restate(Method::Average),
        Movement::Sold => world.close(BLUE),
        Movement::Swap => world.swap(BLUE, place(Kind::Engine, 4)),
        Movement::Open | Movement::MakeUp => go_through_making(world, way, input),
        Movement::Rob => world.go(Move::new(way.movement, lot, from, kit(GREEN), qty)
            .off(blue)
            .onto(green)),
        _ => {
            let to = place(way.to, if way.from == way.to { 2 } else { 1 });
            let asked = Move::new(way.movement, lot, from, to, qty);
            let asked = if matches!(way.to, Kind::Kit | Kind::Engine) {
                asked.onto(blue)
            } else {
                asked
            };
            let off =
                way.from == Kind::Kit || (way.from == Kind::Engine && way.movement != Movement::TakeOff);
            world.go(if off { asked.off(blue) } else { asked })
        }
    }
}

/// Goes through making: what comes out of it went in from the place it comes to, or for a made lot from the shelf.
fn go_through_making(world: &mut World, way: Way, input: Input) -> Done {
    let opened = way.movement == Movement::Open;
    let place = if opened { place(way.to, 1) } else { SHELF };
    let line = (opened && way.to == Kind::Kit).then_some(line(BLUE, NUT));
    let out = Input { place, line, ..input };
    let input = if way.from == Kind::Making { out } else { input };
    if opened {
        let output = Output {
            part: NUT,
            qty: input.qty,
            lot: NewLot::default(),
        };
        return world.open(&[input], &[output]);
    }
    world.make_up(
        &[input],
        Output {
            part: SPACER,
            qty: n(1),
            lot: NewLot::default(),
        },
    )
}

/// A lot of nuts born on this way.
pub fn give_birth(world: &mut World, way: Way, qty: Qty) -> Done {
    let (from, to) = (place(way.from, 1), place(way.to, 1));
    let lot = NewLot {
        expiry: Some(day(LAST)),
        pending: way.movement == Movement::FittedEarly,
        owner: (way.from == Kind::Customer).then_some(CUSTOMER),
        off_engine: (way.movement == Movement::TakeOff).then_some(engine(BLUE)),
        ..NewLot::default()
    };
    let value = if way.from == Kind::Customer {
        Money::ZERO
    } else {
        Money::whole(60)
    };
    let line = (way.to == Kind::Engine).then_some(line(BLUE, NUT));
    world
        .bear(Birth {
            movement: way.movement,
            part: NUT,
            lot,
            from,
            to,
            qty,
            value,
            line,
        })
        .map(|(document, _)| document)
}

/// Ten nuts of the customer's that lie where the house's just lay.
pub fn customers(world: &mut World, kind: Kind) -> LotId {
    let mut fresh = workshop(Method::Actual);
    std::mem::swap(world, &mut fresh);
    let off_engine = (kind == Kind::Crate).then_some(engine(BLUE));
    let lot = NewLot {
        owner: Some(CUSTOMER),
        off_engine,
        ..NewLot::default()
    };
    if kind == Kind::Crate {
        let birth = Birth {
            movement: Movement::TakeOff,
            part: NUT,
            lot,
            from: CUSTOMER,
            to: crate_of(BLUE),
            qty: n(10),
            value: Money::ZERO,
            line: None,
        };
        return world.bear(birth).unwrap().1;
    }
    let lot = world.book_in(NUT, n(10), 0, lot);
    let path: &[(Movement, PlaceId, PlaceId)] = match kind {
        Kind::Receiving => &[],
        Kind::Shelf => &[(Movement::Accept, RECEIVING, SHELF)],
        Kind::Bench => &[(Movement::Accept, RECEIVING, BENCH)],
        Kind::Quarantine => &[(Movement::Quarantine, RECEIVING, CAGE)],
        Kind::Reject => &[(Movement::Reject, RECEIVING, REJECT)],
        Kind::Away => &[(Movement::SendOut, RECEIVING, PLATER)],
        Kind::Kit => &[
            (Movement::Accept, RECEIVING, SHELF),
            (Movement::Pick, SHELF, kit(BLUE)),
        ],
        _ => &[
            (Movement::Accept, RECEIVING, SHELF),
            (Movement::Pick, SHELF, kit(BLUE)),
            (Movement::Issue, kit(BLUE), engine(BLUE)),
        ],
    };
    for (movement, from, to) in path {
        let asked = Move::new(*movement, lot, *from, *to, n(10));
        let asked = if matches!(movement, Movement::Pick | Movement::Issue) {
            asked.onto(line(BLUE, NUT))
        } else {
            asked
        };
        world
            .go(if *movement == Movement::Issue {
                asked.off(line(BLUE, NUT))
            } else {
                asked
            })
            .unwrap();
    }
    lot
}
