//! `make`: value in is value out, and what is made has the parents, the life and the holds of all that went in.

use super::{lies, lot_of, there_and_back, turned_away, types};
use crate::desk::Counter;
use bincard::domain::making::pot_life::PotLife;
use bincard::domain::measure::Qty;

const RECEIVING: i64 = 1;
const SHELF: i64 = 2;

/// What the newest document carried into and out of the making, in millionths of a pound.
fn through(counter: &Counter) -> (i64, i64) {
    let sum = |side: &str| {
        counter.figure(&format!(
            "SELECT SUM(value) FROM entry WHERE document = (SELECT MAX(id) FROM document) AND {side}_place / 1000000 = 33"
        ))
    };
    (sum("to"), sum("from"))
}

/// The number of the newest lot.
fn newest(counter: &Counter) -> String {
    let raw = rusqlite::Connection::open(counter.store()).unwrap();
    let sql = "SELECT number FROM lot ORDER BY id DESC LIMIT 1";
    raw.query_row(sql, [], |row| row.get(0)).unwrap()
}

/// What the books say of the newest lot, as text; `-` where nothing.
fn said(counter: &Counter, column: &str) -> String {
    let raw = rusqlite::Connection::open(counter.store()).unwrap();
    let sql = format!("SELECT COALESCE({column}, '-') FROM lot ORDER BY id DESC LIMIT 1");
    raw.query_row(&sql, [], |row| row.get::<_, rusqlite::types::Value>(0))
        .map(|value| match value {
            rusqlite::types::Value::Text(text) => text,
            rusqlite::types::Value::Integer(whole) => whole.to_string(),
            other => format!("{other:?}"),
        })
        .unwrap()
}

/// The sample workshop with other records taken on besides.
fn with_records(files: &[(&str, &str)]) -> Counter {
    let counter = Counter::unasked();
    for (name, text) in files {
        let path = counter.folder().join(name);
        std::fs::write(&path, text).unwrap();
        let path = path.display().to_string();
        counter.run(&["import", &path, "--by", "HP"]).good();
    }
    counter
}

/// Two spacers of 2 mm are ground to 1.5 mm: eight stand at 147.20, so two take 36.80 along, and another part waits in
/// receiving to be inspected.
#[test]
fn a_spacer_is_ground_to_another_number() {
    let counter = Counter::unasked();
    let line = "make SP-15 2 --of S20-11=2 --by TW -w ground to 1.5 mm";
    let ran = there_and_back(&counter, line);
    assert!(
        ran.answer().starts_with("2 each of SP-15 made: L"),
        "{}",
        ran.answer()
    );
    assert!(ran.answer().ends_with(" in IN"), "{}", ran.answer());
    let ran = types(&counter, &format!("{line} --format json")).good().json();
    assert_eq!(ran["rows"].as_array().unwrap().len(), 2);
    assert_eq!(through(&counter), (36_800_000, 36_800_000));
    let (made, parent) = (newest(&counter), lot_of(&counter, "S20-11"));
    assert_eq!(lies(&counter, &made, RECEIVING), 2_000_000);
    assert_eq!(lies(&counter, &parent, SHELF), 6_000_000);
    assert_eq!(said(&counter, "made"), "2026-11-25");
    types(&counter, &format!("inspect {made} 2 --to A-4 --by OQ")).good();
    types(&counter, "check").good();
}

/// A line of 1.5 m of hose at 11.80 the metre and two clamps at 1.60: 17.70 and 3.20 are 20.90, both its parents.
#[test]
fn a_line_is_made_of_hose_and_ends() {
    let counter = Counter::unasked();
    let line = "make FL-45 1 --of V16-2=1.5 H16-6=2 --by TW";
    there_and_back(&counter, line);
    types(&counter, line).good();
    assert_eq!(through(&counter), (20_900_000, 20_900_000));
    let parents = "SELECT COUNT(*) FROM lot_parent WHERE lot = (SELECT MAX(id) FROM lot)";
    assert_eq!(counter.figure(parents), 2);
    let documents = counter.figure("SELECT COUNT(DISTINCT document) FROM entry WHERE law / 10000 = 9");
    assert_eq!(documents, 2, "the one undone, and the one that stands");
}

const PARTS: &str = "number,name,class,unit,step,hand_out,life,opened_life_days,pack_policy,bench_stock,critical,maker,issue,opened_life\n\
     CB-1,\"compound, base\",material,ml,0.1,,,,measure,no,no,,,\n\
     CH-1,\"compound, hardener\",material,ml,0.1,,,,measure,no,no,,,\n\
     CM-1,\"compound, mixed\",material,ml,0.1,,,,measure,no,no,,,\n\
     CM-2,\"compound, mixed, quick\",material,ml,0.1,,1 day,,measure,no,no,,,\n";
