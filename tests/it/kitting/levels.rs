//! Bills of several levels, waste, and the faults that bills have: `tests/facts/bills.toml` and sums by hand.

use super::shelves::{Shelves, qty};
use bincard::domain::kitting::bill::{Bill, BillLine, Choices, LineKind, Per, pair};
use bincard::domain::kitting::bill_faults::{BillFacts, bill_faults};
use bincard::domain::kitting::expand::{Expanded, Model, expand};
use bincard::domain::kitting::web::{Loop, Web};
use bincard::domain::measure::{Qty, Unit};
use bincard::domain::stores::ids::{BillId, PartId};
use bincard::domain::stores::part::Part;
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use toml::Table;

/// A case of the facts.
fn case(id: &str) -> Table {
    let file: Table = include_str!("../../facts/bills.toml").parse().unwrap();
    let cases = file["case"].as_array().unwrap();
    let found = cases.iter().find(|case| case["id"].as_str() == Some(id));
    found.unwrap().as_table().unwrap().clone()
}

/// A whole number that a case expects.
fn whole(value: &toml::Value) -> Qty {
    Qty::whole(value.as_integer().unwrap())
}

/// Parts by number in the order given: kept by the piece, in ml where the name says so, a phantom in brackets.
struct World {
    parts: BTreeMap<PartId, Part>,
    bills: BTreeMap<String, Bill>,
}

impl World {
    fn of(numbers: &[&str]) -> World {
        let mut shelves = Shelves::on("2026-11-25");
        for number in numbers {
            let (unit, step) = if number.ends_with("-ML") {
                (Unit::Millilitre, "0.1")
            } else {
                (Unit::Each, "1")
            };
            let id = shelves.part(number.trim_matches(['(', ')']), unit, step, "");
            if number.starts_with('(') {
                "phantom".clone_into(&mut shelves.stock.parts.get_mut(&id).unwrap().class);
            }
        }
        World {
            parts: shelves.stock.parts,
            bills: BTreeMap::new(),
        }
    }

    fn id(&self, number: &str) -> PartId {
        let found = self.parts.values().find(|part| part.number == number);
        // The conversion itself is no part of any bill; anything else unknown is in no books.
        let elsewhere = if number == "TC" { 999 } else { 998 };
        found.map_or(PartId(elsewhere), |part| part.id)
    }

    /// A bill from lines such as `2 RING cylinder route=spacer 5%`.
    fn bill(&mut self, number: &str, lines: &[&str]) -> &mut World {
        let lines = (1..).zip(lines).map(|(n, said)| self.line(n, said)).collect();
        let bill = Bill {
            id: BillId(self.bills.len() as i64 + 1),
            part: self.id(number),
            number: number.to_owned(),
            name: number.to_lowercase(),
            revision: "A".to_owned(),
            fits: vec!["W28".to_owned()],
            data_source: "manual".to_owned(),
            lines,
            subs: BTreeMap::new(),
        };
        self.bills.insert(number.to_owned(), bill);
        self
    }

    fn line(&self, n: i64, said: &str) -> BillLine {
        let mut line = BillLine {
            n,
            kind: LineKind::Part,
            part: None,
            qty: Decimal::ZERO,
            per: Per::Engine,
            waste_pct: Decimal::ZERO,
            choice: None,
            text: None,
        };
        for word in said.split(' ') {
            if let Some(kind) = LineKind::from_word(word) {
                line.kind = kind;
            } else if let Some(per) = Per::from_word(word) {
                line.per = per;
            } else if let Some(percent) = word.strip_suffix('%') {
                line.waste_pct = percent.parse().unwrap();
            } else if let Some(choice) = pair(word) {
                line.choice = Some(choice);
            } else if let Ok(figure) = word.parse::<Decimal>() {
                line.qty = figure;
            } else {
                line.part = Some(self.id(word));
            }
        }
        line
    }

    /// The conversion's bill with every other bill below it.
    fn top(&self) -> Bill {
        let mut top = self.bills["TC"].clone();
        let below = self.bills.values().filter(|bill| bill.number != "TC");
        top.subs = below.map(|bill| (bill.part, bill.clone())).collect();
        top
    }

    fn expanded(&self, choices: &[&str]) -> Result<Expanded, String> {
        let top = self.top();
        let asked: Vec<_> = choices.iter().filter_map(|text| pair(text)).collect();
        let chosen = top.choose(&asked).map_err(|refusal| refusal.to_string())?;
        expand(&top, &chosen, &four(), &self.parts).map_err(|refusal| refusal.to_string())
    }

    fn need(&self, expanded: &Expanded, number: &str) -> Qty {
        let found = expanded.needs.iter().find(|need| need.part.number == number);
        found.map_or(Qty::ZERO, |need| need.qty)
    }
}

/// A model of four cylinders and six joints.
fn four() -> Model {
    Model {
        number: "W28".to_owned(),
        counts: [("cylinders", "4"), ("joints", "6")]
            .map(|(name, many)| (name.to_owned(), qty(many)))
            .into(),
    }
}

