//! The sample workshop in full: what it must hold, and the figures its story works out by hand.

use crate::desk::Counter;
use bincard::domain::measure::Money;
use bincard::intake::words::{PartClass, RateKind};
use bincard::intake::{Intake, SourceFile, read};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// The files of a folder of the sample.
fn folder(name: &str) -> Intake {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("sample-data")
        .join(name);
    let files: Vec<SourceFile> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "csv"))
        .map(|path| SourceFile {
            name: path.file_name().unwrap().to_string_lossy().into_owned(),
            bytes: std::fs::read(&path).unwrap(),
        })
        .collect();
    read(&files).unwrap_or_else(|faults| panic!("{faults}"))
}

#[test]
fn the_workshop_is_of_a_size_worth_trying() {
    let opening = folder("opening");
    let (root, spring) = (folder("."), folder("spring"));
    assert_eq!(opening.parts.len(), 120);
    assert_eq!(opening.bins.len(), 30);
    assert_eq!(opening.stock.len(), 180);
    assert_eq!(opening.suppliers.len(), 4);
    assert_eq!(opening.bills.len(), 3);
    assert_eq!(root.jobs.len() + spring.jobs.len(), 12);
    // The classes of trade.md 1.2; what a customer owns is told by the lot.
    let classes: BTreeSet<PartClass> = opening.parts.iter().map(|part| part.row.class).collect();
    for class in [
        PartClass::Component,
        PartClass::StandardPart,
        PartClass::Material,
        PartClass::Tool,
        PartClass::Core,
    ] {
        assert!(classes.contains(&class), "{class}");
    }
    assert!(opening.stock.iter().filter(|lot| lot.row.owner.is_some()).count() >= 3);
    let currencies: BTreeSet<&str> = opening
        .prices
        .iter()
        .map(|price| price.row.currency.code())
        .collect();
    assert_eq!(currencies, BTreeSet::from(["EUR", "GBP"]));
    let rates = opening
        .rates
        .iter()
        .filter(|rate| rate.row.kind == RateKind::Exchange);
    assert_eq!(rates.count(), 2);
    let thicknesses: BTreeSet<String> = opening
        .sizes
        .iter()
        .filter(|size| size.row.name == "thickness")
        .map(|size| size.row.value.to_string())
        .collect();
    assert_eq!(
        thicknesses,
        BTreeSet::from(["1", "1.5", "2", "2.5", "3"].map(str::to_owned))
    );
}

#[test]
fn the_stock_is_worth_what_the_story_says() {
    let opening = folder("opening");
    let kinds: BTreeMap<&str, &str> = opening
        .bins
        .iter()
        .map(|bin| (bin.row.code.as_str(), bin.row.kind.word()))
        .collect();
    let mut worth: BTreeMap<&str, Money> = BTreeMap::new();
    for lot in &opening.stock {
        *worth.entry(kinds[lot.row.bin.as_str()]).or_default() += lot.row.value;
    }
    let said = |text: &str| Money::parse(text).unwrap();
    // sample-data/story.md, "Other figures".
    assert_eq!(
        worth,
        BTreeMap::from([
            ("bench", said("219.21")),
            ("quarantine", said("331.10")),
            ("receiving", said("219.80")),
            ("shelf", said("18969.07")),
        ])
    );
}

#[test]
fn the_third_conversion_costs_what_the_story_says() {
    let counter = Counter::sample();
    let ran = counter
        .run(&["compare", "TC-D", "--format", "json"])
        .good()
        .json();
    let rows: Vec<[String; 4]> = ran["rows"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| {
            [
                row["route"].as_str().unwrap().to_owned(),
                row["parts"]["amount"].as_str().unwrap().to_owned(),
                row["together"]["amount"].as_str().unwrap().to_owned(),
                row["ratio"].as_str().unwrap().to_owned(),
            ]
        })
        .collect();
    // By the story 2812.510 and 6492.510, 3314.518 and 7410.518; 7.6087 and 7.6073 to one.
    assert_eq!(rows[0], ["route=spacer", "2812.51", "6492.51", "7.61"]);
    assert_eq!(rows[1], ["route=piston", "3314.52", "7410.52", "7.61"]);
}

#[test]
fn the_spring_can_be_taken_on_after_the_story() {
    let counter = Counter::sample();
    let spring = concat!(env!("CARGO_MANIFEST_DIR"), "/sample-data/spring");
    let ran = counter.run(&["import", spring, "--by", "DA"]).good();
    // Four order lines and eight jobs, counted in the files.
    assert_eq!(ran.answer(), "12 records taken on, none refused");
    counter.run(&["check"]).good();
    let jobs = counter.run(&["job", "list", "--format", "json"]).good().json();
    assert_eq!(jobs["rows"].as_array().unwrap().len(), 12);
}
