//! `weigh`: what is left on a spool by weight, held against the book; never less than nothing.

use super::{lies, lot_of, there_and_back, turned_away, types};
use crate::desk::{Counter, Ran};
use bincard::domain::making::weigh::{Weighed, left_by_weight, one_gram};
use bincard::domain::measure::{Qty, Unit};
use bincard::domain::refusal::Refusal;
use bincard::domain::stores::ids::PartId;
use bincard::domain::stores::part::Part;
use rust_decimal::Decimal;

const SHELF: i64 = 2;

fn kept_in(unit: &str, step_millionths: i64) -> Part {
    Part {
        id: PartId(1),
        number: "WI-08".to_owned(),
        name: "wire".to_owned(),
        class: "material".to_owned(),
        unit: Unit::parse(unit).unwrap(),
        step: Qty::from_millionths(step_millionths),
        hand_out: None,
        life: None,
        opened_life: None,
        bench_stock: true,
        critical: false,
        whole_pack: false,
    }
}

fn qty(text: &str) -> Qty {
    Qty::from_decimal(text.parse::<Decimal>().unwrap()).unwrap()
}

fn left(part: &Part, gross: &str, tare: &str, grams: &str) -> Result<Qty, Refusal> {
    let weighed = Weighed {
        gross_g: qty(gross),
        tare_g: qty(tare),
        grams_per_unit: qty(grams),
    };
    left_by_weight(part, "L000001C", weighed)
}

/// A wire's facts: to the tenth of a metre, as they are stated.
#[test]
fn the_facts_of_wire() {
    let text = include_str!("../../facts/wire.toml");
    let facts: toml::Value = toml::from_str(text).unwrap();
    let wire = kept_in("m", 100_000);
    let mut seen = 0;
    for case in facts["case"].as_array().unwrap() {
        let said = |key: &str| case[key].as_str().unwrap();
        match said("kind") {
            "length" => {
                let found = left(&wire, said("mass_g"), "0", said("grams_per_metre")).unwrap();
                assert_eq!(found, qty(said("metres")), "{}", said("id"));
            }
            "weigh back" => {
                let found = left(&wire, said("gross_g"), said("tare_g"), said("grams_per_metre")).unwrap();
                assert_eq!(found, qty(said("metres")), "{}", said("id"));
            }
            _ => {
                let metres = case["diameter_in"].as_float().unwrap() * 0.0254;
                let grams = case["density_kg_per_m3"].as_float().unwrap()
                    * std::f64::consts::FRAC_PI_4
                    * metres
                    * metres
                    * 1000.0;
                assert_eq!(format!("{grams:.4}"), said("grams_per_metre"), "{}", said("id"));
            }
        }
        seen += 1;
    }
    assert_eq!(seen, 4);
}

/// `count-weigh-1` of the counting facts: 175.4 g of pieces of 4.385 g are 40. Then the edges, by hand: half a step goes
/// up, gross as tare is nothing, a gram less is refused.
#[test]
fn to_the_nearest_step_and_never_below_nothing() {
    let each = kept_in("each", 1_000_000);
    assert_eq!(left(&each, "187.4", "12", "4.385").unwrap(), Qty::whole(40));
    let wire = kept_in("m", 10_000);
    for (gross, tare, grams, wanted) in [
        ("412.6", "58", "4.1146", "86.18"),
        ("58", "58", "4", "0"),
        ("58.02", "58", "4", "0.01"),
        ("58.019", "58", "4", "0"),
        ("62", "58", "4", "1"),
        ("1000000", "0", "0.000001", "1000000000000"),
    ] {
        assert_eq!(left(&wire, gross, tare, grams).unwrap(), qty(wanted), "{gross}");
    }
    for (gross, tare) in [("57.999999", "58"), ("0", "0.000001"), ("5", "-1")] {
        let found = left(&wire, gross, tare, "4");
        assert!(
            matches!(found, Err(Refusal::Outgoing(_))),
            "{gross} {tare}: {found:?}"
        );
    }
    // 1 / 4.1146 = 0.243 m; a gram of nuts of 4.385 g is no whole nut, so it is told as one.
    assert_eq!(one_gram(&wire, qty("4.1146")), qty("0.24"));
    assert_eq!(one_gram(&each, qty("4.385")), qty("1"));
}

