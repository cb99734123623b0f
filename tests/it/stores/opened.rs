//! `open`: whichever comes first, the day on the pack or its life once opened; the last day itself is usable.

use super::{done_and_undone, refused};
use crate::desk::Counter;
use bincard::domain::measure::{Day, Life, Qty, Unit};
use bincard::domain::refusal::Refusal;
use bincard::domain::stores::ids::{DocId, LotId, PartId};
use bincard::domain::stores::lot::Lot;
use bincard::domain::stores::opened::opened_pack;
use bincard::domain::stores::part::Part;
use bincard::domain::stores::verdict::dead_if_opened_before;

fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

fn tube(opened_life: Option<Life>) -> Part {
    Part {
        id: PartId(1),
        number: "SE-50".to_owned(),
        name: "sealant".to_owned(),
        class: "material".to_owned(),
        unit: Unit::parse("ml").unwrap(),
        step: Qty::from_millionths(100_000),
        hand_out: Some(Qty::whole(50)),
        life: None,
        opened_life,
        bench_stock: false,
        critical: false,
        whole_pack: false,
    }
}

fn lot(expiry: Option<&str>) -> Lot {
    Lot {
        id: LotId(1),
        number: "L000001C".to_owned(),
        part: PartId(1),
        child: false,
        pending: false,
        owner: None,
        size: None,
        specific: false,
        off_engine: None,
        batch: Some("X1".to_owned()),
        serial: None,
        maker: None,
        condition: "new".to_owned(),
        made: None,
        opened: None,
        expiry: expiry.map(day),
        expiry_how: None,
        order_line: None,
        document: DocId(1),
    }
}

/// The check case of a part tube (whichever comes first, tpub.com/ase2/47.htm): opened 10 March 2026 and good for 184
/// days, that is to 10 September, printed 31 December; and opening never lengthens life. Then the days about it, by hand.
#[test]
fn whichever_comes_first() {
    for (printed, opened, life, wanted) in [
        (Some("2026-12-31"), "2026-03-10", Some(184), Some("2026-09-10")),
        (Some("2026-06-30"), "2026-03-10", Some(184), Some("2026-06-30")),
        (Some("2026-09-09"), "2026-03-10", Some(184), Some("2026-09-09")),
        (Some("2026-09-10"), "2026-03-10", Some(184), Some("2026-09-10")),
        (Some("2026-09-11"), "2026-03-10", Some(184), Some("2026-09-10")),
        (None, "2026-03-10", Some(184), Some("2026-09-10")),
        (Some("2026-12-31"), "2026-03-10", None, Some("2026-12-31")),
        (None, "2026-03-10", None, None),
        (Some("2026-12-31"), "2026-03-10", Some(0), Some("2026-03-10")),
    ] {
        let opened = day(opened);
        let pack = opened_pack(&tube(life.map(Life::Days)), &lot(printed), opened, opened).unwrap();
        assert_eq!(pack.expiry, wanted.map(day), "{printed:?} {life:?}");
        assert_eq!(pack.opened, Some(opened));
        assert_eq!(pack.batch.as_deref(), Some("X1"));
    }
}

/// `open-life-1` and `open-life-2` of the facts file in months of the calendar, which no number of days stands for; a
/// month that lacks the day ends on its last.
#[test]
fn an_opened_life_may_be_months() {
    for (printed, opened, months, wanted) in [
        (Some("2026-12-31"), "2026-03-10", 6, "2026-09-10"),
        (Some("2026-06-30"), "2026-03-10", 6, "2026-06-30"),
        (None, "2026-02-10", 6, "2026-08-10"),
        (None, "2026-08-31", 6, "2027-02-28"),
        (None, "2027-08-31", 6, "2028-02-29"),
    ] {
        let opened = day(opened);
        let pack = opened_pack(&tube(Some(Life::Months(months))), &lot(printed), opened, opened).unwrap();
        assert_eq!(pack.expiry, Some(day(wanted)), "{opened}");
    }
}

/// Opened on 28 August or before, six months are over on 28 February; opened on the 29th to the 31st they end on that
/// day itself (2027 is no leap year).
#[test]
fn a_pack_that_nobody_noted_is_dead_if_it_was_opened_before() {
    for (life, asked, before) in [
        (Life::Months(6), "2027-02-28", "2026-08-28"),
        (Life::Months(6), "2027-03-01", "2026-09-01"),
        (Life::Days(180), "2026-11-25", "2026-05-29"),
        (Life::Days(0), "2026-11-25", "2026-11-25"),
    ] {
        let found = dead_if_opened_before(&tube(Some(life)), &lot(Some("2028-01-01")), day(asked));
        assert_eq!(found, Some(day(before)), "{life} {asked}");
    }
}

