//! Part 8 of the law as SQL, the second statement of the law: nothing wrong passes it, and each statement bites.

use super::look::{rule, statements};
use super::world::*;
use bincard::domain::kitting::alter::Alter;
use bincard::domain::measure::Money;
use bincard::domain::stores::ids::LotId;
use bincard::domain::stores::law::Movement;
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::posting::Held;
use bincard::domain::stores::stock::Method;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::making::{Input, Output};

/// A history with something of everything: claims, pegs, a making in the cage under a hold, an issue, a loss, a
/// customer's lot, a send-out, bench stock, a job line dropped after the issue, an undo.
fn history() -> World {
    let mut world = World::new(Method::Average);
    let studs = world.shelved_as(
        STUD,
        n(20),
        120,
        NewLot {
            expiry: Some(day(40)),
            order_line: Some(order_line(1, STUD)),
            ..NewLot::default()
        },
    );
    let his = world.shelved_as(
        STUD,
        n(4),
        0,
        NewLot {
            owner: Some(CUSTOMER),
            ..NewLot::default()
        },
    );
    let tubes = world.shelved(SEALANT, n(150), 30);
    let nuts = world.shelved(NUT, n(20), 20);
    world.shelved_as(
        PISTON,
        n(4),
        400,
        NewLot {
            size: Some(n(4)),
            ..NewLot::default()
        },
    );
    world.reserve(line(BLUE, STUD), studs, n(6)).unwrap();
    world.reserve(line(BLUE, STUD), his, n(2)).unwrap();
    world.reserve(line(BLUE, SEALANT), tubes, n(50)).unwrap();
    world
        .peg(line(GREEN, SEALANT), order_line(1, SEALANT), n(50))
        .unwrap();
    picked_and_used(&mut world, studs, his, nuts);
    made(&mut world, studs, tubes, nuts);
    world.late_cost(studs, Money::whole(7)).unwrap();
    let lost = world
        .go(Move::new(Movement::Loss, studs, SHELF, COUNTED, n(1)))
        .unwrap();
    world.undo(lost).unwrap();
    let hold = world.hold(Held::Place(BENCH));
    world.lift(hold).unwrap();
    world.alter(BLUE, &[Alter::Drop(line(BLUE, NUT))]).unwrap();
    assert!(world.issue(line(BLUE, STUD), studs, n(1)).is_err());
    world
}

/// Picks by the list and at the hatch, an issue, bench stock used, scrap of what is his, a send-out, goods in the cage.
fn picked_and_used(world: &mut World, studs: LotId, his: LotId, nuts: LotId) {
    let list = world.list(BLUE);
    world.pick_by(list, line(BLUE, STUD), studs, n(2)).unwrap();
    world.issue(line(BLUE, STUD), studs, n(1)).unwrap();
    world.pick(line(BLUE, STUD), his, n(2)).unwrap();
    world
        .go(Move::new(Movement::Pick, nuts, SHELF, kit(BLUE), n(2)).onto(line(BLUE, NUT)))
        .unwrap();
    world
        .go(Move::new(Movement::Use, nuts, SHELF, SHOP, n(1)))
        .unwrap();
    world
        .go(Move::new(Movement::Scrap, his, SHELF, SCRAP, n(1)))
        .unwrap();
    world
        .go(Move::new(Movement::SendOut, studs, SHELF, PLATER, n(1)))
        .unwrap();
    world
        .go(Move::new(Movement::Quarantine, studs, SHELF, CAGE, n(3)))
        .unwrap();
}

/// A tube opened, and studs sorted in the cage.
fn made(world: &mut World, studs: LotId, tubes: LotId, nuts: LotId) {
    world.hold(Held::Lot(nuts));
    let tube = Input {
        lot: tubes,
        place: SHELF,
        qty: n(50),
        line: None,
    };
    let opened = NewLot {
        opened: Some(day(0)),
        expiry: Some(day(30)),
        ..NewLot::default()
    };
    world
        .open(
            &[tube],
            &[Output {
                part: SEALANT,
                qty: n(50),
                lot: opened,
            }],
        )
        .unwrap();
    let caged = Input {
        lot: studs,
        place: CAGE,
        qty: n(3),
        line: None,
    };
    let sorted = Output {
        part: STUD,
        qty: n(3),
        lot: NewLot::default(),
    };
    world.open(&[caged], &[sorted]).unwrap();
}

