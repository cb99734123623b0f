//! Claims: part 4 of the law, rule by rule, boundaries first.

use super::acts::{Done, job_of, refused};
use super::world::*;
use bincard::domain::kitting::alter::Alter;
use bincard::domain::measure::Qty;
use bincard::domain::stores::document::DocKind;
use bincard::domain::stores::ids::{LineId, LotId, PlaceId};
use bincard::domain::stores::law::Movement;
use bincard::domain::stores::lot::NewLot;
use bincard::domain::stores::posting::Held;
use bincard::domain::stores::stock::Method;
use bincard::domain::stores::verbs::enter::Move;
use bincard::domain::stores::verbs::making::{Input, Output};

const ONE: i64 = 1_000_000;

fn world() -> World {
    World::new(Method::Actual)
}

fn expiring(after: i64) -> NewLot {
    NewLot {
        expiry: Some(day(after)),
        ..NewLot::default()
    }
}

/// 4.1, last words: judged on the latest of clock, document day and day of use; the last day itself is usable.
#[test]
fn a_lot_is_reserved_up_to_its_last_day() {
    // Blue is fitted on day 10. Expiry, document day, clock day, whether it may be reserved.
    let table = [
        (9, 0, 0, false),
        (10, 0, 0, true),
        (11, 0, 0, true),
        (11, 12, 0, false),
        (12, 12, 0, true),
        (11, 0, 12, false),
        (12, 0, 12, true),
        (12, -5, 12, true),
        (12, 13, 1, false),
    ];
    for (expiry, document, clock, may) in table {
        let mut world = world();
        let lot = world.shelved_as(STUD, n(10), 60, expiring(expiry));
        (world.day, world.today) = (day(document), day(clock));
        let done = world.reserve(line(BLUE, STUD), lot, n(1));
        assert_eq!(
            done.is_ok(),
            may,
            "expiry {expiry}, document {document}, clock {clock}: {done:?}"
        );
        if !may {
            refused(done, "is dead on");
        }
        world.sound();
    }
}

/// 4.1: the line's part, the owner house or the job's customer, a condition it allows, not on hold, free.
#[test]
fn a_lot_that_does_not_fit_is_not_reserved() {
    let mut world = world();
    let (blue, green) = (line(BLUE, STUD), line(GREEN, STUD));
    let theirs = world.shelved_as(
        STUD,
        n(10),
        0,
        NewLot {
            owner: Some(CUSTOMER),
            ..NewLot::default()
        },
    );
    refused(world.reserve(green, theirs, n(1)), "is not his job");
    world.reserve(blue, theirs, n(1)).unwrap();
    let used = world.shelved_as(
        STUD,
        n(10),
        60,
        NewLot {
            condition: "used".into(),
            ..NewLot::default()
        },
    );
    refused(world.reserve(blue, used, n(1)), "the line takes new");
    world
        .alter(BLUE, &[Alter::Allows(blue, ",new,used,".into())])
        .unwrap();
    world.reserve(blue, used, n(1)).unwrap();
    let wire = world.shelved(WIRE, n(10), 20);
    refused(world.reserve(blue, wire, n(1)), "the line wants STUD");
    let lot = world.shelved(STUD, n(10), 60);
    let hold = world.hold(Held::Lot(lot));
    refused(
        world.reserve(green, lot, n(1)),
        "is on hold: dropped on the floor",
    );
    world.lift(hold).unwrap();
    world.reserve(green, lot, n(1)).unwrap();
    world.sound();
}

