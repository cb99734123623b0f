//! Which lots a line gets, and how much of each: the check values with their source, then the edges, worked out by hand.

use super::shelves::{Shelves, day, head, qty};
use bincard::domain::kitting::reserve::{LineOutcome, PassedOver, free, reserve};
use bincard::domain::measure::{Qty, Unit};
use bincard::domain::refusal::Refusal;
use bincard::domain::stores::document::DocKind;
use bincard::domain::stores::ids::{JobId, LineId};
use bincard::domain::stores::posting::Held;
use toml::Table;

/// Reserves for these jobs, carries it into the shelves and gives what became of each line that was short.
fn reserved_for(shelves: &mut Shelves, jobs: &[JobId]) -> Vec<LineOutcome> {
    let outcome = reserve(&shelves.stock, head(DocKind::Reserve, &shelves.stock), jobs).unwrap();
    if let Some(posting) = &outcome.posting {
        shelves.carry(posting);
    }
    outcome.lines
}

/// What a line got, in the order in which it was taken: `B 10, A 2`.
fn taken(shelves: &Shelves, outcome: &LineOutcome) -> String {
    let told: Vec<String> = outcome
        .reserved
        .iter()
        .map(|(lot, qty)| format!("{} {qty}", shelves.names[lot]))
        .collect();
    told.join(", ")
}

#[test]
fn the_check_values() {
    let file: Table = include_str!("../../facts/allocation.toml").parse().unwrap();
    let cases = file["case"].as_array().unwrap();
    assert_eq!(cases.len(), 2);
    for case in cases {
        assert!(!case["source"].as_str().unwrap().trim().is_empty(), "{case}");
        let (asked, wanted) = (&case["inputs"], &case["expected"]);
        // The clock stands well before the day of use, so that only the day of use can judge.
        let mut shelves = Shelves::on("2026-07-01");
        let part = shelves.part("PART", Unit::Each, "1", "");
        for lot in asked["lots"].as_array().unwrap() {
            shelves.lot(part, lot.as_str().unwrap());
        }
        let job = shelves.job("blue", "Brack", asked["use"].as_str().unwrap(), 5);
        shelves.line(job, part, &asked["need"].to_string());
        let outcome = reserved_for(&mut shelves, &[job]).remove(0);
        let wanted: Vec<&str> = wanted["pick"]
            .as_array()
            .unwrap()
            .iter()
            .map(|pick| pick.as_str().unwrap())
            .collect();
        assert_eq!(taken(&shelves, &outcome), wanted.join(", "), "{case}");
    }
}

/// What may be reserved of all that is in the house: another job's, the cage's and what is dead are taken off.
#[test]
fn what_may_be_reserved_of_all_that_is_there() {
    let file: Table = include_str!("../../facts/reserve.toml").parse().unwrap();
    let cases = file["case"].as_array().unwrap();
    assert_eq!(cases.len(), 1);
    for case in cases {
        assert!(!case["source"].as_str().unwrap().trim().is_empty(), "{case}");
        let figure = |name: &str| case["inputs"][name].as_integer().unwrap();
        let bad = ["quarantine", "expired", "opened_unusable"].map(figure);
        let good = figure("on_hand") - bad.iter().sum::<i64>();
        let mut shelves = Shelves::on("2026-11-25");
        let part = shelves.part("PART", Unit::Each, "1", "");
        let [caged, expired, open] = bad;
        shelves.lot(part, &format!("good {good}"));
        shelves.lot(part, &format!("caged {caged} CAGE"));
        shelves.lot(part, &format!("expired {expired} exp 2026-11-24"));
        shelves.lot(part, &format!("open {open} opened exp 2026-11-24"));
        let first = shelves.job("amber", "Brack", "2026-11-25", 1);
        shelves.line(first, part, &figure("allocated").to_string());
        let second = shelves.job("blue", "Brack", "2026-11-25", 5);
        let line = shelves.line(second, part, &figure("on_hand").to_string());
        reserved_for(&mut shelves, &[first, second]);
        let wanted = format!("good {}", case["expected"]);
        assert_eq!(shelves.reserved(line), wanted, "{case}");
    }
}

