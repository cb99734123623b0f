//! Which movement may go from where to where: the law's table written out by hand, beside what domain and books hold.

use super::world::World;
use bincard::domain::stores::law::{KINDS, Kind, MOVEMENTS, Movement, find, rows};
use std::collections::BTreeSet;

/// The law in the codes of the kinds of place: movement, the pairs `from>to`, fresh, and where goods on hold may go
/// (`yes`, `no`, or the pairs that may).
const LAW: &[(Movement, &str, &str, &str)] = &[
    (Movement::BookIn, "30>1 31>1", "no", "yes"),
    (Movement::FittedEarly, "30>20", "no", "no"),
    (Movement::Accept, "1>2 1>3 4>2 4>3", "yes", "no"),
    (Movement::Quarantine, "1>4 2>4 3>4 6>4", "no", "yes"),
    (Movement::Reject, "1>5 4>5", "no", "yes"),
    (
        Movement::SendBack,
        "1>30 1>31 2>30 2>31 4>30 4>31 5>30 5>31 6>30 6>31 7>30 7>31",
        "no",
        "yes",
    ),
    (Movement::Move, "2>2 2>3 3>2 3>3 1>1 4>4 5>5", "no", "1>1 4>4 5>5"),
    (
        Movement::Open,
        "1>33 2>33 3>33 4>33 6>33 33>1 33>2 33>3 33>4 33>6",
        "no",
        "4>33 33>4",
    ),
    (Movement::MakeUp, "2>33 3>33 6>33 33>1", "yes", "no"),
    (Movement::Pick, "2>6 3>6", "yes", "no"),
    (Movement::PutBack, "6>2 6>3", "yes", "no"),
    (Movement::Rob, "6>6", "yes", "no"),
    (Movement::Issue, "6>20", "yes", "no"),
    (Movement::Use, "2>20 2>22 3>20 3>22", "yes", "no"),
    (Movement::Return, "20>1 6>1", "no", "yes"),
    (Movement::TakeOff, "31>7 20>7 20>1", "no", "yes"),
    (Movement::Swap, "20>20", "no", "yes"),
    (Movement::Dispatch, "2>31 6>31", "yes", "no"),
    (
        Movement::Scrap,
        "1>21 2>21 3>21 4>21 5>21 6>21 7>21 8>21 20>21",
        "no",
        "yes",
    ),
    (
        Movement::Loss,
        "1>32 2>32 3>32 4>32 5>32 6>32 7>32 8>32 20>32",
        "no",
        "yes",
    ),
    (
        Movement::Gain,
        "32>1 32>2 32>3 32>4 32>5 32>6 32>7 32>8",
        "no",
        "32>4 32>5 32>7 32>8",
    ),
    (
        Movement::LateCost,
        "30>1 30>2 30>3 30>4 30>5 30>6 30>7 30>8 30>20 30>32 1>30 2>30 3>30 4>30 5>30 6>30 7>30 8>30 20>30 32>30",
        "no",
        "yes",
    ),
    (Movement::Restate, "2>33 33>2", "no", "yes"),
    (Movement::Sold, "20>31", "no", "yes"),
    (
        Movement::BringForward,
        "34>1 34>2 34>3 34>4",
        "34>2 34>3",
        "34>1 34>4",
    ),
    (Movement::FoundFitted, "31>20", "no", "yes"),
    (Movement::SendOut, "1>8 2>8 4>8 6>8", "no", "no"),
    (Movement::BackIn, "8>1", "no", "yes"),
    (Movement::TakeIn, "7>1", "no", "yes"),
];

fn pairs(text: &str) -> BTreeSet<(i64, i64)> {
    let pair = |text: &str| {
        let (from, to) = text.split_once('>').unwrap();
        (from.parse().unwrap(), to.parse().unwrap())
    };
    text.split(' ').map(pair).collect()
}

/// Whether `yes`, `no` or a list of pairs holds for a pair.
fn holds(text: &str, pair: (i64, i64)) -> bool {
    match text {
        "yes" => true,
        "no" => false,
        listed => pairs(listed).contains(&pair),
    }
}

#[test]
fn the_domain_holds_the_law_as_it_is_written() {
    for (movement, goes, fresh, held) in LAW {
        let goes = pairs(goes);
        for from in KINDS {
            for to in KINDS {
                let pair = (from.code(), to.code());
                let found = find(*movement, from, to);
                assert_eq!(found.is_some(), goes.contains(&pair), "{movement} {from} {to}");
                if let Some(row) = found {
                    assert_eq!(row.fresh, holds(fresh, pair), "fresh: {movement} {from} {to}");
                    assert_eq!(row.while_held, holds(held, pair), "held: {movement} {from} {to}");
                }
            }
        }
    }
    assert_eq!(
        LAW.len() + 1,
        MOVEMENTS.len(),
        "every movement but undo stands in the table"
    );
}

#[test]
fn undo_goes_every_way_the_other_way_round() {
    let there: BTreeSet<(i64, i64)> = LAW.iter().flat_map(|(_, goes, _, _)| pairs(goes)).collect();
    let back: BTreeSet<(i64, i64)> = rows()
        .into_iter()
        .filter(|row| row.movement == Movement::Undo)
        .map(|row| (row.to.code(), row.from.code()))
        .collect();
    assert_eq!(back, there);
    // 124 rows and 107 of undo.
    assert_eq!((rows().len(), back.len()), (231, 107));
}

#[test]
fn the_books_hold_the_same_rows_and_refuse_the_rest() {
    let world = World::new("actual");
    let held: Vec<(i64, bool, bool, String)> = world.read(|open| {
        let found = open
            .rows("SELECT id, while_held, fresh, who FROM law ORDER BY id", &[])
            .unwrap();
        found
            .iter()
            .map(|r| {
                (
                    r.int(0).unwrap(),
                    r.flag(1).unwrap(),
                    r.flag(2).unwrap(),
                    r.text(3).unwrap(),
                )
            })
            .collect()
    });
    let wanted: Vec<(i64, bool, bool, String)> = rows()
        .into_iter()
        .map(|row| {
            (
                row.id(),
                row.while_held,
                row.fresh,
                row.movement.who().word().to_owned(),
            )
        })
        .collect();
    assert_eq!(held, wanted);
}

#[test]
fn the_walls_are_plain_comparisons() {
    for kind in KINDS {
        assert_eq!(kind.in_the_house(), kind.code() < 20);
        assert_eq!(Kind::from_code(kind.code()), Some(kind));
    }
}
