//! `send-back` and `dispatch`: goods that leave for good, to whom they belong, with their papers and their warnings.

use super::{lies, lot_of, there_and_back, turned_away, types};
use crate::desk::Counter;
use bincard::domain::making::hazard::{HAZARDS, hazard};

const SUPPLIER: i64 = 30;
const CUSTOMER: i64 = 31;

/// Goods from QUO go back to QUO without a word; opening stock names no sender, so the supplier is named.
#[test]
fn back_to_the_supplier() {
    let counter = Counter::sample();
    types(
        &counter,
        "goods-in NU-10 50 --supplier QUO --cost 21.50 --batch M77 --by TW",
    )
    .good();
    let ran = there_and_back(&counter, "send-back M77 20 --by TW -w thread damaged");
    assert_eq!(ran.answer(), "20 each of NU-10 sent back to QUO");
    assert!(ran.out.contains("because: thread damaged"), "{}", ran.out);
    types(&counter, "send-back M77 20 --by TW -w thread damaged").good();
    // 21.50 × 20 / 50 = 8.60 went with them.
    let gone = "SELECT value FROM entry ORDER BY id DESC LIMIT 1";
    assert_eq!(counter.figure(gone), 8_600_000);
    // 50 came, 20 went: minus 30 stand at the supplier.
    assert_eq!(lies(&counter, &lot_of(&counter, "M77"), SUPPLIER), -30_000_000);
    turned_away(
        &counter,
        "send-back S20-12 4 --by TW -w bent",
        402,
        2,
        "from whom",
    );
    let ran = there_and_back(&counter, "send-back S20-12 4 --to OSTRE --by TW -w bent");
    assert_eq!(ran.answer(), "4 each of SP-20 sent back to OSTRE");
    types(&counter, "check").good();
}

/// A customer's own goes back to him alone, and what is ours becomes no customer's by being sent back.
#[test]
fn back_to_whom_it_belongs() {
    let counter = Counter::sample();
    types(&counter, "goods-in SP-20 4 --his blue --batch HIS1 --by TW").good();
    turned_away(
        &counter,
        "send-back HIS1 4 --to QUO --by TW -w wrong",
        256,
        1,
        "belongs to Ottaline Brack, so it is not sent to Quoyle",
    );
    turned_away(
        &counter,
        "send-back HIS1 4 --to TOW --by TW -w wrong",
        256,
        1,
        "Ottaline Brack",
    );
    let ran = there_and_back(&counter, "send-back HIS1 4 --by TW -w wrong");
    assert_eq!(ran.answer(), "4 each of SP-20 sent back to BRACK");
    turned_away(
        &counter,
        "send-back S20-12 4 --to BRACK --by TW -w x",
        242,
        1,
        "it is ours",
    );
}

/// Two lots to a customer: the list bears batch, last day and days left (2026-11-25 to 2031-06-30 are 1678 days, by
/// hand: 4 years with a leap day in 2028 are 1461 to 2030-11-25, 217 more to 2031-06-30), and the certificates that were
/// drawn for these lots alone.
#[test]
fn a_parcel_with_its_packing_list() {
    let counter = Counter::sample();
    types(
        &counter,
        "goods-in TB-60 1 --supplier QUO --cost 1380 --serial 5519 --by TW",
    )
    .good();
    types(
        &counter,
        "goods-in TB-60 1 --supplier QUO --cost 1380 --serial 5520 --by TW",
    )
    .good();
    types(
        &counter,
        "certificate add HR-1 TB-60 2 --sort release --issuer Corvane --by TW",
    )
    .good();
    types(
        &counter,
        "inspect 5519 1 --certificate HR-1 --checked all --to A-3 --by OQ",
    )
    .good();
    let alone = types(&counter, "dispatch 5519=1 --to TOW --by TW --dry-run").good();
    assert!(alone.out.contains("HR-1 (release certificate)"), "{}", alone.out);
    assert!(!alone.out.contains("send a copy"), "{}", alone.out);
    types(
        &counter,
        "inspect 5520 1 --certificate HR-1 --checked all --to A-3 --by OQ",
    )
    .good();
    let line = "dispatch 5519=1 Z42-31=2 --to TOW --by TW -w spares";
    let ran = there_and_back(&counter, line);
    assert_eq!(ran.answer(), "2 lots dispatched to Merrin Strip Tow Club");
    for told in [
        "HR-1 (release certificate): send a copy; it covers 1 more lots",
        "1678",
        "2031-06-30",
        "OR-42: 13 each on the shelf",
    ] {
        assert!(ran.out.contains(told), "{told}: {}", ran.out);
    }
    let json = types(&counter, &format!("{line} --format json")).good().json();
    assert_eq!(json["rows"][1]["days_left"], 1678, "{json}");
    assert_eq!(json["rows"][0]["certificates"], "HR-1 (release certificate)");
    assert_eq!(json["rows"][1]["certificates"], "");
    assert_eq!(lies(&counter, &lot_of(&counter, "5519"), CUSTOMER), 1_000_000);
    types(&counter, "check").good();
}