/// A file gives the months, the books keep them and give them back as they were.
#[test]
fn months_are_taken_on_and_opened_by() {
    let counter = Counter::sample();
    let file = counter.folder().join("parts.csv");
    let heads = "number,name,class,unit,step,hand_out,life,opened_life_days,pack_policy,bench_stock,critical,maker,issue,opened_life\n";
    let write = |rows: &str| std::fs::write(&file, format!("{heads}{rows}")).unwrap();
    let path = file.display().to_string();
    let row = "AD-20,\"adhesive, 20 ml tube\",material,ml,0.1,20,,,measure,no,no,,,6 months\n\
               AD-21,\"adhesive, 21 ml tube\",material,ml,0.1,21,,90,measure,no,no,,,\n";
    write(&row.replace(",90,measure,no,no,,,", ",,measure,no,no,,,90 days"));
    counter.run(&["import", &path, "--by", "HP"]).good();
    let parts = counter.run(&["export", "parts"]).good().out;
    let given = row.replace('\n', ",\n");
    assert!(parts.ends_with(&given), "{parts}");
    assert!(!counter.run(&["export", "sizes"]).good().out.contains("AD-20"));
    write(row);
    let again = counter.run(&["import", &path, "--by", "HP"]).good();
    assert!(again.out.contains("nothing"), "{}", again.out);
    let came = [
        "goods-in",
        "AD-20",
        "20",
        "--supplier",
        "QUO",
        "--cost",
        "1",
        "--batch",
        "AD1",
    ];
    counter
        .run(&[&came[..], &["--on", "2026-08-01", "--by", "TW"]].concat())
        .good();
    // Opened on the training day, 25 November: 25 May.
    let ran = counter.run(&["open", "AD1", "--by", "TW"]).good();
    assert!(ran.answer().ends_with("use by 2027-05-25"), "{}", ran.answer());
    assert!(ran.out.contains("opened 2026-11-25 and 6 months"), "{}", ran.out);
    write(&row.replace("no,,,6 months", "no,,,6 moons"));
    counter.refuses(&format!("import {path} --by HP"), 65, "opened_life");
    write(&row.replace(",90,measure,no,no,,,", ",90,measure,no,no,,,3 months"));
    counter.refuses(
        &format!("import {path} --by HP"),
        65,
        "is given beside opened_life_days",
    );
    counter.run(&["check"]).good();
}

#[test]
fn a_pack_is_opened_on_its_last_day_and_not_after() {
    let (part, pack) = (tube(Some(Life::Days(10))), lot(Some("2026-11-29")));
    assert!(opened_pack(&part, &pack, day("2026-11-29"), day("2026-11-29")).is_ok());
    // Dated back, but the clock stands a day too late.
    for judged in ["2026-11-30", "2027-01-01"] {
        let found = opened_pack(&part, &pack, day("2026-11-01"), day(judged));
        assert!(matches!(found, Err(Refusal::Dead { .. })), "{found:?}");
    }
    let mut open = pack.clone();
    open.opened = Some(day("2026-11-01"));
    assert!(opened_pack(&part, &open, day("2026-11-02"), day("2026-11-02")).is_err());
}

#[test]
fn the_answer_is_what_to_write_on_the_tube() {
    let counter = Counter::sample();
    // Printed 2027-08-31; 180 days from 2026-11-25 are 24 May 2027.
    let ran = done_and_undone(&counter, &["open", "X0702", "--by", "TW"]);
    let answer = "write on the pack: L0001835 opened 2026-11-25 use by 2027-05-24";
    assert_eq!(ran.answer(), answer);
    assert!(
        ran.out
            .contains("last day worked out: opened 2026-11-25 and 180 days"),
        "{}",
        ran.out
    );
    // Printed 2027-03-31 comes sooner.
    let ran = done_and_undone(&counter, &["open", "L000049H", "--by", "TW"]);
    assert!(ran.answer().ends_with("use by 2027-03-31"), "{}", ran.answer());
    // One tube of two is opened; the other stays as it is.
    counter.run(&["open", "L000049H", "--by", "TW"]).good();
    let left = counter.figure(
        "SELECT qty FROM balance b JOIN lot l ON l.id = b.lot WHERE l.number = 'L000049H' AND qty > 0",
    );
    assert_eq!(left, 50_000_000);
    let named = counter.figure(
        "SELECT COUNT(*) FROM lot_parent p JOIN lot l ON l.id = p.parent WHERE l.number = 'L000049H'",
    );
    assert_eq!(named, 2, "one opening undone, one that stands");
}

#[test]
fn what_cannot_be_opened() {
    let counter = Counter::sample();
    for (words, number, exit, says) in [
        (vec!["open", "L000048J"], 206, 1, "2026-11-10"),
        (vec!["open", "L000049H", "30"], 219, 1, "50"),
        (vec!["open", "L000049H", "150"], 207, 1, "100"),
        (vec!["open", "L000049H", "0"], 202, 1, ""),
        (vec!["open", "L000049H", "x"], 402, 2, "x"),
        (vec!["open", "L999999"], 239, 1, "L999999"),
        (vec!["open", "SE-50"], 240, 1, "L000049H of SE-50"),
        (vec!["open", "L000049H", "--from", "A-1"], 242, 1, "C-1 100 ml"),
    ] {
        let words: Vec<&str> = words.into_iter().chain(["--by", "TW"]).collect();
        refused(&counter, &words, number, exit, says);
    }
    counter.run(&["open", "L000049H", "--by", "TW"]).good();
    refused(
        &counter,
        &["open", "L0001835", "--by", "TW"],
        242,
        1,
        "open since 2026-11-25",
    );
}

#[test]
fn a_reservation_follows_the_opened_pack_only_as_far_as_it_lasts() {
    let counter = Counter::sample();
    counter.run(&["reserve", "blue", "--by", "TW"]);
    // Blue has one of the two tubes; the free one is opened first, so nothing becomes short.
    let ran = counter.run(&["open", "L000049H", "--by", "TW"]).good();
    assert!(!ran.out.contains("SHORT"), "{}", ran.out);
    // The second takes the reservation along: it lasts to 2027-03-31 and the day of use is 2026-12-02.
    let ran = counter.run(&["open", "L000049H", "--by", "TW"]).good();
    assert!(!ran.out.contains("SHORT"), "{}", ran.out);
    let reserved = counter.figure(
        "SELECT SUM(o.reserved) FROM lot_position o JOIN lot l ON l.id = o.lot WHERE l.opened IS NOT NULL",
    );
    assert_eq!(reserved, 50_000_000);
    counter.run(&["check"]).good();
}