/// The need, the hand-out unit, the lots on the shelves, what is taken, what stays short. Today is 2026-11-25, the day
/// of use 2026-12-02, the job Brack's.
type Edge = (
    &'static str,
    &'static str,
    &'static [&'static str],
    &'static str,
    &'static str,
);

const EDGES: [Edge; 27] = [
    // Nothing there, the last unit, one more than there is.
    ("1", "", &[], "", "1"),
    ("1", "", &["A 0"], "", "1"),
    ("1", "", &["A 1"], "A 1", "0"),
    ("3", "", &["A 2"], "A 2", "1"),
    ("3", "", &["A 3"], "A 3", "0"),
    ("3", "", &["A 4"], "A 3", "0"),
    // The day before, the day itself, the day after.
    ("1", "", &["A 1 exp 2026-12-01"], "", "1"),
    ("1", "", &["A 1 exp 2026-12-02"], "A 1", "0"),
    ("1", "", &["A 1 exp 2026-12-03"], "A 1", "0"),
    // First to expire first, no last day last, ties by the older lot.
    ("2", "", &["A 1", "B 1 exp 2027-01-31"], "B 1, A 1", "0"),
    ("1", "", &["A 1 exp 2027-01-31", "B 1 exp 2026-12-31"], "B 1", "0"),
    ("1", "", &["A 1 exp 2026-12-31", "B 1 exp 2026-12-31"], "A 1", "0"),
    ("1", "", &["A 1", "B 1"], "A 1", "0"),
    // The bench counts, receiving and the cage do not.
    ("3", "", &["A 1 IN", "B 1 CAGE", "C 1 BENCH"], "C 1", "2"),
    // On hold, overhauled where new is wanted, another customer's; the job's own customer's is taken.
    ("1", "", &["A 1 held"], "", "1"),
    ("1", "", &["A 1 overhauled"], "", "1"),
    ("1", "", &["A 1 Tow"], "", "1"),
    ("1", "", &["A 1 Brack"], "A 1", "0"),
    // A serial or a matched set goes whole, and never beyond the need.
    ("4", "", &["A 4 whole"], "A 4", "0"),
    ("3", "", &["A 4 whole"], "", "3"),
    ("6", "", &["A 4 whole", "B 4 whole"], "A 4", "2"),
    // Hand-out units: 8 ml of an opened tube and one tube of 50 for 12 ml stand, 58 below 62.
    (
        "12",
        "50",
        &["A 8 opened exp 2027-01-31", "B 100 exp 2027-03-31"],
        "A 8, B 50",
        "0",
    ),
    ("12", "50", &["A 100"], "A 50", "0"),
    ("50", "50", &["A 100"], "A 50", "0"),
    ("50.1", "50", &["A 150"], "A 100", "0"),
    // An unopened rest of less than a unit must be opened first; an opened pack goes by measure.
    ("12", "50", &["A 49"], "", "12"),
    ("12", "50", &["A 13 opened"], "A 12", "0"),
];

#[test]
fn the_edges() {
    for (need, hand_out, lots, wanted, short) in EDGES {
        let mut shelves = Shelves::on("2026-11-25");
        let part = shelves.part("PART", Unit::Millilitre, "0.1", hand_out);
        for lot in lots {
            shelves.lot(part, lot);
        }
        let job = shelves.job("blue", "Brack", "2026-12-02", 5);
        shelves.line(job, part, need);
        let outcome = reserved_for(&mut shelves, &[job]).remove(0);
        let found = (taken(&shelves, &outcome), outcome.short.to_string());
        assert_eq!(
            found,
            (wanted.to_owned(), short.to_owned()),
            "{need} of {lots:?} in units of {hand_out:?}"
        );
    }
}

#[test]
fn a_line_that_needs_nothing_is_not_asked_for() {
    let mut shelves = Shelves::on("2026-11-25");
    let part = shelves.part("PART", Unit::Each, "1", "");
    shelves.lot(part, "A 5");
    let job = shelves.job("blue", "Brack", "2026-12-02", 5);
    shelves.line(job, part, "0");
    let outcome = reserve(&shelves.stock, head(DocKind::Reserve, &shelves.stock), &[job]).unwrap();
    assert!(outcome.posting.is_none() && outcome.lines.is_empty());
}

