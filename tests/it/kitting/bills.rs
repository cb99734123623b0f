//! A bill, its choices and what they come to: sums worked out by hand.

use super::shelves::{Shelves, qty};
use bincard::domain::kitting::bill::{Bill, BillLine, LineKind, Per};
use bincard::domain::kitting::expand::{Expanded, Model, expand};
use bincard::domain::measure::Unit;
use bincard::domain::refusal::Refusal;
use bincard::domain::stores::ids::{BillId, PartId};
use bincard::domain::stores::part::Part;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// A line: kind, part, quantity, per what, choice of the group `route` or empty, text.
type Said = (LineKind, i64, &'static str, Per, &'static str, &'static str);

const LINES: [Said; 8] = [
    (LineKind::Part, 1, "1", Per::Cylinder, "spacer", ""),
    (LineKind::Part, 1, "2", Per::Engine, "", ""),
    (LineKind::Part, 2, "0.02", Per::Cylinder, "spacer", ""),
    (LineKind::Part, 2, "0.01", Per::Carburettor, "", ""),
    (LineKind::Part, 3, "4", Per::Cylinder, "piston", ""),
    (
        LineKind::TakeOff,
        3,
        "1",
        Per::Cylinder,
        "spacer",
        "not used again",
    ),
    (LineKind::Labour, 0, "9.5", Per::Engine, "spacer", "fit spacers"),
    (LineKind::Note, 0, "0", Per::Engine, "", "the manual rules"),
];

/// Joints by the piece, glue in steps of 0.05 ml, pins by the piece.
fn parts() -> BTreeMap<PartId, Part> {
    let mut shelves = Shelves::on("2026-11-25");
    shelves.part("JOINT", Unit::Each, "1", "");
    shelves.part("GLUE", Unit::Millilitre, "0.05", "10");
    shelves.part("PIN", Unit::Each, "1", "");
    shelves.stock.parts
}

fn bill(lines: &[Said]) -> Bill {
    let line = |(n, said): (i64, &Said)| {
        let (kind, part, amount, per, choice, text) = *said;
        BillLine {
            n,
            kind,
            part: (part > 0).then_some(PartId(part)),
            qty: qty(amount).to_decimal(),
            per,
            waste_pct: Decimal::ZERO,
            choice: (!choice.is_empty()).then(|| ("route".to_owned(), choice.to_owned())),
            text: (!text.is_empty()).then(|| text.to_owned()),
        }
    };
    Bill {
        id: BillId(1),
        part: PartId(9),
        number: "TC".to_owned(),
        name: "conversion".to_owned(),
        revision: "A".to_owned(),
        fits: vec!["W28".to_owned()],
        data_source: "manual".to_owned(),
        lines: (1..).zip(lines).map(line).collect(),
        subs: BTreeMap::new(),
    }
}

fn model(number: &str, counts: &[(&str, &str)]) -> Model {
    Model {
        number: number.to_owned(),
        counts: counts
            .iter()
            .map(|(what, many)| ((*what).to_owned(), qty(many)))
            .collect(),
    }
}

const FOUR_AND_TWO: [(&str, &str); 2] = [("cylinders", "4"), ("carburettors", "2")];

fn asked(choices: &[&str]) -> Vec<(String, String)> {
    choices
        .iter()
        .map(|choice| ("route".to_owned(), (*choice).to_owned()))
        .collect()
}

fn expanded(lines: &[Said], choice: &str, model: &Model) -> Result<Expanded, Refusal> {
    let bill = bill(lines);
    expand(&bill, &bill.choose(&asked(&[choice]))?, model, &parts())
}

/// Part, quantity and the sum behind it.
fn told(expanded: &Expanded) -> Vec<String> {
    let needs = expanded.needs.iter();
    needs
        .map(|need| format!("{} {} = {}", need.part.number, need.qty, need.how))
        .collect()
}

#[test]
fn each_part_once_with_the_sum_behind_it() {
    let spacer = expanded(&LINES, "spacer", &model("W28", &FOUR_AND_TWO)).unwrap();
    assert_eq!(
        told(&spacer),
        [
            // 1 × 4 + 2; 0.02 × 4 + 0.01 × 2 = 0.10, two steps of 0.05.
            "JOINT 6 = 1 per cylinder × 4 + 2 per engine",
            "GLUE 0.1 = 0.02 per cylinder × 4 + 0.01 per carburettor × 2",
        ]
    );
    assert_eq!(spacer.take_off.len(), 1);
    assert_eq!(spacer.take_off[0].qty, qty("4"));
    assert_eq!(spacer.all_hours().to_string(), "9.5");
    assert_eq!(spacer.notes, ["the manual rules"]);
    let piston = expanded(&LINES, "piston", &model("W28", &FOUR_AND_TWO)).unwrap();
    assert_eq!(
        told(&piston),
        [
            "JOINT 2 = 2 per engine",
            "GLUE 0.05 = 0.01 per carburettor × 2",
            "PIN 16 = 4 per cylinder × 4",
        ]
    );
    assert!(piston.take_off.is_empty() && piston.hours.is_empty());
}

/// Glue per engine on one or two lines, and what is needed in steps of 0.05 ml.
const DROPS: [(&[&str], &str, &str); 6] = [
    (&["0.05"], "0.05", "0.05"),
    (&["0.050001"], "0.1", "0.050001"),
    (&["0.000001"], "0.05", "0.000001"),
    // Rounded once: two drops of 0.02 are 0.04, one step, where each alone would be a step.
    (&["0.02", "0.02"], "0.05", "0.04"),
    (&["0.03", "0.03"], "0.1", "0.06"),
    (&["0.025", "0.025"], "0.05", "0.05"),
];

#[test]
fn drops_add_up_before_they_are_rounded() {
    for (drops, wanted, exact) in DROPS {
        let choice = (LineKind::Part, 3, "1", Per::Engine, "spacer", "");
        let glue = |drop: &&'static str| (LineKind::Part, 2, *drop, Per::Engine, "", "");
        let lines: Vec<Said> = drops.iter().map(glue).chain([choice]).collect();
        let expanded = expanded(&lines, "spacer", &model("W28", &[])).unwrap();
        let need = &expanded.needs[0];
        assert_eq!(
            (need.qty, need.exact),
            (qty(wanted), qty(exact).to_decimal()),
            "{drops:?}"
        );
    }
}

#[test]
fn what_does_not_fit_or_is_not_counted_is_refused() {
    let other = expanded(&LINES, "spacer", &model("L32", &FOUR_AND_TWO)).unwrap_err();
    assert_eq!(other.to_string(), "TC on L32: its bill fits W28");
    let uncounted = expanded(&LINES, "spacer", &model("W28", &[("cylinders", "4")])).unwrap_err();
    assert_eq!(
        uncounted.to_string(),
        "quantity per carburettor: the carburettors of W28 are not given"
    );
    let none = expanded(
        &LINES,
        "spacer",
        &model("W28", &[("cylinders", "0"), ("carburettors", "2")]),
    );
    assert_eq!(none.unwrap_err().to_string(), "line 1 of JOINT: 0 is no quantity");
}

/// The choices asked for, and the choices taken or the words of the refusal.
const CHOICES: [(&[&str], Result<&str, &str>); 6] = [
    (&["spacer"], Ok("route=spacer")),
    (&["piston"], Ok("route=piston")),
    (&[], Err("the bill leaves route open: spacer or piston")),
    (
        &["spacer", "piston"],
        Err("route is chosen twice: spacer and piston"),
    ),
    (
        &["piston", "piston"],
        Err("route is chosen twice: piston and piston"),
    ),
    (
        &["magic"],
        Err("the bill has no choice route=magic; it has route=spacer, route=piston"),
    ),
];

#[test]
fn exactly_one_of_each_group() {
    let bill = bill(&LINES);
    let groups = vec![("route".to_owned(), vec!["spacer".to_owned(), "piston".to_owned()])];
    assert_eq!(bill.groups(), groups);
    for (choices, wanted) in CHOICES {
        let found = bill.choose(&asked(choices));
        let found = found
            .map(|choices| choices.to_string())
            .map_err(|no| no.to_string());
        assert_eq!(
            found,
            wanted.map(str::to_owned).map_err(str::to_owned),
            "{choices:?}"
        );
    }
    let ways: Vec<String> = bill.ways().iter().map(ToString::to_string).collect();
    assert_eq!(ways, ["route=spacer", "route=piston"]);
}