/// 4.1: reserved + q ≤ pickable of the lot; nothing, one, the last one, one too many.
#[test]
fn no_more_is_reserved_than_may_be_picked() {
    let mut world = world();
    let lot = world.shelved(STUD, n(12), 72);
    let table = [
        (BLUE, 0, Err("quantity is nothing")),
        (BLUE, -1, Err("quantity is nothing")),
        (BLUE, 13, Err("takes no more than 10 each")),
        (BLUE, 10, Ok(())),
        (BLUE, 1, Err("is not short")),
        (GREEN, 3, Err("2 each free: reserved for J-0001 (blue)")),
        (GREEN, 2, Ok(())),
        (GREEN, 1, Err("0 each free")),
    ];
    for (job, qty, wanted) in table {
        let done = world.reserve(line(job, STUD), lot, n(qty));
        match wanted {
            Ok(()) => assert!(done.is_ok(), "{done:?}"),
            Err(words) => refused(done, words),
        }
    }
    assert_eq!(world.position(lot), (12 * ONE, 12 * ONE, 0));
    world.sound();
}

/// 4.1: a sized lot is claimed whole.
#[test]
fn a_set_is_reserved_whole() {
    let mut world = world();
    let set = world.shelved_as(
        PISTON,
        n(4),
        400,
        NewLot {
            size: Some(n(4)),
            ..NewLot::default()
        },
    );
    for part_of_it in [1, 3] {
        refused(
            world.reserve(line(BLUE, PISTON), set, n(part_of_it)),
            "moves only whole",
        );
    }
    world.reserve(line(BLUE, PISTON), set, n(4)).unwrap();
    world.sound();
}

/// 4.2 and part 10: 8 ml opened + one tube of 50 on a line of 12 ml stands (58 ≤ 61.999999); a second tube never does.
#[test]
fn an_opened_pack_by_measure_and_a_tube_whole() {
    let mut world = world();
    let tubes = world.shelved(SEALANT, n(150), 30);
    let opened = world.open_tube(tubes);
    let blue = line(BLUE, SEALANT);
    assert_eq!(
        world.number(&format!("SELECT most FROM job_line WHERE id = {blue}")),
        61_999_999
    );
    for broken in [1, 12, 49, 51] {
        refused(world.reserve(blue, tubes, n(broken)), "whole units of 50 ml");
    }
    refused(
        world.reserve(blue, tubes, n(100)),
        "takes no more than 61.999999 ml",
    );
    world.reserve(blue, opened, n(8)).unwrap();
    world.reserve(blue, tubes, n(50)).unwrap();
    assert_eq!(world.line(blue), [58 * ONE, 0, 0, 0]);
    refused(
        world.reserve(blue, opened, Qty::from_millionths(100_000)),
        "is not short",
    );
    world.sound();
    // Unopened stock is picked in whole ones too, an opened pack by measure.
    refused(world.pick(blue, tubes, n(12)), "whole units of 50 ml");
    world.pick(blue, opened, n(8)).unwrap();
    world.pick(blue, tubes, n(50)).unwrap();
    assert_eq!(world.line(blue), [0, 0, 58 * ONE, 0]);
    world.sound();
}

/// 4.2: pegs in whole hand-out units, never more than is still to come; a claim only while the line is short.
#[test]
fn what_is_still_to_come_is_promised_in_whole_units() {
    let mut world = world();
    let (blue, sealant) = (line(BLUE, SEALANT), order_line(1, SEALANT));
    refused(world.peg(blue, sealant, n(12)), "whole units of 50 ml");
    refused(
        world.peg(line(BLUE, STUD), sealant, n(10)),
        "SEALANT, the line wants STUD",
    );
    world.peg(blue, sealant, n(50)).unwrap();
    refused(world.peg(blue, sealant, n(50)), "is not short");
    world.peg(line(GREEN, SEALANT), sealant, n(50)).unwrap();
    world.peg(line(AMBER, SEALANT), sealant, n(50)).unwrap();
    assert_eq!(world.order(sealant), [0, 0, 150 * ONE]);
    let nuts = order_line(1, NUT);
    world
        .alter(BLUE, &[Alter::Need(line(BLUE, NUT), n(151))])
        .unwrap();
    refused(world.peg(line(BLUE, NUT), nuts, n(151)), "150 still to come");
    world.peg(line(BLUE, NUT), nuts, n(150)).unwrap();
    refused(world.peg(line(GREEN, NUT), nuts, n(1)), "0 still to come");
    world.sound();
}