#[test]
fn lines_per_engine_and_per_cylinder() {
    let expected = &case("bom-1")["expected"];
    let mut world = World::of(&["SPACER", "RING", "STUD", "SEAL-ML"]);
    let lines = [
        "1 SPACER cylinder",
        "2 RING cylinder",
        "8 STUD engine",
        "1.5 SEAL-ML cylinder",
    ];
    let one = world.bill("TC", &lines).expanded(&[]).unwrap();
    // The case is of two engines, and a kit is of one.
    for (part, name) in [("SPACER", "spacer"), ("RING", "oring"), ("STUD", "stud")] {
        let need = world.need(&one, part);
        assert_eq!(need + need, whole(&expected[name]), "{part}");
    }
    let sealant = world.need(&one, "SEAL-ML");
    assert_eq!((sealant + sealant).to_string(), "12");
    assert_eq!(expected["sealant_ml"].as_float(), Some(12.0));
}

#[test]
fn a_phantom_is_driven_through() {
    let expected = &case("bom-phantom-1")["expected"];
    let mut world = World::of(&["SPACER", "RING", "(SET)"]);
    world.bill("TC", &["1 SET cylinder", "1 RING joint"]);
    world.bill("SET", &["1 SPACER assembly", "2 RING assembly"]);
    let expanded = world.expanded(&[]).unwrap();
    assert_eq!(world.need(&expanded, "SPACER"), whole(&expected["need_spacer"]));
    // Beside the case's 8 o-rings one for each of six joints.
    let ring = world.need(&expanded, "RING");
    assert_eq!(ring, whole(&expected["need_oring"]) + Qty::whole(6));
    assert_eq!(
        whole(&expected["need_oring"]) - Qty::whole(5),
        whole(&expected["short_oring"])
    );
    assert_eq!(world.need(&expanded, "SET"), Qty::ZERO);
    let how = expanded
        .needs
        .iter()
        .map(|need| need.how.as_str())
        .collect::<Vec<_>>();
    assert_eq!(
        how,
        [
            "1 per assembly × 4 SET",
            "1 per joint × 6 + 2 per assembly × 4 SET"
        ]
    );
    let levels: Vec<_> = expanded
        .tree
        .iter()
        .map(|step| (step.level, step.role.word()))
        .collect();
    assert_eq!(
        levels,
        [(1, "phantom"), (2, "goes on"), (2, "goes on"), (1, "goes on")]
    );
}

/// Net quantity, waste in percent, the part, and what is needed.
const WASTE: [(&str, &str, &str, &str); 5] = [
    // bom-scrap-1 and the millilitres of its source: 8 × 1.05 = 8.4.
    ("8", "5%", "RING", "9"),
    ("8", "5%", "SEAL-ML", "8.4"),
    // bom-scrap-2: 16 × 1.05 = 16.8.
    ("16", "5%", "RING", "17"),
    // 20 × 1.05 = 21, nothing to round.
    ("20", "5%", "RING", "21"),
    ("8", "0%", "RING", "8"),
];

#[test]
fn waste_is_added_before_anything_is_rounded() {
    assert_eq!(whole(&case("bom-scrap-1")["expected"]), qty(WASTE[0].3));
    assert_eq!(whole(&case("bom-scrap-2")["expected"]), qty(WASTE[2].3));
    for (net, waste, part, wanted) in WASTE {
        let mut world = World::of(&["RING", "SEAL-ML"]);
        let line = format!("{net} {part} engine {waste}");
        let expanded = world.bill("TC", &[&line]).expanded(&[]).unwrap();
        assert_eq!(world.need(&expanded, part), qty(wanted), "{line}");
    }
    let mut world = World::of(&["RING"]);
    let expanded = world.bill("TC", &["2 RING cylinder 5%"]).expanded(&[]).unwrap();
    assert_eq!(expanded.needs[0].how, "2 per cylinder × 4 × 1.05 (5 % waste)");
    assert_eq!(expanded.needs[0].exact.to_string(), "8.40");
}

#[test]
fn four_levels_made_and_phantom() {
    let mut world = World::of(&["PUMP", "(STAGE)", "IMPELLER", "SHAFT", "BAR", "(PINS)", "PIN"]);
    world.bill("TC", &["2 STAGE engine", "1 PIN engine"]);
    world.bill("STAGE", &["1 PUMP assembly", "3 PINS assembly"]);
    world.bill("PINS", &["2 PIN assembly"]);
    world.bill("PUMP", &["1 IMPELLER assembly", "2 SHAFT assembly"]);
    world.bill("SHAFT", &["1 BAR assembly", "1 PINS assembly"]);
    let expanded = world.expanded(&[]).unwrap();
    // Pins: 2 × 3 × 2 + 1; the pump is made here, so what goes into it is none of the kit's.
    let needs: Vec<_> = expanded
        .needs
        .iter()
        .map(|need| format!("{} {}", need.part.number, need.qty))
        .collect();
    assert_eq!(needs, ["PUMP 2", "PIN 13"]);
    let tree: Vec<_> = expanded
        .tree
        .iter()
        .map(|step| {
            format!(
                "{}{} {} {}",
                " ".repeat(step.level),
                step.part.number,
                step.exact,
                step.role.word()
            )
        })
        .collect();
    assert_eq!(
        tree,
        [
            " STAGE 2 phantom",
            "  PUMP 2 made here",
            "   IMPELLER 2 in its making",
            "   SHAFT 4 in its making",
            "    BAR 4 in its making",
            "    PINS 4 in its making",
            "     PIN 8 in its making",
            "  PINS 6 phantom",
            " PIN 1 goes on",
        ]
    );
}