/// What breaks each statement: its rule, and a change of the tables past all guards. The lots of the history: 1 studs,
/// 2 the customer's, 3 tubes, 4 nuts, 5 a set, 6 the opened tube, 7 the sorted studs.
const BITES: [(&str, &str); 54] = [
    (
        "I1 lot sum",
        "UPDATE balance SET qty = qty + 1 WHERE lot = 1 AND place = 2000001",
    ),
    (
        "I2 balance qty/value",
        "UPDATE balance SET value = value + 1 WHERE lot = 1 AND place = 6000001",
    ),
    (
        "I3 below zero",
        "UPDATE balance SET value = 5 WHERE lot = 1 AND place = 1000001",
    ),
    (
        "I4 where it was not",
        "UPDATE balance SET qty = -1 WHERE lot = 1 AND place = 2000001",
    ),
    (
        "I5 whole",
        "UPDATE balance SET qty = 3000000 WHERE lot = 5 AND place = 2000001",
    ),
    (
        "I5 two places",
        "UPDATE balance SET qty = 4000000 WHERE lot = 5 AND place = 1000001",
    ),
    (
        "I6 pickable",
        "UPDATE lot_position SET pickable = pickable + 1 WHERE lot = 1",
    ),
    (
        "I7 reserved",
        "UPDATE lot_position SET reserved = reserved - 1 WHERE lot = 1",
    ),
    (
        "I7 over-reserved",
        "UPDATE lot_position SET reserved = pickable + 1 WHERE lot = 1",
    ),
    (
        "I7 pair below zero",
        "INSERT INTO claim VALUES (999, 2, 3, 3, NULL, -50000001, 'free')",
    ),
    ("I8 held lot", "UPDATE lot_position SET held = 2 WHERE lot = 4"),
    ("I8 held place", "UPDATE place SET held = 1 WHERE id = 3000001"),
    ("I9 line", "UPDATE job_line SET fitted = fitted + 1 WHERE id = 1"),
    ("I9 line over", "UPDATE job_line SET most = 1 WHERE id = 1"),
    (
        "I10 supply",
        "UPDATE order_line SET accepted = accepted - 1 WHERE id = 1",
    ),
    ("I11 layer", "UPDATE layer SET value = value + 1 WHERE id = 1"),
    (
        "I11 shelf wants layer",
        "UPDATE entry SET layer = NULL WHERE law = 30102 AND lot = 1",
    ),
    ("I12 shelf qty", "UPDATE layer SET qty = qty + 1 WHERE id = 1"),
    (
        "I12 own layer",
        "UPDATE layer SET qty = qty - 1 WHERE lot = 2 AND shared = 0",
    ),
    (
        "I13 value sum",
        "UPDATE balance SET value = value + 1 WHERE place = 30000001 AND lot = 1",
    ),
    (
        "I13 making",
        "UPDATE entry SET value = value + 1 WHERE law = 80233",
    ),
    (
        "I14 drawn",
        "INSERT INTO certificate VALUES (1, 'C-1', 'release', 'a maker', '2026-01-05', NULL, 5000000, 1, NULL, NULL, 1)",
    ),
    (
        "I14 drawn over",
        "INSERT INTO certificate VALUES (1, 'C-1', 'release', 'a maker', '2026-01-05', NULL, 5000000, 0, NULL, NULL, 1); \
         INSERT INTO certificate_lot VALUES (1, 1, 1, 5000001, 1)",
    ),
    (
        "I15 owner",
        "UPDATE entry SET value = 1 WHERE lot = 2 AND law = 13101",
    ),
    (
        "I15 owned and valued",
        "UPDATE balance SET value = 1 WHERE lot = 2 AND place = 6000001",
    ),
    (
        "I16 dense",
        "DELETE FROM entry WHERE id = (SELECT MAX(id) FROM entry)",
    ),
    (
        "I17 claim dead on the day",
        "UPDATE lot SET expiry = '2026-03-11' WHERE id = 1",
    ),
    (
        "I18 claim by a stranger",
        "UPDATE lot SET owner = 31000002 WHERE id = 1",
    ),
    (
        "I18 used by a stranger",
        "UPDATE lot SET owner = 31000002 WHERE id = 2",
    ),
    ("I21 condition", "UPDATE lot SET condition = 'used' WHERE id = 1"),
    ("I21 wrong part", "UPDATE lot SET part = 2 WHERE id = 1"),
    (
        "I22 claim in whole units",
        "INSERT INTO claim VALUES (999, 2, 8, 3, NULL, 12000000, 'reserve')",
    ),
    (
        "I22 peg in whole units",
        "INSERT INTO claim VALUES (999, 2, 8, NULL, 2, -1, 'free')",
    ),
    (
        "I22 pick in whole units",
        "UPDATE part SET hand_out = 50000000 WHERE id = 1",
    ),
    ("I22 most", "UPDATE job_line SET most = need WHERE id = 2"),
    ("I23 list", "UPDATE job SET list = list + 1 WHERE id = 1"),
    (
        "I23 picked from an old list",
        "UPDATE document SET list = list - 1 WHERE list IS NOT NULL",
    ),
    (
        "I24 issued beside a dropped choice",
        "UPDATE change SET document = 9 WHERE field = 'dropped'; UPDATE entry SET document = 10 WHERE to_line = 5",
    ),
    ("I25 parents", "DELETE FROM lot_parent WHERE lot = 7"),
    ("I25 no making", "INSERT INTO lot_parent VALUES (7, 2)"),
    ("I25 child", "UPDATE lot SET child = 0 WHERE id = 7"),
    (
        "I26 child outlives",
        "UPDATE lot SET expiry = '2026-12-31' WHERE id = 7",
    ),
    (
        "I26 child escapes a hold",
        "UPDATE hold SET lot = 1, place = NULL, document = 2 WHERE id = 1",
    ),
    (
        "I26 child of another owner",
        "UPDATE lot SET owner = 31000001 WHERE id = 1",
    ),
    (
        "I27 moved when dead",
        "UPDATE lot SET expiry = '2026-03-01' WHERE id = 1",
    ),
    (
        "I27 reserved when dead",
        "UPDATE document SET at = '2026-04-12T00:00:00Z' WHERE kind = 'reserve'",
    ),
    (
        "I28 owner not asked",
        "UPDATE document SET owner_word = NULL WHERE kind = 'scrap'",
    ),
    (
        "I28 no due day",
        "UPDATE document SET due = NULL WHERE kind = 'send out'",
    ),
    (
        "I29 not bench stock",
        "UPDATE part SET bench_stock = 0 WHERE id = 5",
    ),
    (
        "I30 moved while held",
        "UPDATE hold SET document = 2 WHERE lot = 4",
    ),
    (
        "I12 layer of another method",
        "UPDATE setting SET value = 'fifo' WHERE name = 'method'",
    ),
    (
        "I12 two averages",
        "INSERT INTO layer VALUES (999, 1, NULL, 1, 1, 0)",
    ),
    // The clock's side of two rules that the document's day bites above.
    (
        "I27 moved when dead",
        "UPDATE document SET at = '2026-04-12T00:00:00Z' WHERE kind = 'pick'",
    ),
    ("I23 list", "UPDATE claim SET why = 'free' WHERE why = 'pick'"),
];