const SIZES: &str =
    "part,name,value,unit\nCM-1,pot_life_minutes,20,\nCM-1,cure_minutes,90,\nCM-1,hazard,226,\n";
const STOCK: &str = "part,bin,qty,value,batch,serial,expiry,condition,owner,maker,made\n\
     CB-1,C-1,100,10.00,CB7,,2027-03-31,new,,,\n\
     CH-1,C-1,10,5.00,CH7,,2026-12-31,new,,,\n";

/// Base and hardener expire together: the mix dies with the earlier part, and its pot life is printed. The training
/// clock stands at noon: 20 minutes are over at 12:20.
#[test]
fn a_mix_of_two_parts_expires_with_the_earlier_and_prints_its_pot_life() {
    let counter = with_records(&[("parts.csv", PARTS), ("sizes.csv", SIZES), ("stock.csv", STOCK)]);
    let line = "make CM-1 22 --of CB7=20 CH7=2 --by TW";
    let ran = there_and_back(&counter, line);
    assert!(
        ran.answer().ends_with("in IN, use by 12:20 UTC"),
        "{}",
        ran.answer()
    );
    for told in [
        "pot life 20 minutes: use by 12:20 UTC",
        "do not run before 13:30 UTC",
        "write on it: H226 Warning: flammable liquid and vapour",
        "last day 2026-12-31: the earliest of what went in: ",
    ] {
        assert!(ran.out.contains(told), "{told}: {}", ran.out);
    }
    types(&counter, line).good();
    // 10.00 × 20 / 100 and 5.00 × 2 / 10.
    assert_eq!(through(&counter), (3_000_000, 3_000_000));
    assert_eq!(said(&counter, "expiry"), "2026-12-31");
    // Its own life may be shorter than its parts'; a day that outlives them is refused.
    types(&counter, "make CM-2 11 --of CB7=10 CH7=1 --by TW").good();
    assert_eq!(said(&counter, "expiry"), "2026-11-26");
    types(
        &counter,
        "make CM-1 11 --of CB7=10 CH7=1 --last-day 2026-12-30 --by TW",
    )
    .good();
    assert_eq!(said(&counter, "expiry"), "2026-12-30");
    turned_away(
        &counter,
        "make CM-1 11 --of CB7=10 CH7=1 --last-day 2027-01-01 --by TW",
        228,
        1,
        "no longer than 2026-12-31",
    );
    // What was mixed on another day has long set: nothing to print. What is dead is not mixed.
    types(&counter, "settings --training-day 2026-11-26 --by HP").good();
    let ran = types(&counter, "make CM-1 11 --of CB7=10 CH7=1 --on 2026-11-25 --by TW").good();
    assert!(!ran.out.contains("use by"), "{}", ran.out);
    types(&counter, "settings --training-day 2027-01-01 --by HP").good();
    turned_away(
        &counter,
        "make CM-1 11 --of CB7=10 CH7=1 --by TW",
        206,
        1,
        "2026-12-31",
    );
    types(&counter, "check").good();
}

#[test]
fn the_clock_of_a_pot_life() {
    let facts: toml::Value = toml::from_str(include_str!("../../facts/mixing.toml")).unwrap();
    let cases = facts["case"].as_array().unwrap();
    assert_eq!(cases.len(), 4);
    for case in cases {
        let said = |key: &str| case[key].as_str().unwrap();
        let minutes = Qty::from_decimal(said("minutes").parse().unwrap());
        let pot = PotLife::from_mixing(said("mixed"), minutes, None);
        let end = pot.and_then(|pot| pot.use_by).unwrap_or_default();
        assert_eq!(end, said("end"), "{}", said("id"));
    }
    assert_eq!(PotLife::from_mixing("2026-11-25T12:00:00Z", None, None), None);
    assert_eq!(
        PotLife::from_mixing("no instant", Some(Qty::whole(1)), None),
        None
    );
}