/// The days of the document and of the clock, the last day of the lot, whether it is taken; the day of use is
/// 2026-12-02. The latest of the three judges (law.md 4.1).
const JUDGED: [(&str, &str, &str, bool); 6] = [
    ("2026-11-25", "2026-11-25", "2026-12-02", true),
    ("2026-12-02", "2026-11-25", "2026-12-02", true),
    ("2026-12-03", "2026-11-25", "2026-12-02", false),
    ("2026-12-03", "2026-11-25", "2026-12-03", true),
    ("2026-11-25", "2026-12-03", "2026-12-02", false),
    ("2026-11-25", "2026-12-03", "2026-12-03", true),
];

#[test]
fn the_latest_of_three_days_judges() {
    for (document, clock, last, good) in JUDGED {
        let mut shelves = Shelves::on(clock);
        shelves.stock.day = day(document);
        let part = shelves.part("PART", Unit::Each, "1", "");
        shelves.lot(part, &format!("A 1 exp {last}"));
        let job = shelves.job("blue", "Brack", "2026-12-02", 5);
        shelves.line(job, part, "1");
        let outcome = reserved_for(&mut shelves, &[job]).remove(0);
        assert_eq!(!outcome.reserved.is_empty(), good, "{document} {clock} {last}");
    }
}

