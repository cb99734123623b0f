//! Making and owners: what is made up together belongs to one owner, and keeps him.

use super::world::{NUT, Outcome, World, at, head, refused};
use bincard::domain::measure::Qty;
use bincard::domain::stores::ids::{LotId, PlaceId};
use bincard::domain::stores::law::{Kind, Movement};
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::stock::Method;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::making::{Input, Output, make_up};

/// Makes one of each lot up into two for this owner, with the owner's word.
fn made_up(world: &World, lots: [LotId; 2], owner: Option<PlaceId>) -> Outcome {
    let (making, receiving) = (at(Kind::Making, 1), at(Kind::Receiving, 1));
    let inputs = lots.map(|lot| Input {
        lot,
        place: at(Kind::Shelf, 1),
        qty: Qty::whole(1),
        line: None,
    });
    let new = NewLot {
        owner,
        ..NewLot::default()
    };
    let output = Output {
        part: NUT,
        qty: Qty::whole(2),
        lot: new,
    };
    let mut paper = head(Movement::MakeUp);
    paper.owner_word = Some("gave it up".to_owned());
    world.run(
        |facts| {
            lots.iter().try_for_each(|lot| facts.lot(*lot))?;
            owner.map_or(Ok(()), |owner| facts.place(owner))?;
            facts.place(making)?;
            facts.place(receiving)
        },
        |stock| make_up(stock, paper, making, &inputs, receiving, output),
    )
}

/// A customer's lot and one of the house are never made up together, whosever the result would be.
#[test]
fn different_owners_are_not_made_up_together() {
    let world = World::new(Method::Actual);
    let red = at(Kind::Customer, 1);
    let (receiving, shelf) = (at(Kind::Receiving, 1), at(Kind::Shelf, 1));
    let his = || {
        let new = NewLot {
            owner: Some(red),
            ..NewLot::default()
        };
        let lot = world.born(Movement::BookIn, NUT, receiving, Qty::whole(5), 0, new);
        let accept = Move::new(Movement::Accept, lot, receiving, shelf, Qty::whole(5));
        world.moves(head(Movement::Accept), &[accept]).unwrap();
        lot
    };
    let (his, ours) = (
        [his(), his()],
        [world.on_shelf(NUT, 5, 0), world.on_shelf(NUT, 5, 0)],
    );
    for owner in [None, Some(red)] {
        for mixed in [[ours[0], his[0]], [his[0], ours[0]]] {
            assert_eq!(refused(made_up(&world, mixed, owner)), "MixedOwners");
        }
        made_up(&world, his, owner).unwrap();
        made_up(&world, ours, owner).unwrap();
    }
    assert_eq!(
        refused(made_up(&world, his, Some(at(Kind::Customer, 2)))),
        "MixedOwners"
    );
    world.check();
}
