//! What is short and why: worked out by hand.

use super::shelves::{blue, day, qty, reserve_all};
use bincard::domain::kitting::shorts::{Short, shorts};
use bincard::domain::measure::Qty;
use bincard::domain::stores::ids::OrderLineId;
use bincard::domain::stores::posting::Held;
use bincard::domain::stores::supply::OrderLine;

/// The one short line of a job: short, reserved, free, on hold, in receiving.
fn figures(short: &Short) -> [Qty; 5] {
    [
        short.short,
        short.reserved,
        short.free,
        short.on_hold,
        short.receiving,
    ]
}

/// Lots, then short, free, on hold, in receiving, and the lots that are dead by then; ten are needed.
type Stands = (
    &'static [&'static str],
    [&'static str; 4],
    &'static [&'static str],
);

const STANDS: [Stands; 9] = [
    (&[], ["10", "0", "0", "0"], &[]),
    (&["A 3"], ["10", "3", "0", "0"], &[]),
    (&["A 3 exp 2026-12-02"], ["10", "3", "0", "0"], &[]),
    (
        &["A 3 exp 2026-12-01"],
        ["10", "0", "0", "0"],
        &["A 3 2026-12-01"],
    ),
    (&["A 3 held", "B 2"], ["10", "2", "3", "0"], &[]),
    (&["A 3 IN", "B 2 IN"], ["10", "0", "0", "5"], &[]),
    // In receiving, but dead by then: no help.
    (&["A 3 IN exp 2026-12-01"], ["10", "0", "0", "0"], &[]),
    // Another customer's, or overhauled: not for this line, wherever it lies and whenever it dies.
    (
        &[
            "A 3 Tow",
            "B 3 Tow IN",
            "C 3 overhauled",
            "D 3 Tow exp 2026-12-01",
            "E 3 Tow held",
        ],
        ["10", "0", "0", "0"],
        &[],
    ),
    (&["A 3 CAGE"], ["10", "0", "0", "0"], &[]),
];

#[test]
fn the_reasons_behind_a_short_line() {
    for (lots, [short, free, on_hold, receiving], dead) in STANDS {
        let (shelves, job, ..) = blue("10", lots);
        let found = shorts(&shelves.stock, &[job]).unwrap().remove(0);
        let wanted = [short, "0", free, on_hold, receiving].map(qty);
        assert_eq!(figures(&found), wanted, "{lots:?}");
        let named: Vec<String> = found
            .dead
            .iter()
            .map(|(lot, qty, last)| format!("{} {qty} {last}", shelves.names[lot]))
            .collect();
        assert_eq!(named, *dead, "{lots:?}");
    }
}

#[test]
fn a_bin_on_hold_counts_as_on_hold() {
    let (mut shelves, job, ..) = blue("10", &["A 3 A-1 B-1:2"]);
    shelves.hold(Held::Place(shelves.at("A-1")), "bin not found");
    let found = shorts(&shelves.stock, &[job]).unwrap().remove(0);
    assert_eq!(figures(&found), ["10", "0", "2", "3", "0"].map(qty));
}

#[test]
fn passing_time_makes_a_line_short() {
    // Reserved to its last day, 2026-12-03; the day after, what is reserved counts as short though nobody wrote a word.
    let (mut shelves, job, line, _) = blue("3", &["A 3 exp 2026-12-03"]);
    reserve_all(&mut shelves, &[job]);
    for (today, wanted) in [
        ("2026-12-03", None),
        ("2026-12-04", Some(["3", "0", "0", "0", "0"])),
    ] {
        shelves.stock.today = day(today);
        let found = shorts(&shelves.stock, &[job]).unwrap();
        assert_eq!(
            found.first().map(figures),
            wanted.map(|all| all.map(qty)),
            "{today}"
        );
    }
    assert_eq!(shelves.stock.lines[&line].reserved, qty("3"));
}

#[test]
fn what_is_promised_to_others_is_not_still_to_come() {
    let (mut shelves, job, _, part) = blue("10", &[]);
    let order = |id, number: &str, ordered, closed, accepted, pegged| OrderLine {
        id: OrderLineId(id),
        order: number.to_owned(),
        part,
        ordered: qty(ordered),
        closed: qty(closed),
        arrived: Qty::ZERO,
        accepted: qty(accepted),
        pegged: qty(pegged),
        promised: Some(day("2026-11-30")),
    };
    for line in [
        order(1, "ORD-1", "20", "5", "4", "3"),
        order(2, "ORD-2", "4", "0", "0", "4"),
        order(3, "ORD-3", "4", "4", "0", "0"),
    ] {
        shelves.stock.orders.insert(line.id, line);
    }
    let found = shorts(&shelves.stock, &[job]).unwrap().remove(0);
    // 20 ordered, 5 closed short, 4 accepted, 3 promised: 8 to come; the others have nothing left.
    let wanted = ("ORD-1".to_owned(), qty("8"), Some(day("2026-11-30")));
    assert_eq!(found.on_order, vec![wanted]);
}
