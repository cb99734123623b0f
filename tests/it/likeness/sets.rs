//! Matched sets: measured one by one, refused beyond the part's own limit, reserved and moved only whole.
//!
//! Limits by sample-data/opening/sizes.csv: pistons within 2 g, spacers within 0.02 mm.

use crate::desk::{Counter, split};
use crate::stores::{done_and_undone, refused};
use bincard::domain::likeness::set::{Limit, judge, spread};
use bincard::domain::measure::Qty;

#[track_caller]
fn turned_away(counter: &Counter, line: &str, number: u16, exit: u8, says: &str) {
    let words = split(line);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    refused(counter, &words, number, exit, says);
}

/// The sample with four more spacers of 2.0 mm beside the others.
fn spacers() -> Counter {
    let counter = Counter::sample();
    let path = counter.folder().join("stock.csv");
    std::fs::write(
        &path,
        "part,bin,qty,value,batch,serial,expiry,condition,owner,maker,made\nSP-20,A-1,4,73.60,S20-13,,,new,,Tern Slip,\n",
    )
    .unwrap();
    counter
        .types(&format!("import {} --by HP", path.display()))
        .good();
    counter
}

/// The limit itself is good, a millionth beyond it is not.
#[test]
fn a_limit_holds_to_its_very_end() {
    let qty = |text: &str| Qty::parse(text).unwrap();
    let limit = Limit {
        name: "weight".to_owned(),
        most: qty("2"),
        unit: "g".to_owned(),
    };
    for (figures, apart) in [
        (&["512", "514"][..], Some("2")),
        (&["512", "514.000001"], None),
        (&["514", "513", "512"], Some("2")),
        (&["512"], Some("0")),
    ] {
        let figures: Vec<Qty> = figures.iter().map(|figure| qty(figure)).collect();
        assert_eq!(
            judge("PI-28", &limit, &figures).ok(),
            apart.map(qty),
            "{figures:?}"
        );
    }
    assert_eq!(spread(&[]), None);
}

/// N18: four spacers from two lots, one 0.5 mm thicker. With stroke 90 mm and 8.5 to 1 the ratios are 104/14 = 7.4286
/// and 104.5/14.5 = 7.2069 (formula F2, recomputed).
#[test]
fn four_spacers_of_two_lots_one_half_a_millimetre_thicker() {
    let counter = spacers();
    turned_away(
        &counter,
        "match S20-11=3 S20-13=1 --measured thickness=2.0,2.0,2.0,2.5mm --for-model W28 --by TW",
        279,
        1,
        "thickness 2, 2, 2, 2.5 mm is 0.5 mm apart, 0.02 mm allowed; compression 7.43, 7.43, 7.43, 7.21",
    );
    // A spacer of another number makes no set at all, and both are told.
    turned_away(
        &counter,
        "match S20-11=3 S25-04=1 --measured thickness=2,2,2,2.5mm --by TW",
        281,
        1,
        "SP-20 (bore 100 mm, thickness 2 mm) and SP-25 (bore 100 mm, thickness 2.5 mm)",
    );
    let words =
        split("match S20-11=3 S20-13=1 --measured thickness=2.00,2.01,2.00,2.02mm --for-model W28 --by TW");
    let ran = done_and_undone(&counter, &words.iter().map(String::as_str).collect::<Vec<_>>());
    assert!(
        ran.answer().ends_with("of 4 each SP-20: it goes out only whole"),
        "{}",
        ran.answer()
    );
    let says = "thickness 2, 2.01, 2, 2.02 mm: 0.02 mm apart, 0.02 allowed";
    assert!(ran.out.contains(says), "{}", ran.out);
    counter.types("check").good();
}

/// N26: piston weights 4 g apart in a set: refused by its own spread limit.
#[test]
fn pistons_four_grams_apart_make_no_set() {
    let counter = Counter::sample();
    turned_away(
        &counter,
        "match K28-9=4 --measured weight=512,513,514,516g --by TW",
        279,
        1,
        "no set of PI-28: weight 512, 513, 514, 516 g is 4 g apart, 2 g allowed",
    );
    // 514.1 g less 512 g.
    turned_away(
        &counter,
        "match K28-9=4 --measured weight=0.512,0.513,0.514,0.5141kg --by TW",
        279,
        1,
        "is 2.1 g apart",
    );
    for (line, number, exit, says) in [
        (
            "match K28-9=4 --by TW",
            280,
            1,
            "PI-28 is matched by weight, 2 g apart at most",
        ),
        (
            "match K28-9=4 --measured weight=512,513,514g --by TW",
            402,
            2,
            "3 figures for 4 pieces",
        ),
        (
            "match K28-9=4 --measured weight=512,513,514,513 --by TW",
            402,
            2,
            "the limit is in g",
        ),
        (
            "match K28-9=4 --measured weight=512,513,514,513mm --by TW",
            402,
            2,
            "mm measures length",
        ),
        (
            "match K28-9=4 --measured weight=512,513,514,513g --measured height=1,1,1,1mm --by TW",
            402,
            2,
            "no limit on record",
        ),
        ("match K28-9=1 --by TW", 402, 2, "is no set"),
        ("match K28-9 --by TW", 402, 2, "does not say how much"),
        (
            "match K28-9=5 --measured weight=512,512,512,512,512g --by TW",
            207,
            1,
            "4 each there are in A-3",
        ),
        (
            "match K28-9=4 --measured weight=512,513,514,513g --for-model W99 --by TW",
            239,
            1,
            "no engine model W99",
        ),
    ] {
        turned_away(&counter, line, number, exit, says);
    }
}

#[test]
fn the_set_is_what_is_reserved_picked_and_moved() {
    let counter = Counter::sample();
    let ran = counter
        .types("match K28-9=4 --measured weight=512,513,514,512.5g --by TW --format json")
        .good()
        .json();
    let answer = ran["answer"].as_str().unwrap().to_owned();
    let set = answer.split(' ').nth(1).unwrap().to_owned();
    assert_eq!(
        counter.figure("SELECT COUNT(*) FROM lot WHERE size = 4000000 AND child = 1"),
        1
    );
    assert_eq!(
        counter.figure("SELECT COUNT(*) FROM note WHERE topic = 'matched' AND text LIKE 'weight 512, 513, 514, 512.5 g: 2 g apart%'"),
        1
    );
    let part_of_it = format!("move {set} 2 --to A-1 --by TW");
    turned_away(
        &counter,
        &part_of_it,
        204,
        1,
        "is a whole of 4 and moves only whole",
    );
    counter.types("reserve amber --by TW").good();
    let listed = counter.types("pick amber --format json").good().json();
    let rows = listed["rows"].as_array().unwrap().iter();
    let lots: Vec<&str> = rows
        .filter(|row| row["part"] == "PI-28")
        .map(|row| row["lot"].as_str().unwrap())
        .collect();
    assert_eq!(lots, [set.as_str()]);
    let list = counter.figure("SELECT list FROM job WHERE number = 'J-0004'");
    counter
        .types(&format!("pick amber --list {list} --as-listed --by TW"))
        .good();
    counter.types("check").good();
}