/// A class 3 tube is inside: no plain list, and the list that is printed says so. H225 and a skin sensitiser, by the
/// part's record; what is opened gets the words on its pack.
#[test]
fn a_flammable_tube_gets_no_plain_list() {
    let counter = Counter::sample();
    let file = counter.folder().join("sizes.csv");
    std::fs::write(
        &file,
        "part,name,value,unit\nSE-50,hazard,225,\nSE-50,hazard-2,317,\nTL-10,hazard,317,\n",
    )
    .unwrap();
    let path = file.display().to_string();
    counter.run(&["import", &path, "--by", "HP"]).good();
    turned_away(
        &counter,
        "dispatch S20-11=1 X0618=50 --to TOW --by TW",
        264,
        1,
        "H225 Danger: highly flammable liquid and vapour",
    );
    let marked = "dispatch X0618=50 --to TOW --by TW --dangerous \"UN 1133, class 3, III\"";
    let ran = there_and_back(&counter, marked);
    for told in [
        "DANGEROUS GOODS, marked: UN 1133, class 3, III",
        "H225 Danger: highly flammable liquid and vapour",
        "H317 Warning: may cause an allergic skin reaction",
    ] {
        assert!(ran.out.contains(told), "{told}: {}", ran.out);
    }
    // A sensitiser alone is no dangerous goods of class 3, but it is told.
    let ran = there_and_back(&counter, "dispatch Y219=10 --to TOW --by TW");
    assert!(ran.out.contains("H317 Warning"), "{}", ran.out);
    let ran = there_and_back(&counter, "open X0618 --by TW");
    for told in [
        "and: H225 Danger: highly flammable",
        "and: H317 Warning: may cause",
    ] {
        assert!(ran.out.contains(told), "{told}: {}", ran.out);
    }
    // Words that nobody knows are not left off: the statement is not taken on.
    std::fs::write(&file, "part,name,value,unit\nSE-50,hazard-3,999,\n").unwrap();
    let ran = counter.run(&["import", &path, "--by", "HP"]);
    assert_eq!(ran.exit, 65, "{ran:?}");
    assert!(ran.err.contains("no hazard statement known here"), "{}", ran.err);
}

/// The facts of hazards: the category of a flammable liquid gives its statement and its signal word.
#[test]
fn the_facts_of_hazards() {
    let facts: toml::Value = toml::from_str(include_str!("../../facts/cautions.toml")).unwrap();
    let mut seen = 0;
    for case in facts["case"].as_array().unwrap() {
        if case["kind"].as_str() != Some("hazard") {
            continue;
        }
        let category = case["category"].as_integer().unwrap();
        let found = HAZARDS
            .iter()
            .find(|one| one.flammable.map(i64::from) == Some(category))
            .unwrap();
        assert_eq!(
            (Some(found.code), Some(found.signal)),
            (case["code"].as_str(), case["signal"].as_str())
        );
        assert_eq!(hazard(found.code).unwrap(), *found);
        seen += 1;
    }
    assert_eq!(seen, 2);
}

#[test]
fn what_does_not_leave() {
    let counter = Counter::sample();
    types(&counter, "reserve amber --by TW");
    for (line, number, exit, says) in [
        (
            "dispatch S20-11=1 S20-11=1 --to TOW --by TW",
            402,
            2,
            "named twice",
        ),
        ("dispatch S20-11 --to TOW --by TW", 402, 2, "says no quantity"),
        (
            "dispatch S20-11=9 --to TOW --by TW",
            207,
            1,
            "8 each there are in A-1",
        ),
        ("dispatch S20-11=0 --to TOW --by TW", 202, 1, ""),
        (
            "dispatch S20-11=1 --to QUO --by TW",
            242,
            1,
            "this wants customer",
        ),
        ("dispatch S20-12=1 --to TOW --by TW", 242, 1, "none of it lies"),
        ("dispatch X0551=50 --to TOW --by TW", 206, 1, "2026-11-10"),
        (
            "dispatch X0618=20 --to TOW --by TW",
            219,
            1,
            "whole units of 50 ml",
        ),
        (
            "dispatch CV-7714=1 --to TOW --by TW",
            256,
            1,
            "not sent to Merrin",
        ),
        ("dispatch NONE=1 --to TOW --by TW", 239, 1, "NONE"),
        (
            "send-back S20-12 5 --to QUO --by TW -w x",
            207,
            1,
            "4 each there are in CAGE",
        ),
        ("send-back S20-12 4 --to QUO --by TW", 402, 2, "--why"),
        (
            "send-back S20-12 4 --to A-1 --by TW -w x",
            242,
            1,
            "this wants supplier or customer",
        ),
    ] {
        turned_away(&counter, line, number, exit, says);
    }
    // His own goes to him: Sevenfold's turbocharger.
    let ran = there_and_back(&counter, "dispatch CV-7714=1 --to SEVEN --by TW");
    assert_eq!(ran.answer(), "1 lot dispatched to Sevenfold Survey Flights");
}
