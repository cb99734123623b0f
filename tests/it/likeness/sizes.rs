//! `find --size`: the sizes are those of sample-data/opening/sizes.csv, the stock that of sample-data/story.md.

use crate::desk::Counter;
use bincard::domain::likeness::size::{Range, SizeAsked, SizeFault};
use bincard::domain::measure::Qty;

fn numbers(counter: &Counter, line: &str) -> Vec<String> {
    let told = counter.types(&format!("{line} --format json")).good().json();
    let rows = told["rows"].as_array().unwrap().iter();
    rows.map(|row| row["number"].as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn all_spacers_of_2_to_2_5_mm_in_stock() {
    let counter = Counter::sample();
    let ran = counter.types("find spacer --size thickness=2.0..2.5mm").good();
    assert_eq!(ran.answer(), "2 parts of thickness 2 to 2.5 mm, 2 with some free");
    let told = counter
        .types("find spacer --size thickness=2.0..2.5mm --format json")
        .good()
        .json();
    // Rows 7 and 8 of stock.csv: 8 of SP-20 and 6 of SP-25 in A-1, nothing of them reserved yet.
    let row = |at: usize| {
        let row = &told["rows"][at];
        let text = |key: &str| row[key].as_str().unwrap_or_default().to_owned();
        let qty = |key: &str| row[key]["qty"].as_str().unwrap_or_default().to_owned();
        [
            text("number"),
            qty("size"),
            qty("free"),
            text("bin"),
            text("sizes"),
        ]
    };
    let spacer = |number: &str, mm: &str, free: &str| {
        [
            number,
            mm,
            free,
            "A-1",
            &format!("bore 100 mm, thickness {mm} mm"),
        ]
        .map(str::to_owned)
    };
    assert_eq!(row(0), spacer("SP-20", "2", "8"));
    assert_eq!(row(1), spacer("SP-25", "2.5", "6"));
}

#[test]
fn ranges_hold_both_their_ends_and_units_are_turned() {
    let counter = Counter::sample();
    for (size, found) in [
        ("thickness=2mm", vec!["SP-20"]),
        ("thickness=2.0mm..2.5mm", vec!["SP-20", "SP-25"]),
        ("thickness=2mm..2.5", vec!["SP-20", "SP-25"]),
        ("THICKNESS=0.2..0.25cm", vec!["SP-20", "SP-25"]),
        // 0.118 in is 2.9972 mm and 0.119 in is 3.0226 mm.
        ("thickness=.118..0.119in", vec!["SP-30"]),
        ("extra_dish=11.8cm3", vec!["PI-24"]),
        ("extra-dish=11.8ml", vec!["PI-24"]),
        // A 130 of one convention is never listed with a 130 of another.
        ("hole=1.3mm", vec!["JT-130"]),
        ("flow_cm3_per_minute=130", vec!["JF-130"]),
    ] {
        assert_eq!(numbers(&counter, &format!("find --size {size}")), found, "{size}");
    }
    // Each size must fit, and so must the words: sixes of three lengths, one of them long.
    let both = "find --size thread=6mm --size length=50..70mm";
    assert_eq!(numbers(&counter, both), ["BO-52", "BO-68"]);
    let bolts = "find bolt long --size thread=6mm --size length=50..70mm";
    assert_eq!(numbers(&counter, bolts), ["BO-68"]);
}

#[test]
fn where_none_is_in_the_range_the_nearest_is_named() {
    let counter = Counter::sample();
    let ran = counter.types("find --size thickness=3.1..4mm");
    assert_eq!((ran.exit, ran.answer()), (1, "no part of thickness 3.1 to 4 mm"));
    assert!(
        ran.out.contains("the nearest is SP-30, thickness 3 mm"),
        "{}",
        ran.out
    );
    // One that fits exactly and is gone from the shelf is still found.
    let gone = counter.types("find --size length=224mm").good();
    assert_eq!(gone.answer(), "1 part of length 224 mm, 0 with some free");
}

#[test]
fn what_is_no_size_is_told() {
    let counter = Counter::sample();
    for (size, says) in [
        (
            "thickness=2",
            "thickness is measured in mm, and no unit was typed",
        ),
        (
            "flow_cm3_per_minute=130mm",
            "flow_cm3_per_minute is a plain number, and mm was typed",
        ),
        ("thickness=2g", "g measures mass, and length is wanted"),
        ("thickness=2.5..2mm", "thickness: 2.5 is more than 2"),
        ("weight=2g", "no part has a size called weight; there are bore"),
        ("thickness", "thickness names no size and how much"),
        ("thickness=", "names no size"),
        ("=2mm", "names no size"),
        ("thickness=2mm..2.5cm", "names no size"),
        ("thickness=two", "names no size"),
    ] {
        counter.refuses(&format!("find --size {size}"), 2, says);
    }
    counter.refuses("find", 2, "required");
}

/// A hair above and below both ends, by the smallest figure that is kept.
#[test]
fn the_ends_are_exact() {
    let asked = SizeAsked::read("thickness=2..2.5mm").unwrap();
    let ranges = asked.ranges(&[Some("mm".to_owned())]).unwrap();
    let range: &Range = &ranges[0];
    let size = |millionths: i64, unit: Option<&str>| bincard::domain::likeness::size::Size {
        name: "thickness".to_owned(),
        value: Qty::from_millionths(millionths),
        unit: unit.map(str::to_owned),
    };
    for (millionths, unit, holds) in [
        (1_999_999, Some("mm"), false),
        (2_000_000, Some("mm"), true),
        (2_500_000, Some("mm"), true),
        (2_500_001, Some("mm"), false),
        (2_200_000, None, false),
        (2_200_000, Some("cm3"), false),
    ] {
        assert_eq!(
            range.holds(&size(millionths, unit)),
            holds,
            "{millionths} {unit:?}"
        );
    }
    let none = asked.ranges(&[None]);
    assert!(matches!(none, Err(SizeFault::PlainNumber { .. })), "{none:?}");
}
