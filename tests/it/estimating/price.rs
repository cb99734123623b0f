//! Prices, what a quantity comes to, and what a job's lines cost: figures worked out by hand.

use bincard::domain::estimating::cost::{LineCost, job_cost};
use bincard::domain::estimating::price::{Price, extended, price_for};
use bincard::domain::measure::{Currency, Day, Money, Qty};
use bincard::domain::stores::ids::{LineId, LotId, PartId, PlaceId};
use bincard::domain::stores::law::{Kind, Movement};
use bincard::domain::stores::posting::Entry;

fn gbp() -> Currency {
    Currency::parse("GBP").unwrap()
}

/// A price of a supplier: from a day, from a quantity, for one.
fn price(supplier: i64, from_day: &str, from_qty: &str, amount: &str, currency: &str) -> Price {
    Price {
        part: PartId(1),
        supplier: Some(PlaceId::of(Kind::Supplier, supplier)),
        from_day: Day::parse(from_day).unwrap(),
        from_qty: Qty::parse(from_qty).unwrap(),
        amount: Money::parse(amount).unwrap(),
        currency: Currency::parse(currency).unwrap(),
        quoted: None,
    }
}

#[test]
fn the_price_that_holds() {
    let prices = [
        price(1, "2026-01-05", "0", "2.35", "GBP"),
        price(1, "2026-01-05", "100", "2.05", "GBP"),
        price(1, "2026-12-01", "0", "2.60", "GBP"),
        price(2, "2026-03-01", "0", "2.30", "GBP"),
        price(3, "2026-01-01", "0", "0.10", "EUR"),
    ];
    for (day, qty, wanted) in [
        ("2026-01-04", "1", None),
        ("2026-01-05", "1", Some("2.35")),
        ("2026-02-28", "99.999999", Some("2.35")),
        ("2026-02-28", "100", Some("2.05")),
        ("2026-03-01", "1", Some("2.30")),
        ("2026-03-01", "100", Some("2.05")),
        // The first supplier's newer price counts for him, the dearer though it is; the other is lower.
        ("2026-12-01", "1", Some("2.30")),
    ] {
        let held = price_for(&prices, Day::parse(day).unwrap(), Qty::parse(qty).unwrap(), gbp());
        assert_eq!(
            held.map(|p| p.amount),
            wanted.map(|w| Money::parse(w).unwrap()),
            "{day} {qty}"
        );
    }
}

#[test]
fn what_a_quantity_comes_to() {
    for (qty, amount, wanted) in [
        ("0", "2.35", "0"),
        ("8", "18.40", "147.2"),
        // 1.1 ml of a bottle at 1.24 a ml, 0.3 ml: 1.364 and 0.372.
        ("1.1", "1.24", "1.364"),
        ("0.3", "1.24", "0.372"),
        // Half a millionth goes away from zero.
        ("0.5", "0.000001", "0.000001"),
        ("0.4", "0.000001", "0"),
    ] {
        let found = extended(Qty::parse(qty).unwrap(), Money::parse(amount).unwrap());
        assert_eq!(found, Money::parse(wanted).unwrap(), "{qty} at {amount}");
    }
}

/// One entry of a line: movement, kinds from and to, line that gives, line that receives, quantity, value.
fn entry(
    movement: Movement,
    from: Kind,
    to: Kind,
    lines: (Option<i64>, Option<i64>),
    qty: i64,
    value: i64,
) -> Entry {
    Entry {
        movement,
        lot: LotId(1),
        from: PlaceId::of(from, 1),
        to: PlaceId::of(to, 1),
        from_line: lines.0,
        to_line: lines.1,
        qty: Qty::whole(qty),
        value: Money::whole(value),
        layer: None,
    }
}

#[test]
fn a_job_costs_what_stands_on_its_lines_and_what_was_scrapped_from_them() {
    use Kind::{Engine, Kit, Receiving, Scrap, Shelf};
    let (line, none) = (Some(7), None);
    let mut entries = vec![
        entry(Movement::Pick, Shelf, Kit, (none, line), 10, 100),
        entry(Movement::Issue, Kit, Engine, (line, line), 6, 60),
        entry(Movement::Scrap, Engine, Scrap, (line, none), 1, 10),
        entry(Movement::Return, Engine, Receiving, (line, none), 1, 10),
        entry(Movement::PutBack, Kit, Shelf, (line, none), 2, 20),
    ];
    let cost = |entries: &[Entry]| job_cost(entries).remove(&LineId(7)).unwrap();
    let wanted = LineCost {
        in_kit: Qty::whole(2),
        in_kit_value: Money::whole(20),
        on_engine: Qty::whole(4),
        on_engine_value: Money::whole(40),
        scrapped: Qty::whole(1),
        scrapped_value: Money::whole(10),
    };
    assert_eq!(cost(&entries), wanted);
    assert_eq!(wanted.total(), Money::whole(70));
    // The job is closed: what was sold with the engine stays its cost.
    let mut sold = entry(Movement::Sold, Engine, Kind::Customer, (none, none), 0, 40);
    sold.qty = Qty::ZERO;
    entries.push(sold);
    assert_eq!(cost(&entries), wanted);
    // The scrapping is taken back: the piece stands on the engine again.
    entries.push(entry(Movement::Undo, Scrap, Engine, (none, line), 1, 10));
    let back = cost(&entries);
    assert_eq!(
        (back.on_engine, back.scrapped, back.total()),
        (Qty::whole(5), Qty::ZERO, Money::whole(70))
    );
}