/// The sample workshop, where a metre of the wire weighs 4.1146 g.
fn weighable() -> Counter {
    let counter = Counter::sample();
    weighs(&counter, "4.1146");
    counter
}

/// Says what a metre of the wire weighs, where the sample has 4 g.
fn weighs(counter: &Counter, grams: &str) {
    let parts = include_str!("../../../sample-data/opening/parts.csv");
    let (headings, wire) = (
        parts.lines().next(),
        parts.lines().find(|row| row.starts_with("WI-08,")),
    );
    let (wire, had) = wire.unwrap().rsplit_once(',').unwrap();
    assert_eq!(had, "4");
    let file = counter.folder().join("parts.csv");
    std::fs::write(&file, format!("{}\n{wire},{grams}\n", headings.unwrap())).unwrap();
    let file = file.display().to_string();
    counter.run(&["import", "--update", &file, "--by", "DA"]).good();
}

/// The books hold.
#[track_caller]
fn proved(counter: &Counter) {
    types(counter, "check").good();
}

/// A weighing is tried, done, proved and undone; nothing of the lot is elsewhere afterwards.
#[track_caller]
fn weighed_and_undone(counter: &Counter, lot: &str, line: &str) -> Ran {
    let before = lies(counter, lot, SHELF);
    let tried = types(counter, &format!("{line} --dry-run")).good();
    assert_eq!(lies(counter, lot, SHELF), before);
    let ran = types(counter, line).good();
    assert_eq!(tried.out.lines().nth(1), Some(ran.answer()));
    assert_ne!(lies(counter, lot, SHELF), before);
    proved(counter);
    let undo = ran
        .out
        .lines()
        .find_map(|line| line.strip_prefix("next: bincard "));
    let undo = undo.unwrap().split("   ").next().unwrap().to_owned();
    types(counter, &undo).good();
    assert_eq!(lies(counter, lot, SHELF), before);
    proved(counter);
    ran
}

/// N20: the spool weighs 86 m, the book says 110 m: the difference of a length, with its cause, and nothing negative.
#[test]
fn the_spool_weighs_less_than_the_book_says() {
    let counter = weighable();
    let spool = lot_of(&counter, "W-6");
    let line = format!("weigh {spool} --gross 0.4126kg --tare 58g --by TW");
    turned_away(&counter, &line, 242, 1, "no cause is given");
    let ran = weighed_and_undone(&counter, &spool, &format!("{line} -w used without a slip"));
    assert_eq!(
        ran.answer(),
        format!("WI-08 {spool}: 86.18 m by weight, book 110.2 m: 24.02 m short")
    );
    for told in [
        "0.4126kg = 412.6 g",
        "412.6 g gross less 58 g tare is 354.6 g; at 4.1146 g to the m that is 86.18 m",
        "one gram is 0.24 m",
    ] {
        assert!(ran.out.contains(told), "{told}: {}", ran.out);
    }
    types(&counter, &format!("{line} -w used without a slip")).good();
    assert_eq!(lies(&counter, &spool, SHELF), 86_180_000);
    let kept = "SELECT counted FROM count_line WHERE book = 110200000 AND cause = 'used without a slip' \
                ORDER BY id DESC LIMIT 1";
    assert_eq!(counter.figure(kept), 86_180_000);
    // The tare stays with the spool: the next weighing needs the gross alone, and finds the book right.
    let ran = types(&counter, &format!("weigh {spool} --gross 412.6 --by TW")).good();
    assert_eq!(
        ran.answer(),
        format!("WI-08 {spool}: 86.18 m by weight, as in the book")
    );
    assert!(!ran.out.contains("next: bincard undo"), "{}", ran.out);
    // An empty spool is no metre, and less than that is no weighing.
    let less = format!("weigh {spool} --gross 57.9g --by TW -w empty");
    turned_away(
        &counter,
        &less,
        258,
        1,
        "57.9 g gross is less than the tare of 58 g",
    );
    types(&counter, &format!("weigh {spool} --gross 58g --by TW -w empty")).good();
    assert_eq!(lies(&counter, &spool, SHELF), 0);
    let nothing_there = format!("weigh {spool} --gross 58g --by TW -w empty");
    turned_away(&counter, &nothing_there, 242, 1, "none of it lies");
    proved(&counter);
}

