//! Quantities as a clerk types them: packs of the part's own, other units, weights; echoed, or refused with the reason.
//!
//! The packs are a fiction: QUO's box of nuts holds 100, OSTRE's 10, both sell a bag of 25; a metre of wire weighs 4 g.

use super::refused;
use crate::desk::{Counter, split};
use serde_json::json;

fn packed() -> Counter {
    let counter = Counter::sample();
    let path = counter.folder().join("packs.csv");
    let packs = "part,supplier,unit,holds\nNU-10,QUO,box,100\nNU-10,OSTRE,box,10\nNU-10,QUO,bag,25\nNU-10,OSTRE,bag,25\n\
                 SE-50,MARRA,carton,100\nSE-50,QUO,carton,600\n";
    std::fs::write(&path, packs).unwrap();
    counter
        .run(&["import", &path.display().to_string(), "--by", "HP"])
        .good();
    counter
}

const LAST: &str = "SELECT qty FROM entry ORDER BY id DESC LIMIT 1";

/// What was typed, what was understood of it, and the quantity that is posted: worked out by hand from the packs above,
/// 25.4 mm to the inch.
const TYPED: [(&str, &str, i64); 10] = [
    (r#"move H10-77 "1 bag" --to A-1"#, "1 bag = 25 each", 25_000_000),
    (
        r#"move H10-77 "1/5 BAGS" --to A-1"#,
        "1/5 BAGS = 5 each",
        5_000_000,
    ),
    (r#"scrap X0618 "2 tube" -w burst"#, "2 tube = 100 ml", 100_000_000),
    (r#"open X0618 "0.05 l""#, "0.05 l = 50 ml", 50_000_000),
    (r#"move W-6 "400 g" --to A-1"#, "400 g = 100 m", 100_000_000),
    (
        r#"move W-6 "99-2/2 in" --to A-1"#,
        "99-2/2 in = 2.54 m",
        2_540_000,
    ),
    (
        r#"give NU-10 "2/25 bag" -j amber --more"#,
        "2/25 bag = 2 each",
        2_000_000,
    ),
    (
        r#"goods-in NU-10 "2 boxes" --supplier QUO --cost 9"#,
        "2 boxes = 200 each",
        200_000_000,
    ),
    (
        r#"goods-in NU-10 "2 boxes" --supplier OSTRE --cost 9"#,
        "2 boxes = 20 each",
        20_000_000,
    ),
    // The order is MARRA's, whose carton holds two tubes, and so does another's twelve.
    (
        r#"goods-in ORD-102 "1=1 carton" --expiry 2028-01"#,
        "1 carton = 100 ml",
        100_000_000,
    ),
];

#[test]
fn every_way_to_say_how_much() {
    for (line, understood, millionths) in TYPED {
        let counter = packed();
        let words = split(&format!("{line} --by TW"));
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let trial: Vec<&str> = words.iter().copied().chain(["--dry-run"]).collect();
        let note = format!("understood: {understood}");
        for run in [counter.run(&trial).good(), counter.run(&words).good()] {
            let told = run.out.lines().filter(|told| *told == note).count();
            assert_eq!(told, 1, "{note}: {}", run.out);
        }
        assert_eq!(counter.figure(LAST), millionths, "{line}");
    }
}

/// The number itself, bare or in the part's own unit, needs no word about it.
#[test]
fn what_is_literally_so_is_not_echoed() {
    for typed in ["3", "3 each", "3 pcs"] {
        let counter = packed();
        let words = ["move", "H10-77", typed, "--to", "A-1", "--by", "TW"];
        let ran = counter.run(&words).good();
        assert!(!ran.out.contains("understood"), "{typed}: {}", ran.out);
        let more = [
            "move", "H10-81", "2", "--to", "A-1", "--by", "TW", "--format", "json",
        ];
        assert_eq!(counter.run(&more).good().json()["understood"], json!([]));
    }
}

#[test]
fn programs_are_told_what_was_understood() {
    let counter = packed();
    let words = ["move", "H10-77", "1 bag", "--to", "A-1", "--by", "TW"];
    let ran = counter.run(&[&words[..], &["--format", "json"]].concat()).good();
    let told = json!([{ "typed": "1 bag", "qty": "25", "unit": "each" }]);
    assert_eq!(ran.json()["understood"], told);
}

#[test]
fn what_was_pencilled_on_a_list_may_be_packs_too() {
    let counter = packed();
    counter.run(&["reserve", "amber", "--by", "TW"]).good();
    let listed = counter.run(&["count", "A-2", "--format", "json"]).good().json();
    let rows = listed["rows"].as_array().unwrap();
    let nuts = rows
        .iter()
        .position(|row| row.to_string().contains("NU-10"))
        .unwrap()
        + 1;
    let answer = listed["answer"].as_str().unwrap();
    let number = answer.split(' ').nth(1).unwrap();
    let answer = format!("{nuts}=1 bag");
    let words = [
        "count",
        "A-2",
        "--list",
        number,
        &answer,
        "-w",
        "counted twice",
        "--by",
        "TW",
    ];
    let ran = counter.run(&words).good();
    assert!(ran.out.contains("understood: 1 bag = 25 each"), "{}", ran.out);
}

#[test]
fn what_is_not_taken_changes_nothing() {
    let counter = packed();
    for (words, number, exit, says) in [
        // Two suppliers, two sizes: both are told.
        (
            vec!["move", "H10-77", "1 box", "--to", "A-1"],
            260,
            1,
            "10 each (box of OSTRE holds 10), 100 each (box of QUO holds 100)",
        ),
        (
            vec!["goods-in", "NU-10", "1 box", "--supplier", "MARRA", "--cost", "1"],
            260,
            1,
            "box of QUO holds 100",
        ),
        // Another dimension: what the part is kept in.
        (
            vec!["move", "H10-77", "500 g", "--to", "A-1"],
            402,
            2,
            "give a quantity of NU-10 in each",
        ),
        (
            vec!["scrap", "X0618", "2 m", "-w", "burst"],
            402,
            2,
            "m measures length, and volume is wanted",
        ),
        (
            vec!["move", "H10-77", "1 crate", "--to", "A-1"],
            402,
            2,
            "type one of bag",
        ),
        // A pound is 453.59237 g, and at 4 g/m 113.3980925 m; an inch and a half is 0.0381 m: the wire moves by 0.01 m.
        (
            vec!["move", "W-6", "1 lb", "--to", "A-1"],
            402,
            2,
            "type 113.39 m or 113.4 m",
        ),
        (
            vec!["move", "W-6", "1-1/2 in", "--to", "A-1"],
            402,
            2,
            "type 0.03 m or 0.04 m",
        ),
        (
            vec!["move", "H10-77", "1/2 bag", "--to", "A-1"],
            402,
            2,
            "type 12 each or 13 each",
        ),
        (
            vec!["move", "H10-77", "1/3", "--to", "A-1"],
            402,
            2,
            "type 0 each or 1 each",
        ),
        // A plain decimal is judged by the law.
        (vec!["move", "H10-77", "0.5", "--to", "A-1"], 203, 1, ""),
        // More than a metric number can hold.
        (
            vec!["move", "H10-77", "9999999999999 bags", "--to", "A-1"],
            402,
            2,
            "too large",
        ),
    ] {
        let line: Vec<&str> = words.iter().copied().chain(["--by", "TW"]).collect();
        refused(&counter, &line, number, exit, says);
    }
}
