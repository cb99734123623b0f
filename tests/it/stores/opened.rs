//! `open`: whichever comes first, the day on the pack or its life once opened; the last day itself is usable.

use super::{done_and_undone, refused};
use crate::desk::Counter;
use bincard::domain::measure::{Day, Qty, Unit};
use bincard::domain::refusal::Refusal;
use bincard::domain::stores::ids::{DocId, LotId, PartId};
use bincard::domain::stores::lot::Lot;
use bincard::domain::stores::opened::opened_pack;
use bincard::domain::stores::part::Part;

fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

fn tube(opened_life_days: Option<i64>) -> Part {
    Part {
        id: PartId(1),
        number: "SE-50".to_owned(),
        name: "sealant".to_owned(),
        class: "material".to_owned(),
        unit: Unit::parse("ml").unwrap(),
        step: Qty::from_millionths(100_000),
        hand_out: Some(Qty::whole(50)),
        opened_life_days,
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
        let pack = opened_pack(&tube(life), &lot(printed), opened, opened).unwrap();
        assert_eq!(pack.expiry, wanted.map(day), "{printed:?} {life:?}");
        assert_eq!(pack.opened, Some(opened));
        assert_eq!(pack.batch.as_deref(), Some("X1"));
    }
}

#[test]
fn a_pack_is_opened_on_its_last_day_and_not_after() {
    let (part, pack) = (tube(Some(10)), lot(Some("2026-11-29")));
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