/// A statement that gave no row over the sound history gives one once the tables break its rule.
#[test]
fn every_statement_bites() {
    let world = history();
    world.sound();
    let raw = world.raw();
    raw.execute_batch("PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON")
        .unwrap();
    let guards: Vec<String> = world
        .rows("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        .iter()
        .map(|row| row.text(0).unwrap())
        .collect();
    assert_eq!(guards.len(), 18);
    for guard in guards {
        raw.execute_batch(&format!("DROP TRIGGER {guard}")).unwrap();
    }
    raw.execute_batch("DROP INDEX balance_whole; DROP INDEX layer_average; DROP INDEX layer_own")
        .unwrap();
    let statements = statements();
    for (broken, change) in BITES {
        raw.execute_batch("BEGIN").unwrap();
        raw.execute_batch(change)
            .unwrap_or_else(|error| panic!("{change}: {error}"));
        let mut seen = Vec::new();
        for statement in statements
            .iter()
            .filter(|statement| statement.contains(&format!("'{broken}'")))
        {
            let mut prepared = raw.prepare(statement).unwrap();
            let rows = prepared.query_map([], |row| row.get::<_, String>(0)).unwrap();
            seen.extend(rows.map(Result::unwrap));
        }
        assert!(
            seen.iter().any(|found| found == broken),
            "{broken} does not see: {change}"
        );
        raw.execute_batch("ROLLBACK").unwrap();
    }
    // No statement is left out, and the second rule of a statement of two is bitten by its own line.
    for statement in &statements {
        assert!(
            BITES.iter().any(|(broken, _)| *broken == rule(statement)),
            "{}",
            rule(statement)
        );
    }
}
