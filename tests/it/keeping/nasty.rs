//! Nasty cases of goods that run out: the part tube, the day of fitting, the calendar.

use super::{text, turned_away, types, with_part};
use crate::desk::Counter;

/// N1: a part tube opened in November, its printed day in August, needed at the end of May: the day from its opening
/// rules, so it is refused; the next tube is proposed; and the write-off is posted on that container only.
///
/// By hand: SE-50 lasts 180 days opened, from 25 November 2026 to 24 May 2027; the pack says 31 August.
#[test]
fn a_part_tube_is_judged_by_its_opening_and_written_off_alone() {
    let counter = Counter::unasked();
    types(
        &counter,
        "goods-in SE-50 100 --supplier QUO --cost 40 --expiry 2027-12-31 --by TW",
    )
    .good();
    types(&counter, "inspect L0001835 100 --checked all --by OQ").good();
    let opened = types(&counter, "open L000051T --by TW").good();
    assert_eq!(
        opened.answer(),
        "write on the pack: L0001843 opened 2026-11-25 use by 2027-05-24"
    );
    types(&counter, "settings --training-day 2027-05-24 --by HP").good();
    let last_day = types(&counter, "find SE-50").good();
    assert!(
        last_day.answer().contains("give L0001843 first"),
        "{}",
        last_day.answer()
    );
    types(&counter, "settings --training-day 2027-05-25 --by HP").good();
    let next = types(&counter, "find SE-50").good();
    assert!(next.answer().contains("give L0001835 first"), "{}", next.answer());
    let told = types(&counter, "reserve amber --by TW").out;
    assert!(
        told.contains("SE-50 lot L0001843 passed over: EXPIRED 2027-05-24"),
        "{told}"
    );
    assert!(told.contains("L0001835"), "{told}");
    let list = counter.figure("SELECT list FROM job WHERE tag = 'amber'");
    let paper = types(&counter, "pick amber").out;
    let line = paper.lines().find(|line| line.contains("SE-50")).unwrap();
    let n = line.split_whitespace().next().unwrap();
    turned_away(
        &counter,
        &format!("pick amber --list {list} {n}=50:L0001843 --by TW"),
        206,
        1,
        "L0001843 of SE-50 is dead on 2027-05-25",
    );
    types(&counter, "scrap L0001843 50 --by TW -w expired").good();
    let left = "SELECT CAST(SUM(b.qty) AS TEXT) FROM balance b JOIN lot l ON l.id = b.lot JOIN place p ON p.id = b.place \
                WHERE p.code = 'C-1' AND l.number = '";
    for (lot, ml) in [
        ("L0001843", "0"),
        ("L0001835", "100000000"),
        ("L000049H", "100000000"),
    ] {
        assert_eq!(text(&counter, &format!("{left}{lot}'")), ml, "{lot}");
    }
    types(&counter, "check").good();
}

/// N19: sealant that is good on the day of picking and dead on the day of fitting is passed over.
///
/// From the sample: L000050V lasts to 29 November; the blue box is fitted on 2 December.
#[test]
fn good_on_the_day_of_picking_and_dead_on_the_day_of_fitting() {
    let counter = Counter::sample();
    let told = types(&counter, "reserve blue --by TW").out;
    let why = "SE-50 lot L000050V passed over: last day 2026-11-29, dead on the day of use 2026-12-02";
    assert!(told.contains(why), "{told}");
    let list = counter.figure("SELECT list FROM job WHERE tag = 'blue'");
    let paper = types(&counter, "pick blue").out;
    let line = paper.lines().find(|line| line.contains("SE-50")).unwrap();
    assert!(line.contains("L000049H"), "{line}");
    let n = line.split_whitespace().next().unwrap();
    let pick = format!("pick blue --list {list} {n}=50:L000050V --by TW");
    turned_away(&counter, &pick, 206, 1, "is dead on 2026-12-02");
}

/// N30: 29 February, 31 August and six months, quarter codes, a year written 77: through the door, as labels have them.
///
/// By hand from the calendar: months clamp to the month's end; 4Q25 ages from 1 January; a year of two digits is the
/// nearest that is not still to come.
#[test]
fn awkward_days_come_in_as_labels_have_them() {
    for (life, made, last) in [
        ("12 months", "2024-02-29", "2025-02-28"),
        ("6 months", "2026-08-31", "2027-02-28"),
        ("18 months", "2026-08-31", "2028-02-29"),
        ("3 years", "4Q25", "2028-12-31"),
        ("100 years", "1Q77", "2077-03-31"),
        ("15 years", "2026-W14", "2041-04-05"),
    ] {
        let counter = with_part(life);
        types(
            &counter,
            &format!("goods-in X-1 1 --supplier QUO --cost 1 --made {made} --by TW"),
        )
        .good();
        let found = text(&counter, "SELECT expiry FROM lot ORDER BY id DESC LIMIT 1");
        assert_eq!(found, last, "{life} from {made}");
    }
}