/// Two opened tubes poured together stay open since the first, and end with the first to end: X0618 is printed
/// 2027-03-31, X0702 ends 180 days after 2026-11-25 on 2027-05-24.
#[test]
fn sealant_of_two_tubes_is_mixed() {
    let counter = Counter::sample();
    turned_away(
        &counter,
        "make SE-50 30 --of X0618=10 X0702=20 --by TW",
        219,
        1,
        "whole units of 50 ml",
    );
    types(&counter, "open X0618 --by TW").good();
    let first = newest(&counter);
    types(&counter, "open X0702 --by TW").good();
    let second = newest(&counter);
    let line = format!("make SE-50 30 --of {first}=10 {second}=20 --by TW");
    there_and_back(&counter, &line);
    types(&counter, &line).good();
    assert_eq!(
        (
            said(&counter, "expiry"),
            said(&counter, "opened"),
            said(&counter, "batch")
        ),
        ("2027-03-31".to_owned(), "2026-11-25".to_owned(), "-".to_owned())
    );
    // 18.00 the tube of 50: 3.60 and 7.20.
    assert_eq!(through(&counter), (10_800_000, 10_800_000));
    assert_eq!(lies(&counter, &newest(&counter), SHELF), 30_000_000);
    types(&counter, "check").good();
}

/// A set is one whole: half of it goes nowhere, until it is broken up.
#[test]
fn a_set_is_broken_up() {
    let counter = Counter::sample();
    let matched = "match K28-9=4 --measured weight=512,513,512.5,511.5g --by TW";
    types(&counter, matched).good();
    let set = newest(&counter);
    assert_eq!(said(&counter, "size"), "4000000");
    for line in [
        format!("move {set} 2 --to A-1 --by TW"),
        format!("make PI-28 2 --of {set}=2 --by TW"),
    ] {
        turned_away(&counter, &line, 204, 1, "a whole of 4");
    }
    let broken = format!("make PI-28 4 --of {set}=4 --by TW");
    there_and_back(&counter, &broken);
    types(&counter, &broken).good();
    assert_eq!(said(&counter, "size"), "-");
    types(&counter, &format!("move {} 2 --to A-1 --by TW", newest(&counter))).good();
    types(&counter, "check").good();
}

/// What is on hold is not made up into anything; in the cage it may be, and what comes out is held as well.
#[test]
fn a_hold_is_not_escaped() {
    let counter = Counter::unasked();
    types(&counter, "hold S20-11 --by OQ -w thickness in doubt").good();
    turned_away(
        &counter,
        "make SP-15 2 --of S20-11=2 --by TW",
        205,
        1,
        "thickness in doubt",
    );
    types(&counter, "hold S20-12 --by OQ -w thickness in doubt").good();
    let line = "make SP-20 4 --of S20-12=4 --by TW";
    there_and_back(&counter, line);
    types(&counter, line).good();
    let held = "SELECT held FROM lot_position WHERE lot = (SELECT MAX(id) FROM lot)";
    assert_eq!(counter.figure(held), 1);
}

#[test]
fn what_is_not_made() {
    let counter = Counter::unasked();
    types(&counter, "goods-in SP-20 4 --his blue --batch HIS1 --by TW").good();
    types(&counter, "inspect HIS1 4 --to A-1 --by OQ").good();
    // What is short elsewhere is no matter here.
    types(&counter, "reserve blue --by TW");
    for (line, number, exit, says) in [
        (
            "make SP-20 3 --of S20-11=4 --by TW",
            227,
            1,
            "4 went in and 3 would come out",
        ),
        (
            "make SP-15 2 --of S20-11=1 HIS1=1 --by TW",
            226,
            1,
            "another owner",
        ),
        ("make TB-60 1 --of CV-8021=1 --by TW", 261, 1, "is one serial"),
        ("make SP-15 8 --of S20-11=8 --by TW", 208, 1, "reserved for"),
        (
            "make SP-15 2 --of S20-12=2 --by TW",
            201,
            1,
            "from quarantine to making",
        ),
        ("make SP-15 2 --of S20-11 --by TW", 402, 2, "says no quantity"),
        (
            "make SP-15 2 --of S20-11=1 S20-11=1 --by TW",
            402,
            2,
            "named twice",
        ),
        (
            "make SP-15 2 --of S20-11=20 --by TW",
            207,
            1,
            "8 each there are in A-1",
        ),
        ("make SP-15 0 --of S20-11=1 --by TW", 202, 1, ""),
        ("make SP-15 2 --by TW", 402, 2, "--of"),
        ("make NONE 2 --of S20-11=1 --by TW", 239, 1, "no part NONE"),
        ("make SP-15 2 --of NONE=1 --by TW", 239, 1, "NONE"),
        (
            "make SP-15 2 --of S20-11=1 --last-day soon --by TW",
            402,
            2,
            "--last-day",
        ),
    ] {
        turned_away(&counter, line, number, exit, says);
    }
    // A customer's own are made up for him, worth nothing.
    types(&counter, "make SP-15 2 --of HIS1=2 --by TW").good();
    assert_eq!(through(&counter), (0, 0));
    assert_ne!(said(&counter, "owner"), "-");
    types(&counter, "check").good();
}
