//! One day of the clerk, his ten questions in the order of the day, each answered by one command whose first line, of 80
//! cells at most, is the answer. The figures are those of `sample-data/story.md` and `opening/stock.csv`, by hand.

use crate::desk::{Counter, Ran};

#[track_caller]
fn answers(counter: &Counter, line: &str, wanted: &str) -> Ran {
    let ran = counter.types(line).good();
    assert_eq!(ran.answer(), wanted, "{line}");
    assert!(ran.answer().chars().count() <= 80, "{}", ran.answer());
    ran
}

#[test]
fn ten_questions_of_one_day() {
    let counter = Counter::sample();
    before_the_van(&counter);
    the_van(&counter);
    noon(&counter);
    afternoon(&counter);
    // Five: the handover, and the books hold.
    counter.types("note the spool lacks 21 m --by TW").good();
    let day = counter.types("today").good();
    assert!(day.answer().ends_with("1 note"), "{}", day.answer());
    counter.types("check").good();
}

fn before_the_van(counter: &Counter) {
    // 7.30. "Where's the two-mil spacers, and which lot do you want me to give?" Row 7: eight of S20-11 in A-1.
    answers(
        counter,
        "find spacer --size thickness=2mm",
        "1 part of thickness 2 mm, 1 with some free",
    );
    answers(
        counter,
        "find SP-20",
        "SP-20 in A-1: give L0000070 first, no last day; 8 each free",
    );
    // "Is this tube any good? It's been open since …": opened today, its printed day 2026-11-29 comes first.
    answers(
        counter,
        "open L000050V --by TW",
        "write on the pack: L0001835 opened 2026-11-25 use by 2026-11-29",
    );
    answers(
        counter,
        "find L0001835 --on 2026-11-29",
        "good, until 2026-11-29: 50 ml of SE-50 in C-1 (L0001835), 50 free",
    );
    let late = counter.types("find L0001835 --on 2026-11-30");
    assert_eq!(
        (late.exit, late.answer()),
        (
            1,
            "NO GOOD since 2026-11-29 went by: 50 ml of SE-50 in C-1 (L0001835)"
        )
    );
    // "What am I short on the blue kit, and is any of it coming today?" One jet of three, on ORD-103 for the 30th.
    assert_eq!(counter.types("reserve amber blue --by TW").exit, 1);
    let short = counter.types("shorts blue");
    assert_eq!(
        (short.exit, short.answer()),
        (
            1,
            "1 line short on J-0001 (blue); none due today, next 2026-11-30"
        )
    );
}

fn the_van(counter: &Counter) {
    // Eleven. "It says twenty on the note and I can count seventeen. What do I book?"
    let van = answers(
        counter,
        "goods-in ORD-101 2=17 --note 2=20 --by TW",
        "17 each of ST-160 in IN, lot L0001843; 3 each still to come on ORD-101",
    );
    let claim = "SHORT by 3 each: ORD-101 line 2 ST-160: the note says 20, 17 counted";
    assert!(van.out.contains(claim), "{}", van.out);
    // "I've two lots in the one bin. Which first?" Row 31 ends before row 30; the kits have four of it.
    answers(
        counter,
        "stock OR-42",
        "OR-42: 11 each free of 15 each on the shelf; first L0000302 in B-1",
    );
    // "I put that on the wrong job. How do I undo it?"
    counter.types("pick blue --list 2 --as-listed --by TW").good();
    let wrong = counter.types("issue blue 16 --by TW").good();
    let undo = wrong
        .out
        .lines()
        .find_map(|line| line.strip_prefix("next: bincard "));
    let undo = undo.unwrap().split("   ").next().unwrap().to_owned();
    assert_eq!(undo, "undo ISS-000009 --by TW");
    answers(counter, &undo, "ISS-000009 is taken back: 1 line");
}

fn noon(counter: &Counter) {
    // "He's brought back six nuts. Do they go on the shelf or in the scrap?" Neither: the inspector looks first.
    counter.types("issue blue 16 --by TW").good();
    let back = counter
        .run(&["return", "blue", "16=6:threads good", "--by", "TW"])
        .good();
    assert_eq!(
        back.answer(),
        "1 line of J-0001 (blue) back in receiving, to be inspected"
    );
    // "How much wire's left on this spool?" 400 g less 59.2 g of spool is 340.8 g; at 4 g to the metre, 85.2 m.
    let weighed = counter
        .run(&[
            "weigh", "W-6", "--gross", "0.4kg", "--tare", "59.2g", "--by", "TW", "-w", "no slip",
        ])
        .good();
    assert!(
        weighed
            .answer()
            .starts_with("WI-08 L000055L: 85.2 m by weight, book "),
        "{}",
        weighed.answer()
    );
}

fn afternoon(counter: &Counter) {
    // "This bolt's out. What can I give him instead, and who says so?"
    for lot in ["BO25-1", "BO25-2"] {
        counter
            .run(&["hold", lot, "--by", "OQ", "-w", "heads cracked"])
            .good();
    }
    let instead = counter.types("find BO-25");
    assert_eq!(
        instead.answer(),
        "BO-25: none to give; BO-30 may stand in, by the authority below"
    );
    assert!(
        instead
            .out
            .contains("substitute by Tern Slip note TS-32 issue 1 (O. Quarrin)"),
        "{}",
        instead.out
    );
    // "There's no certificate in the box. Can I put it away?" No; it goes into the cage, and says so.
    let came = counter
        .types("goods-in NU-08 20 --supplier QUO --cost 5 --by TW")
        .good();
    let note = came.out.lines().find_map(|line| line.split("GRN-").nth(1));
    let note = format!("GRN-{}", &note.unwrap()[..6]);
    counter.refuses(
        &format!("inspect {note} 1=20 --by OQ"),
        1,
        "is not accepted: no conformity statement",
    );
    let line = format!("inspect {note} --cage 1=20 -w no papers --by OQ");
    answers(counter, &line, "NU-08: 0 each accepted, 20 each into the cage");
}
