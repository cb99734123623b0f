//! The cost layers held to published examples: `tests/facts/cost_layers.toml`.

use super::world::*;
use bincard::domain::measure::rounding::{Rule, divide};
use bincard::domain::measure::{Money, Qty};
use bincard::domain::stores::law::Movement;
use bincard::domain::stores::stock::Method;
use bincard::domain::stores::verbs::enter::Move;
use rust_decimal::Decimal;
use toml::{Table, Value};

const FACTS: &str = include_str!(concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/tests/facts/cost_layers.toml"
));

/// Figures that these tests leave alone, and why.
const LEFT_ALONE: [(&str, &str); 7] = [
    (
        "periodic_average",
        "the average of a whole period is not how the stores price",
    ),
    ("periodic_issued_total", "as above"),
    ("periodic_value_left", "as above"),
    (
        "moving_average_after_receipts",
        "no unit cost is ever stored: value and quantity are, and they are compared",
    ),
    (
        "moving_issued_total_rounded",
        "rounding is for print, the total itself is compared",
    ),
    ("moving_value_left_rounded", "as above"),
    (
        "receipts_value",
        "what the case itself adds up; the sum is compared by what is issued and left",
    ),
];

/// Figures of the cases that are compared.
const COMPARED: [&str; 10] = [
    "fifo_issues",
    "fifo_issued_total",
    "fifo_layers_left",
    "fifo_value_left",
    "moving_issues",
    "moving_issued_total",
    "moving_value_left",
    "quantity_left",
    "issue_values",
    "value_left",
];

fn cases() -> Vec<Table> {
    let file: Table = FACTS.parse().expect("the fact file is TOML");
    let cases: Vec<Table> = file["case"]
        .as_array()
        .unwrap()
        .iter()
        .map(|case| case.as_table().unwrap().clone())
        .collect();
    for case in &cases {
        assert!(
            case["source"].as_str().is_some_and(|source| !source.is_empty()),
            "{case:?} names no source"
        );
    }
    cases
}

fn money(value: &Value) -> Money {
    let text = value.as_str().unwrap();
    Money::from_decimal(text.parse::<Decimal>().unwrap()).unwrap()
}

fn moneys(value: &Value) -> Vec<Money> {
    value.as_array().unwrap().iter().map(money).collect()
}

/// Drives the events over real shelves; what each issue drew, what is left in value and in quantity.
fn drive(method: Method, events: &Value) -> (World, Vec<Money>) {
    let mut world = World::new(method);
    let mut lots = Vec::new();
    let mut drawn = Vec::new();
    for event in events.as_array().unwrap() {
        let event = event.as_array().unwrap();
        let qty = n(event[1].as_integer().unwrap());
        if event[0].as_str() == Some("in") {
            let price: Decimal = event[2].as_str().unwrap().parse().unwrap();
            let value = Money::from_decimal(price * qty.to_decimal()).unwrap();
            lots.push(world.received(qty, value));
        } else {
            drawn.push(issue(&mut world, &lots, qty));
        }
    }
    (world, drawn)
}

/// Scraps from the newest lots back, because which lot leaves must not matter to either method; the value drawn.
fn issue(world: &mut World, lots: &[bincard::domain::stores::ids::LotId], qty: Qty) -> Money {
    let mut left = qty;
    let mut moves = Vec::new();
    for lot in lots.iter().rev() {
        let take = Qty::from_millionths(world.at(*lot, SHELF).0).min(left);
        if take.is_positive() {
            moves.push(Move::new(Movement::Scrap, *lot, SHELF, SCRAP, take));
            left -= take;
        }
    }
    let head = world.head(bincard::domain::stores::document::DocKind::Movement(
        Movement::Scrap,
    ));
    let done = world.moves(head, &moves).unwrap();
    Money::from_millionths(world.number(&format!("SELECT SUM(value) FROM entry WHERE document = {done}")))
}

impl World {
    /// Studs booked in at a value and accepted.
    fn received(&mut self, qty: Qty, value: Money) -> bincard::domain::stores::ids::LotId {
        let birth = bincard::domain::stores::verbs::birth::Birth {
            movement: Movement::BookIn,
            part: STUD,
            lot: Default::default(),
            from: SUPPLIER,
            to: RECEIVING,
            qty,
            value,
            line: None,
        };
        let lot = self.bear(birth).unwrap().1;
        self.accept(lot, qty).unwrap();
        lot
    }
}

/// Whether two figures agree: to a millionth for each draw that went into them, as each may be rounded.
fn agree(found: Money, wanted: Money, draws: usize) -> bool {
    (found - wanted).millionths().unsigned_abs() <= u64::try_from(draws).unwrap()
}