/// What happens to ten studs, eight of them reserved for blue, and what of the eight is left reserved.
type Happening = (&'static str, fn(&mut World, LotId) -> Done, i64);

const HAPPENINGS: [Happening; 11] = [
    (
        "two in quarantine",
        |w, lot| take(w, Movement::Quarantine, lot, CAGE, 2),
        8,
    ),
    (
        "three in quarantine",
        |w, lot| take(w, Movement::Quarantine, lot, CAGE, 3),
        7,
    ),
    (
        "all in quarantine",
        |w, lot| take(w, Movement::Quarantine, lot, CAGE, 10),
        0,
    ),
    (
        "three scrapped",
        |w, lot| take(w, Movement::Scrap, lot, SCRAP, 3),
        7,
    ),
    ("three lost", |w, lot| take(w, Movement::Loss, lot, COUNTED, 3), 7),
    ("held", |w, lot| w.try_hold(Held::Lot(lot)), 0),
    ("the bin held", |w, _| w.try_hold(Held::Place(SHELF)), 0),
    (
        "need lowered",
        |w, _| w.alter(BLUE, &[Alter::Need(line(BLUE, STUD), n(5))]),
        5,
    ),
    (
        "choice dropped",
        |w, _| w.alter(BLUE, &[Alter::Drop(line(BLUE, STUD))]),
        0,
    ),
    ("cancelled", |w, _| w.cancel(BLUE), 0),
    (
        "conditions",
        |w, _| w.alter(BLUE, &[Alter::Allows(line(BLUE, STUD), ",used,".into())]),
        0,
    ),
];

/// 4.3: what has happened strips the claims it breaks, and only as many as it must.
#[test]
fn what_has_happened_strips_claims() {
    for (what, happens, left) in HAPPENINGS {
        let mut world = world();
        let lot = world.shelved(STUD, n(10), 60);
        world.reserve(line(BLUE, STUD), lot, n(8)).unwrap();
        happens(&mut world, lot).unwrap();
        assert_eq!(world.claimed(line(BLUE, STUD), lot), left * ONE, "{what}");
        world.sound();
    }
}

fn take(world: &mut World, movement: Movement, lot: LotId, to: PlaceId, qty: i64) -> Done {
    world.go(Move::new(movement, lot, SHELF, to, n(qty)))
}

/// 4.3: a day of use or a last day that is changed strips what would be dead; the day itself does not.
#[test]
fn a_changed_day_strips_what_would_be_dead() {
    for (use_day, last, left) in [(15, 15, 8), (16, 15, 0), (10, 10, 8), (10, 9, 0)] {
        let mut world = world();
        let lot = world.shelved_as(STUD, n(10), 60, expiring(15));
        let blue = line(BLUE, STUD);
        world.reserve(blue, lot, n(8)).unwrap();
        let done = if last == 15 {
            world.alter(BLUE, &[Alter::UseDay(day(use_day))])
        } else {
            world.relabel_expiry(lot, last)
        };
        done.unwrap();
        assert_eq!(world.claimed(blue, lot), left * ONE, "use {use_day}, last {last}");
        world.sound();
    }
}

/// 4.3: an order closed short sheds what can no longer come.
#[test]
fn an_order_closed_short_sheds_its_pegs() {
    let mut world = world();
    let studs = order_line(1, STUD);
    world.peg(line(BLUE, STUD), studs, n(10)).unwrap();
    world.peg(line(GREEN, STUD), studs, n(10)).unwrap();
    for (closed, pegged, green) in [(130, 20, 10), (131, 19, 9), (145, 5, 0)] {
        world.close_short(studs, n(closed)).unwrap();
        assert_eq!(
            (world.order(studs)[2], world.line(line(GREEN, STUD))[1]),
            (pegged * ONE, green * ONE),
            "{closed}"
        );
        world.sound();
    }
}

/// 4.3: what is chosen is refused: pick, use, make up, send out, send back, dispatch beyond what is free; named.
#[test]
fn what_is_chosen_leaves_reserved_goods_alone() {
    let mut world = world();
    let nuts = world.shelved(NUT, n(10), 10);
    world.reserve(line(BLUE, NUT), nuts, n(8)).unwrap();
    let chosen = |movement, to| Move::new(movement, nuts, SHELF, to, n(3));
    let acts = [
        chosen(Movement::Pick, kit(GREEN)).onto(line(GREEN, NUT)),
        chosen(Movement::Use, SHOP),
        chosen(Movement::Use, engine(GREEN)).onto(line(GREEN, NUT)),
        chosen(Movement::SendOut, PLATER),
        chosen(Movement::SendBack, SUPPLIER),
        chosen(Movement::Dispatch, CUSTOMER),
    ];
    for asked in acts {
        refused(
            world.go(asked),
            "3 each of lot L000001C asked for, 2 each free: reserved for J-0001 (blue)",
        );
        world
            .go(Move { qty: n(2), ..asked })
            .map(|done| world.undo(done).unwrap())
            .unwrap();
    }
    let spacer = Output {
        part: SPACER,
        qty: n(1),
        lot: NewLot::default(),
    };
    let three = Input {
        lot: nuts,
        place: SHELF,
        qty: n(3),
        line: None,
    };
    refused(
        world.make_up(&[three], spacer.clone()),
        "reserved for J-0001 (blue)",
    );
    world.make_up(&[Input { qty: n(2), ..three }], spacer).unwrap();
    refused(
        world.reserve(line(GREEN, NUT), nuts, n(1)),
        "reserved for J-0001 (blue)",
    );
    // The line's own claim may be picked, and no more: nothing is free any longer.
    refused(
        world.pick(line(BLUE, NUT), nuts, n(9)),
        "8 each there are in SHELF 1",
    );
    world.pick(line(BLUE, NUT), nuts, n(8)).unwrap();
    world.sound();
}

/// 4.4: a lot that can no longer bear its claims sheds the latest day of use first, then the highest line.
#[test]
fn the_latest_day_of_use_is_shed_first() {
    // Thirty studs for amber (day 30), blue (10), green (20); what is left after so many are in the cage.
    let table = [
        (1, [10, 10, 9]),
        (10, [10, 10, 0]),
        (11, [10, 9, 0]),
        (25, [5, 0, 0]),
        (30, [0, 0, 0]),
    ];
    for (caged, left) in table {
        let mut world = world();
        let lot = world.shelved(STUD, n(30), 180);
        for job in [AMBER, BLUE, GREEN] {
            world.reserve(line(job, STUD), lot, n(10)).unwrap();
        }
        take(&mut world, Movement::Quarantine, lot, CAGE, caged).unwrap();
        let found = [BLUE, GREEN, AMBER].map(|job| world.claimed(line(job, STUD), lot) / ONE);
        assert_eq!(found, left, "{caged} in the cage");
        world.sound();
    }
    // The same day: the highest line.
    let mut world = world();
    let lot = world.shelved(STUD, n(20), 120);
    for job in [GREEN, AMBER] {
        world.alter(job, &[Alter::UseDay(day(25))]).unwrap();
        world.reserve(line(job, STUD), lot, n(10)).unwrap();
    }
    take(&mut world, Movement::Loss, lot, COUNTED, 4).unwrap();
    assert_eq!(
        [GREEN, AMBER].map(|job| world.claimed(line(job, STUD), lot) / ONE),
        [10, 6]
    );
}

/// 4.4: a line sheds pegs first, then the lot that expires last; one without a last day is the last of all.
#[test]
fn a_line_sheds_pegs_then_what_expires_last() {
    let mut world = world();
    let soon = world.shelved_as(STUD, n(3), 18, expiring(40));
    let late = world.shelved_as(STUD, n(3), 18, expiring(90));
    let never = world.shelved(STUD, n(2), 12);
    let blue = line(BLUE, STUD);
    for (lot, qty) in [(late, 3), (never, 2), (soon, 3)] {
        world.reserve(blue, lot, n(qty)).unwrap();
    }
    world.peg(blue, order_line(1, STUD), n(2)).unwrap();
    for (need, [pegged, never_left, late_left, soon_left]) in [
        (9, [1, 2, 3, 3]),
        (8, [0, 2, 3, 3]),
        (7, [0, 1, 3, 3]),
        (5, [0, 0, 2, 3]),
        (2, [0, 0, 0, 2]),
        (0, [0, 0, 0, 0]),
    ] {
        world.alter(BLUE, &[Alter::Need(blue, n(need))]).unwrap();
        let found = [never, late, soon].map(|lot| world.claimed(blue, lot) / ONE);
        assert_eq!(
            (world.line(blue)[1] / ONE, found),
            (pegged, [never_left, late_left, soon_left]),
            "need {need}"
        );
        world.sound();
    }
}

/// 4.4: unopened lots and pegs shed whole hand-out units, sized lots all.
#[test]
fn tubes_and_sets_are_shed_whole() {
    let mut world = world();
    let tubes = world.shelved(SEALANT, n(100), 20);
    for job in [BLUE, GREEN] {
        world.reserve(line(job, SEALANT), tubes, n(50)).unwrap();
    }
    world
        .go(Move::new(Movement::Loss, tubes, SHELF, COUNTED, n(1)))
        .unwrap();
    assert_eq!(
        [BLUE, GREEN].map(|job| world.claimed(line(job, SEALANT), tubes) / ONE),
        [50, 0]
    );
    let set = world.shelved_as(
        PISTON,
        n(4),
        400,
        NewLot {
            size: Some(n(4)),
            ..NewLot::default()
        },
    );
    world.reserve(line(BLUE, PISTON), set, n(4)).unwrap();
    world
        .alter(BLUE, &[Alter::Need(line(BLUE, PISTON), n(3))])
        .unwrap();
    assert_eq!(world.claimed(line(BLUE, PISTON), set), 0);
    world.sound();
}

impl World {
    fn relabel_expiry(&mut self, lot: LotId, last: i64) -> Done {
        let head = self.head(DocKind::Change);
        let last = Some(day(last));
        self.act(
            |facts| facts.lot(lot),
            |stock| bincard::domain::stores::verbs::relabel::expiry(stock, head, lot, last, "by test"),
        )
    }

    fn close_short(&mut self, line: bincard::domain::stores::ids::OrderLineId, closed: Qty) -> Done {
        use bincard::domain::stores::{posting::Field, verbs::draft::Draft};
        let head = self.head(DocKind::Change);
        self.act(
            |facts| facts.order_line(line),
            |stock| {
                let mut draft = Draft::new(stock, head);
                draft.set_field(Field::OrderClosed, line.0, Some(closed.millionths().to_string()))?;
                draft.finish()
            },
        )
    }
}

/// The helpers of these tests name lines by job; a slip there would make every table above read the wrong line.
#[test]
fn lines_are_numbered_by_job() {
    let world = world();
    for (job, part) in [(BLUE, STUD), (GREEN, WIRE), (AMBER, NUT)] {
        let id: LineId = line(job, part);
        let row = &world.rows(&format!("SELECT job, part FROM job_line WHERE id = {id}"))[0];
        assert_eq!(
            (row.int(0).unwrap(), row.int(1).unwrap(), job_of(id)),
            (job.0, part.0, job)
        );
    }
}