/// Two jobs with tag, day of use and priority; who gets the only one.
type Turn = ([(&'static str, &'static str, i64); 2], &'static str);

const TURNS: [Turn; 4] = [
    ([("blue", "2026-12-02", 5), ("red", "2026-12-01", 9)], "red"),
    ([("blue", "2026-12-02", 5), ("red", "2026-12-02", 4)], "red"),
    ([("blue", "2026-12-02", 5), ("red", "2026-12-02", 5)], "blue"),
    ([("blue", "2026-12-02", 1), ("red", "2026-12-03", 1)], "blue"),
];

#[test]
fn the_earlier_day_then_the_priority_then_the_number_goes_first() {
    for (jobs, winner) in TURNS {
        let mut shelves = Shelves::on("2026-11-25");
        let part = shelves.part("PART", Unit::Each, "1", "");
        shelves.lot(part, "A 1");
        let ids: Vec<JobId> = jobs
            .iter()
            .map(|(tag, use_day, priority)| shelves.job(tag, "Brack", use_day, *priority))
            .collect();
        let lines: Vec<LineId> = ids.iter().map(|job| shelves.line(*job, part, "1")).collect();
        // Asked for the wrong way round, so that the order asked in cannot be what decides.
        let asked: Vec<JobId> = ids.iter().rev().copied().collect();
        reserved_for(&mut shelves, &asked);
        for ((tag, ..), line) in jobs.iter().zip(lines) {
            let wanted = if *tag == winner { "A 1" } else { "" };
            assert_eq!(shelves.reserved(line), wanted, "{jobs:?} {tag}");
        }
    }
}

#[test]
fn a_reservation_on_a_lot_that_died_since_is_replaced_in_one_document() {
    let mut shelves = Shelves::on("2026-11-25");
    let part = shelves.part("PART", Unit::Each, "1", "");
    shelves.lot(part, "A 2 exp 2026-12-03");
    shelves.lot(part, "B 1 exp 2027-03-31");
    let job = shelves.job("blue", "Brack", "2026-12-02", 5);
    let line = shelves.line(job, part, "2");
    reserved_for(&mut shelves, &[job]);
    assert_eq!(shelves.reserved(line), "A 2");
    // On its last day nothing changes; a day later it is given up, and what lasts takes its place.
    for (today, wanted, short) in [("2026-12-03", "A 2", None), ("2026-12-04", "B 1", Some("1"))] {
        (shelves.stock.day, shelves.stock.today) = (day(today), day(today));
        let lines = reserved_for(&mut shelves, &[job]);
        assert_eq!(shelves.reserved(line), wanted, "{today}");
        let told = lines.first().map(|outcome| outcome.short);
        assert_eq!(told, short.map(qty), "{today}");
    }
}

#[test]
fn odd_rests_are_not_reserved_where_they_could_not_be_picked() {
    // Wire moves in steps of 0.01 m; weighing back left an odd rest of 2.955 m, which goes only whole.
    let mut shelves = Shelves::on("2026-11-25");
    let wire = shelves.part("WIRE", Unit::Metre, "0.01", "");
    shelves.lot(wire, "A 2.955 exp 2027-01-31");
    shelves.lot(wire, "B 10");
    let job = shelves.job("blue", "Brack", "2026-12-02", 5);
    let line = shelves.line(job, wire, "6.4");
    reserved_for(&mut shelves, &[job]);
    // 2.95 + 3.45 = 6.40: each can be picked, and nothing stays short.
    assert_eq!(shelves.reserved(line), "A 2.95, B 3.45");
}

#[test]
fn who_has_it_is_told_where_a_line_stays_short() {
    let mut shelves = Shelves::on("2026-11-25");
    let part = shelves.part("PART", Unit::Each, "1", "");
    shelves.lot(part, "A 1");
    let blue = shelves.job("blue", "Brack", "2026-12-02", 5);
    let red = shelves.job("red", "Tow", "2026-12-09", 5);
    shelves.line(blue, part, "1");
    shelves.line(red, part, "1");
    let told = reserved_for(&mut shelves, &[blue, red]);
    assert_eq!(told[0].passed_over, vec![]);
    let lot = *shelves.names.keys().next().unwrap();
    assert_eq!(
        told[1].passed_over,
        vec![(lot, PassedOver::ReservedFor(vec![blue]))]
    );
}

/// Jobs that share a lot of one each, and how many of them are told to the last, who gets none: three are named, a
/// fourth stands for all the others.
#[test]
fn of_many_who_have_it_the_first_are_told() {
    for (sharing, told) in [(1, 1), (3, 3), (4, 4), (5, 4), (40, 4)] {
        let mut shelves = Shelves::on("2026-11-25");
        let part = shelves.part("PART", Unit::Each, "1", "");
        let lot = shelves.lot(part, &format!("A {sharing}"));
        let mut jobs = Vec::new();
        for n in 0..=sharing {
            let job = shelves.job(&format!("box {n}"), "Brack", "2026-12-02", 5);
            shelves.line(job, part, "1");
            jobs.push(job);
        }
        let last = reserved_for(&mut shelves, &jobs).pop().unwrap();
        let wanted = PassedOver::ReservedFor(jobs[..told].to_vec());
        assert_eq!(last.passed_over, vec![(lot, wanted)], "{sharing}");
    }
}

#[test]
fn a_lot_in_a_bin_on_hold_is_told_with_the_cause() {
    let mut shelves = Shelves::on("2026-11-25");
    let part = shelves.part("PART", Unit::Each, "1", "");
    let lot = shelves.lot(part, "A 5");
    shelves.hold(Held::Place(shelves.at("A-1")), "bin not found");
    let job = shelves.job("blue", "Brack", "2026-12-02", 5);
    shelves.line(job, part, "1");
    let outcome = reserved_for(&mut shelves, &[job]).remove(0);
    let why = PassedOver::OnHold(vec!["bin not found".to_owned()]);
    assert_eq!((outcome.short, outcome.passed_over), (qty("1"), vec![(lot, why)]));
}

#[test]
fn freeing_names_lines_that_are_there() {
    let mut shelves = Shelves::on("2026-11-25");
    let part = shelves.part("PART", Unit::Each, "1", "");
    shelves.lot(part, "A 5");
    let job = shelves.job("blue", "Brack", "2026-12-02", 5);
    let first = shelves.line(job, part, "1");
    reserved_for(&mut shelves, &[job]);
    let told = |shelves: &Shelves, lines: &[i64]| {
        free(&shelves.stock, head(DocKind::Free, &shelves.stock), job, lines)
    };
    for lines in [&[2][..], &[1, 2], &[0]] {
        let refused = told(&shelves, lines).unwrap_err();
        assert!(
            matches!(refused, Refusal::Unknown { what: "line", .. }),
            "{refused:?}"
        );
    }
    let freed = told(&shelves, &[1]).unwrap().unwrap();
    shelves.carry(&freed);
    assert_eq!(shelves.stock.lines[&first].reserved, Qty::ZERO);
    assert!(
        told(&shelves, &[]).unwrap().is_none(),
        "nothing is left to give up"
    );
}