#[test]
fn a_choice_of_a_part_left_out_is_not_asked() {
    let mut world = World::of(&["SPACER", "PISTON", "(SEAL)", "RING", "BEAD-ML"]);
    let lines = [
        "1 SEAL cylinder route=spacer",
        "1 SPACER cylinder route=spacer",
        "1 PISTON cylinder route=piston",
    ];
    world.bill("TC", &lines);
    world.bill(
        "SEAL",
        &["1 RING assembly by=ring", "0.5 BEAD-ML assembly by=bead"],
    );
    assert!(world.expanded(&["route=piston"]).is_ok());
    let bead = world.expanded(&["route=spacer", "by=bead"]).unwrap();
    assert_eq!(
        (world.need(&bead, "BEAD-ML"), world.need(&bead, "RING")),
        (qty("2"), Qty::ZERO)
    );
    let open = world.expanded(&["route=spacer"]).unwrap_err();
    assert_eq!(open, "the bill leaves by open: ring or bead");
    let idle = world.expanded(&["route=piston", "by=ring"]).unwrap_err();
    assert_eq!(idle, "choice of by: the other choices leave out what it hangs on");
    let ways: Vec<String> = world.top().ways().iter().map(Choices::to_string).collect();
    assert_eq!(
        ways,
        ["by=ring route=spacer", "by=bead route=spacer", "route=piston"]
    );
}

#[test]
fn loops_are_refused_with_their_path() {
    let mut world = World::of(&["(A)", "(B)", "C", "RING"]);
    world.bill("TC", &["1 A engine", "1 RING engine"]);
    world.bill("A", &["1 B assembly"]);
    world.bill("B", &["1 C assembly"]);
    world.bill("C", &["1 A assembly"]);
    assert_eq!(
        world.expanded(&[]).unwrap_err(),
        "TC: it goes round in a loop: A > B > C > A"
    );
    let itself = Web::new(PartId(1), &[(PartId(1), PartId(1), Decimal::ONE)]).unwrap_err();
    assert_eq!(itself, Loop(vec![PartId(1), PartId(1)]));
    // Two ways to the same part are no loop.
    let strands = [(1, 2), (1, 3), (2, 4), (3, 4)].map(|(a, b)| (PartId(a), PartId(b), Decimal::TWO));
    let web = Web::new(PartId(1), &strands).unwrap();
    let fourth = web.parts().iter().position(|part| *part == PartId(4)).unwrap();
    // 2 × 2 by either way.
    assert_eq!(web.totals().unwrap()[fourth], Decimal::from(8));
}

#[test]
fn every_fault_is_told_with_its_place() {
    let mut world = World::of(&["SPACER", "RING", "STUD", "(SET)", "(GONE)", "OLD", "PUMP"]);
    world.bill(
        "TC",
        &[
            "1 SPACER cylinder route=spacer",
            "0 RING cylinder",
            "-1 STUD engine",
            "1.5 STUD engine route=spacer",
            "1 OLD engine",
            "1 NOWHERE engine",
            "1 SPACER cylinder route=spacer",
            "1 RING carburettor route=spacer",
            "1 SET engine",
            "1 GONE engine",
            "labour 9 engine route=piston",
            "take-off 1 OLD engine 5%",
            "note PUMP",
        ],
    );
    world.bill("SET", &["1 RING cylinder", "1 SET assembly"]);
    let job = ("J-0001".to_owned(), "route".to_owned(), "magic".to_owned());
    let facts = BillFacts {
        parts: world.parts.clone(),
        ended: [(world.id("OLD"), "obsolete".to_owned())].into(),
        models: [("W28".to_owned(), four())].into(),
        jobs: [(BillId(1), vec![job])].into(),
    };
    let faults = bill_faults(&[world.top()], &facts);
    let told: Vec<String> = faults
        .iter()
        .map(|fault| format!("{} {}: {}", fault.bill, fault.n.unwrap_or_default(), fault.what))
        .collect();
    assert_eq!(
        told,
        [
            "TC 2: the quantity is 0",
            "TC 3: the quantity is -1",
            "TC 4: 1.5 of a part kept in steps of 1 each",
            "TC 5: the part is obsolete",
            "TC 6: names a part that is not in the books",
            "TC 7: stands on line 1 already",
            "TC 8: the carburettors of W28 are not given",
            "TC 10: no bill of the phantom holds on the day",
            "TC 12: only what goes on has waste",
            "TC 13: is about a part that no line of the bill names",
            "TC 0: route=piston has no cover: no part goes on by it",
            "TC 0: J-0001 was raised with route=magic, which no line names",
            "SET 1: a sub-assembly counts per assembly, not per cylinder",
            "SET 2: goes round in a loop: SET > SET",
        ]
    );
}