#[test]
fn every_published_case_comes_out() {
    let cases = cases();
    assert_eq!(cases.len(), 11);
    let mut compared = 0;
    for case in &cases {
        let (id, expected) = (case["id"].as_str().unwrap(), case["expected"].as_table().unwrap());
        for key in expected.keys() {
            let known = COMPARED.contains(&key.as_str()) || LEFT_ALONE.iter().any(|(left, _)| left == key);
            assert!(known, "{id}: nobody looks at {key}");
        }
        compared += if id.starts_with("residual") {
            residual(case)
        } else {
            layered(id, case, expected)
        };
    }
    // Nine of FIFO or average: seven name FIFO issues, eight name moving ones; two residuals.
    assert_eq!(compared, 7 + 8 + 2);
}

fn layered(id: &str, case: &Table, expected: &Table) -> usize {
    let events = &case["inputs"]["events"];
    let quantity = expected["quantity_left"].as_integer().unwrap() * 1_000_000;
    let mut compared = 0;
    for (method, issues, total, left) in [
        (
            Method::Fifo,
            "fifo_issues",
            "fifo_issued_total",
            "fifo_value_left",
        ),
        (
            Method::Average,
            "moving_issues",
            "moving_issued_total",
            "moving_value_left",
        ),
    ] {
        let Some(wanted) = expected.get(issues).map(moneys) else {
            continue;
        };
        let (world, drawn) = drive(method, events);
        assert_eq!(drawn.len(), wanted.len(), "{id}");
        for (found, wanted) in drawn.iter().zip(&wanted) {
            // Exact by age; a moving draw of two lots is rounded twice.
            let draws = if method == Method::Fifo { 0 } else { 2 };
            assert!(
                agree(*found, *wanted, draws),
                "{id} {method:?}: {found}, published {wanted}"
            );
        }
        let layers = world.layers(STUD);
        let value: i64 = layers.iter().map(|layer| layer.1).sum();
        assert_eq!(layers.iter().map(|layer| layer.0).sum::<i64>(), quantity, "{id}");
        let draws = if method == Method::Fifo {
            0
        } else {
            2 * wanted.len()
        };
        assert!(
            agree(drawn.iter().sum(), money(&expected[total]), draws),
            "{id} {method:?} in total"
        );
        assert!(
            agree(Money::from_millionths(value), money(&expected[left]), draws),
            "{id} {method:?}: {value} left"
        );
        if method == Method::Fifo {
            let wanted = expected["fifo_layers_left"]
                .as_array()
                .unwrap()
                .iter()
                .map(|layer| {
                    let qty = layer[0].as_integer().unwrap();
                    (qty * 1_000_000, money(&layer[1]).millionths() * qty)
                });
            assert_eq!(layers, wanted.collect::<Vec<_>>(), "{id}");
        }
        world.sound();
        compared += 1;
    }
    compared
}

/// Issues rounded to the cent, half to even, by the domain's own rounding; and, as must hold under any rule, what the
/// store draws adds back to the receipt to the last millionth.
fn residual(case: &Table) -> usize {
    let (inputs, expected) = (&case["inputs"], &case["expected"]);
    let total = money(&inputs["receipt_total"]);
    let issues: Vec<i64> = inputs["issues"]
        .as_array()
        .unwrap()
        .iter()
        .map(|qty| qty.as_integer().unwrap())
        .collect();
    let (mut cents, mut qty) = (
        total.millionths() / 10_000,
        inputs["quantity"].as_integer().unwrap(),
    );
    let mut values = Vec::new();
    for issue in &issues {
        let value = divide(
            i128::from(cents) * i128::from(*issue),
            i128::from(qty),
            Rule::HalfEven,
        );
        let value = i64::try_from(value).unwrap();
        values.push(Money::from_millionths(value * 10_000));
        (cents, qty) = (cents - value, qty - issue);
    }
    assert_eq!(values, moneys(&expected["issue_values"]));
    assert_eq!(
        (cents, money(&expected["value_left"]), qty),
        (0, Money::ZERO, expected["quantity_left"].as_integer().unwrap())
    );
    for method in [Method::Actual, Method::Fifo, Method::Average] {
        let mut world = World::new(method);
        let lot = world.received(n(inputs["quantity"].as_integer().unwrap()), total);
        let drawn: Vec<Money> = issues
            .iter()
            .map(|qty| issue(&mut world, &[lot], n(*qty)))
            .collect();
        assert_eq!(drawn.iter().sum::<Money>(), total);
        assert_eq!(world.number("SELECT SUM(value) + SUM(qty) FROM layer"), 0);
        world.sound();
    }
    1
}
