//! Which movement goes from where to where: part 2 of the law written out by hand, cell by cell.

use super::world::World;
use bincard::domain::stores::law::{KINDS, Kind, MOVEMENTS, Movement, Role, find, law_id, rows};
use bincard::domain::stores::stock::Method;
use std::collections::BTreeSet;

/// A row of the table of part 2: movement, where from, where to, which of them must be usable on the day, which may go
/// while held, whose decision. Kinds by their codes, as the law writes them.
struct Told {
    word: &'static str,
    pairs: &'static [(&'static [i64], &'static [i64])],
    fresh: Which,
    held: Which,
    who: Role,
}

/// For which ways a column says yes.
enum Which {
    All,
    None,
    /// Where the kind that receives is one of these.
    To(&'static [i64]),
    /// Where both sides are one and the same of these.
    Within(&'static [i64]),
    /// Where one side is this, the other making.
    Beside(i64),
}

use Role::{Clerk, Inspector, Manager};
use Which::{All, Beside, None, To, Within};

const HOUSE: &[i64] = &[1, 2, 3, 4, 5, 6, 7, 8];
const OPENED: &[i64] = &[1, 2, 3, 4, 6];
const COSTED: &[i64] = &[1, 2, 3, 4, 5, 6, 7, 8, 20, 32];
const LEFT: &[i64] = &[1, 2, 3, 4, 5, 6, 7, 8, 20];

macro_rules! told {
    ($word:literal, [$(($from:expr, $to:expr)),+], $fresh:expr, $held:expr, $who:expr) => {
        Told { word: $word, pairs: &[$(($from, $to)),+], fresh: $fresh, held: $held, who: $who }
    };
}

/// Part 2, row by row, 1 to 29.
const TOLD: [Told; 29] = [
    told!("book in", [(&[30, 31], &[1])], None, All, Clerk),
    told!("fitted early", [(&[30], &[20])], None, None, Manager),
    told!("accept", [(&[1, 4], &[2, 3])], All, None, Inspector),
    told!("quarantine", [(&[1, 2, 3, 6], &[4])], None, All, Clerk),
    told!("reject", [(&[1, 4], &[5])], None, All, Inspector),
    told!("send back", [(&[1, 2, 4, 5, 6, 7], &[30, 31])], None, All, Clerk),
    told!(
        "move",
        [(&[2, 3], &[2, 3]), (&[1], &[1]), (&[4], &[4]), (&[5], &[5])],
        None,
        Within(&[1, 4, 5]),
        Clerk
    ),
    told!("open", [(OPENED, &[33]), (&[33], OPENED)], None, Beside(4), Clerk),
    told!("make up", [(&[2, 3, 6], &[33]), (&[33], &[1])], All, None, Clerk),
    told!("pick", [(&[2, 3], &[6])], All, None, Clerk),
    told!("put back", [(&[6], &[2, 3])], All, None, Clerk),
    told!("rob", [(&[6], &[6])], All, None, Manager),
    told!("issue", [(&[6], &[20])], All, None, Clerk),
    told!("use", [(&[2, 3], &[20, 22])], All, None, Clerk),
    told!("return", [(&[20, 6], &[1])], None, All, Clerk),
    told!("take off", [(&[31], &[7]), (&[20], &[7, 1])], None, All, Clerk),
    told!("swap", [(&[20], &[20])], None, All, Inspector),
    told!("dispatch", [(&[2, 6], &[31])], All, None, Clerk),
    told!("scrap", [(LEFT, &[21])], None, All, Clerk),
    told!("loss", [(LEFT, &[32])], None, All, Clerk),
    told!("gain", [(&[32], HOUSE)], None, To(&[4, 5, 7, 8]), Clerk),
    told!(
        "late cost",
        [(&[30], COSTED), (COSTED, &[30])],
        None,
        All,
        Manager
    ),
    told!("restate", [(&[2], &[33]), (&[33], &[2])], None, All, Manager),
    told!("sold", [(&[20], &[31])], None, All, Manager),
    told!(
        "bring forward",
        [(&[34], &[1, 2, 3, 4])],
        To(&[2, 3]),
        To(&[1, 4]),
        Clerk
    ),
    told!("found fitted", [(&[31], &[20])], None, All, Inspector),
    told!("send out", [(&[1, 2, 4, 6], &[8])], None, None, Clerk),
    told!("back in", [(&[8], &[1])], None, All, Clerk),
    told!("take in", [(&[7], &[1])], None, All, Inspector),
];

impl Which {
    fn says(&self, from: i64, to: i64) -> bool {
        match self {
            All => true,
            None => false,
            To(kinds) => kinds.contains(&to),
            Within(kinds) => from == to && kinds.contains(&from),
            Beside(kind) => (from, to) == (*kind, 33) || (from, to) == (33, *kind),
        }
    }
}

/// Every way that part 2 knows: movement, from, to, usable, while held, whose.
pub fn ways() -> Vec<(i64, i64, i64, bool, bool, Role)> {
    let mut ways = Vec::new();
    for (code, told) in (1..).zip(&TOLD) {
        for (froms, tos) in told.pairs {
            for from in *froms {
                for to in *tos {
                    // Send out: "clerk (4: inspector)".
                    let who = if (code, *from) == (27, 4) {
                        Inspector
                    } else {
                        told.who
                    };
                    ways.push((
                        code,
                        *from,
                        *to,
                        told.fresh.says(*from, *to),
                        told.held.says(*from, *to),
                        who,
                    ));
                }
            }
        }
    }
    ways
}

/// "124 rows and 107 of undo" (part 2): the undo goes every pair the other way round.
#[test]
fn the_law_has_231_rows() {
    let ways = ways();
    let back: BTreeSet<(i64, i64)> = ways.iter().map(|(_, from, to, ..)| (*to, *from)).collect();
    assert_eq!(
        (ways.len(), back.len()),
        (124, 107),
        "as part 2 is written out above"
    );
    let (undo, done): (Vec<_>, Vec<_>) = rows().into_iter().partition(|row| row.movement == Movement::Undo);
    assert_eq!((done.len(), undo.len()), (124, 107));
    let undo: BTreeSet<(i64, i64)> = undo.iter().map(|row| (row.from.code(), row.to.code())).collect();
    assert_eq!(undo, back);
}

#[test]
fn every_movement_goes_where_part_2_says_and_nowhere_else() {
    let ways = ways();
    for (code, told) in (1..).zip(&TOLD) {
        let movement = Movement::from_code(code).unwrap();
        assert_eq!(movement.word(), told.word);
        for from in KINDS {
            for to in KINDS {
                let wanted = ways
                    .iter()
                    .find(|way| (way.0, way.1, way.2) == (code, from.code(), to.code()));
                let found = find(movement, from, to);
                let found =
                    found.map(|row| (code, from.code(), to.code(), row.fresh, row.while_held, row.who()));
                assert_eq!(found, wanted.copied(), "{movement} from {from} to {to}");
            }
        }
    }
    assert_eq!(MOVEMENTS.len(), 30, "and undo");
}

/// An undo asks nothing of day or hold by its row (part 5 says what it does).
#[test]
fn an_undo_goes_while_held_and_dead() {
    for row in rows().into_iter().filter(|row| row.movement == Movement::Undo) {
        assert!(row.while_held && !row.fresh, "{row:?}");
    }
}

/// Which movements respect claims: send back, make up, pick, use, dispatch and send out (parts 2 and 4.3).
#[test]
fn what_is_chosen_respects_claims() {
    let respects: Vec<i64> = MOVEMENTS
        .into_iter()
        .filter(|m| m.respects_claims())
        .map(Movement::code)
        .collect();
    assert_eq!(respects, [6, 9, 10, 14, 18, 27]);
}

/// The walls of part 1: in the house is below 20, may be owed is from 30.
#[test]
fn the_walls_of_part_1() {
    let codes = [1, 2, 3, 4, 5, 6, 7, 8, 20, 21, 22, 30, 31, 32, 33, 34];
    let words = "receiving shelf bench quarantine reject kit crate away engine scrap shop supplier customer counted making";
    assert_eq!(KINDS.map(Kind::code), codes);
    for (kind, word) in KINDS.into_iter().zip(words.split(' ').chain(["brought forward"])) {
        assert_eq!((kind.word(), kind.in_the_house()), (word, kind.code() <= 8));
        let place = super::world::place(kind, 7);
        assert_eq!(
            (place.kind(), place.may_be_owed()),
            (Some(kind), kind.code() >= 30)
        );
        assert_eq!(place.pickable(), kind.code() == 2 || kind.code() == 3);
    }
}

/// The table of a fresh store holds the same 231 rows.
#[test]
fn the_books_hold_the_same_rows() {
    let world = World::new(Method::Actual);
    let mut wanted: Vec<(i64, String, String, String, i64, i64, String)> = Vec::new();
    let word = |code| Kind::from_code(code).unwrap().word().to_owned();
    for (code, from, to, fresh, held, who) in ways() {
        let movement = TOLD[usize::try_from(code - 1).unwrap()].word.to_owned();
        wanted.push((
            code * 10_000 + from * 100 + to,
            movement,
            word(from),
            word(to),
            held.into(),
            fresh.into(),
            who.word().into(),
        ));
    }
    for (to, from) in ways().iter().map(|way| (way.1, way.2)).collect::<BTreeSet<_>>() {
        wanted.push((
            900_000 + from * 100 + to,
            "undo".into(),
            word(from),
            word(to),
            1,
            0,
            "clerk".into(),
        ));
    }
    wanted.sort();
    let rows =
        world.rows("SELECT id, movement, from_kind, to_kind, while_held, fresh, who FROM law ORDER BY id");
    let found: Vec<_> = rows
        .iter()
        .map(|row| {
            let text = |at| row.text(at).unwrap();
            (
                row.int(0).unwrap(),
                text(1),
                text(2),
                text(3),
                row.int(4).unwrap(),
                row.int(5).unwrap(),
                text(6),
            )
        })
        .collect();
    assert_eq!(found, wanted);
}

/// What the law does not know cannot be written, whichever of the 7,680 ways it is: the foreign key sees the number, and
/// the CHECK sees places that do not agree with it.
#[test]
fn the_books_refuse_every_other_way() {
    let mut world = World::new(Method::Actual);
    let lot = world.book_in(super::world::STUD, super::world::n(10), 60, Default::default());
    let lawful: BTreeSet<i64> = rows().iter().map(|row| row.id()).collect();
    let raw = world.raw();
    raw.execute_batch("BEGIN").unwrap();
    let mut write = raw
        .prepare(
            "INSERT INTO entry (id, document, law, lot, from_place, to_place, qty, value) \
             VALUES ((SELECT MAX(id) + 1 FROM entry), 2, ?1, ?2, ?3, ?4, ?5, 1)",
        )
        .unwrap();
    let mut tried = 0;
    for movement in MOVEMENTS {
        for from in KINDS {
            for to in KINDS {
                let law = law_id(movement, from, to);
                let (from, to) = (super::world::place(from, 1).0, super::world::place(to, 1).0);
                let wrote = write.execute((law, lot.0, from, to, 0)).is_ok();
                assert_eq!(wrote, lawful.contains(&law), "{law}");
                tried += 1;
            }
        }
    }
    assert_eq!(tried, 30 * 16 * 16);
    // Kinds that do not agree with the number: a lawful number between places of other kinds.
    assert!(
        write.execute((100_206, lot.0, 2_000_001, 20_000_001, 0)).is_err(),
        "pick onto an engine"
    );
    assert!(
        write.execute((100_206, lot.0, 1_000_001, 6_000_001, 0)).is_err(),
        "pick out of receiving"
    );
    assert!(write.execute((100_206, lot.0, 2_000_001, 6_000_001, 0)).is_ok());
}