/// More than the book says is found again as far as it was lost, and a tare typed anew takes the place of the old.
#[test]
fn what_weighs_more_than_the_book_is_over() {
    let counter = weighable();
    let spool = lot_of(&counter, "W-6");
    let short = format!("weigh {spool} --gross 412.6g --tare 58g --by TW -w misread");
    types(&counter, &short).good();
    // 354.6 + 30 = 384.6 g, at 4.1146 g are 93.47 m.
    let ran = weighed_and_undone(
        &counter,
        &spool,
        &format!("weigh {spool} --gross 412.6g --tare 28g --by TW -w other spool"),
    );
    assert!(
        ran.answer()
            .ends_with("93.47 m by weight, book 86.18 m: 7.29 m over"),
        "{}",
        ran.answer()
    );
    // The weighing that was undone takes its tare along: 58 g again.
    let ran = types(&counter, &format!("weigh {spool} --gross 412.6g --by TW")).good();
    assert!(ran.answer().ends_with("as in the book"), "{}", ran.answer());
    types(
        &counter,
        &format!("weigh {spool} --gross 412.6g --tare 28g --by TW -w other spool"),
    )
    .good();
    let tares = "SELECT COUNT(*) FROM note WHERE topic = 'tare'";
    assert_eq!(counter.figure(tares), 3, "the first, the undone, the last");
    let ran = types(&counter, &format!("weigh {spool} --gross 412.6g --by TW")).good();
    assert!(ran.answer().ends_with("as in the book"), "{}", ran.answer());
    assert_eq!(counter.figure(tares), 3);
}

/// What is kept by mass needs no record of its weight: 400 g of grease, 382 by the scale.
#[test]
fn what_is_kept_by_mass_is_weighed_as_it_is() {
    let counter = Counter::sample();
    let ran = there_and_back(
        &counter,
        "weigh U31 --gross 0.452kg --tare 70 --by TW -w used without a slip",
    );
    assert!(
        ran.answer().ends_with("382 g by weight, book 400 g: 18 g short"),
        "{}",
        ran.answer()
    );
}

/// What is reserved and not there any more is stripped, and the job is named: amber needs 2.4 m of the wire.
#[test]
fn a_job_that_loses_its_wire_is_named() {
    let counter = weighable();
    types(&counter, "reserve amber --by TW").good();
    let reserved = "SELECT SUM(c.qty) FROM claim c JOIN lot l ON l.id = c.lot JOIN part p ON p.id = l.part \
                    WHERE p.number = 'WI-08'";
    let before = counter.figure(reserved);
    assert!(before > 0);
    let tin = lot_of(&counter, "W-5");
    let ran = types(
        &counter,
        &format!("weigh {tin} --gross 20g --tare 20g --by TW -w gone"),
    )
    .good();
    assert!(ran.out.contains("SHORT J-0004 (amber)"), "{}", ran.out);
    assert_eq!(counter.figure(reserved), 0);
    proved(&counter);
}

#[test]
fn what_is_not_weighed() {
    let counter = weighable();
    for (line, number, exit, says) in [
        (
            "weigh H10-81 --gross 200g --tare 10g --by TW -w x",
            257,
            1,
            "what one each of NU-10 weighs",
        ),
        ("weigh W-6 --gross 400g --by TW -w x", 402, 2, "no tare is kept"),
        (
            "weigh W-6 --gross 4m --tare 58g --by TW -w x",
            402,
            2,
            "--gross 4m",
        ),
        (
            "weigh W-6 --gross 400g --tare heavy --by TW -w x",
            402,
            2,
            "--tare heavy",
        ),
        ("weigh W-6 --tare 58g --by TW -w x", 402, 2, "--gross"),
        (
            "weigh W-6 --gross 400g --tare 58g --from BENCH --by TW -w x",
            242,
            1,
            "none of it lies in BENCH",
        ),
        ("weigh NONE --gross 400g --tare 58g --by TW -w x", 239, 1, "NONE"),
    ] {
        turned_away(&counter, line, number, exit, says);
    }
}
