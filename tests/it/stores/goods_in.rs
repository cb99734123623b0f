//! `goods-in`: what the van brought waits in receiving; values add up to the order; packs are not taken for pieces.

use super::{done_and_undone, refused};
use crate::desk::Counter;
use bincard::domain::measure::Life;
use rusqlite::Connection;

/// The clerk's fourth question: "It says twenty on the note and I can count seventeen. What do I book?"
#[test]
fn twenty_on_the_note_and_seventeen_counted() {
    let counter = Counter::sample();
    // ORD-101 line 2: 20 studs for 137.00.
    let words = ["goods-in", "ORD-101", "2=17", "--note", "2=20", "--by", "TW"];
    let ran = done_and_undone(&counter, &words);
    assert_eq!(
        ran.answer(),
        "17 each of ST-160 in IN, lot L0001835; 3 each still to come on ORD-101"
    );
    assert!(ran.answer().chars().count() <= 80);
    assert!(
        ran.out
            .contains("SHORT by 3 each: ORD-101 line 2 ST-160: the note says 20, 17 counted"),
        "{}",
        ran.out
    );
    counter.run(&words).good();
    // 17 × 137.00 / 20 = 116.45, and the other three bring what is left of 137.00: 20.55.
    let last = "SELECT value FROM entry ORDER BY id DESC LIMIT 1";
    assert_eq!(counter.figure(last), 116_450_000);
    counter.run(&["goods-in", "ORD-101", "2=3", "--by", "TW"]).good();
    assert_eq!(counter.figure(last), 20_550_000);
    // What has come and waits to be inspected is no longer on its way.
    let house = counter
        .run(&["stock", "ST-160", "--format", "json"])
        .good()
        .json();
    let sum = &house["tables"]["the_sum"];
    assert_eq!(
        (&sum[5]["qty"]["qty"], &sum[7]["qty"]["qty"]),
        (&"28".into(), &"0".into())
    );
    let shown = counter.run(&["goods-in", "ORD-101"]).good();
    assert_eq!(
        shown.answer(),
        "ORD-101, Quoyle and Dunnage Stockholders: 1 line still to come"
    );
    counter.run(&["check"]).good();
}

#[test]
fn two_lots_in_one_delivery_are_two_lots() {
    let counter = Counter::sample();
    // Four jets for 28.80: 7.20 each.
    let ran = done_and_undone(
        &counter,
        &["goods-in", "ORD-103", "1=3:Q140", "1=1:Q141", "--by", "TW"],
    );
    assert_eq!(ran.answer(), "2 lots in IN; 0 each still to come on ORD-103");
    counter
        .run(&["goods-in", "ORD-103", "1=3:Q140", "1=1:Q141", "--by", "TW"])
        .good();
    for (batch, value) in [("Q140", 21_600_000), ("Q141", 7_200_000)] {
        let sql = format!(
            "SELECT e.value FROM entry e JOIN lot l ON l.id = e.lot WHERE l.batch = '{batch}' ORDER BY e.id DESC LIMIT 1"
        );
        assert_eq!(counter.figure(&sql), value, "{batch}");
    }
    // Nothing of it may be picked before it was inspected.
    let stock = counter.run(&["stock", "JT-130"]).good();
    assert!(
        stock
            .answer()
            .starts_with("JT-130: 3 each free of 3 each on the shelf"),
        "{}",
        stock.answer()
    );
}

#[test]
fn an_order_in_pieces_and_a_note_in_boxes() {
    let counter = Counter::sample();
    for (words, number, exit, says) in [
        // One more than is still to come, and a hundred times as many.
        (
            vec!["goods-in", "ORD-103", "1=5"],
            244,
            1,
            "4 each still to come, 5 each",
        ),
        (
            vec!["goods-in", "ORD-103", "1=400"],
            244,
            1,
            "does the note count in packs",
        ),
        (
            vec!["goods-in", "ORD-103", "1=3", "1=2"],
            244,
            1,
            "1 each still to come, 2 each",
        ),
        (vec!["goods-in", "ORD-103", "2=1"], 239, 1, "2"),
        (vec!["goods-in", "ORD-103", "1"], 402, 2, "answers no line"),
        (vec!["goods-in", "ORD-103", "1=0"], 202, 1, ""),
        (vec!["goods-in", "ORD-103", "1=1,5"], 402, 2, "1,5"),
        (
            vec!["goods-in", "ORD-103", "1=1", "--cost", "3"],
            402,
            2,
            "leave it out",
        ),
        (vec!["goods-in", "ORD-999", "1=1"], 239, 1, "ORD-999"),
        // Sealant dies on the shelf.
        (vec!["goods-in", "ORD-102", "1=50"], 245, 1, "18 months"),
        (
            vec!["goods-in", "ORD-102", "1=50", "--made", "2026-11-26"],
            242,
            1,
            "made after it came",
        ),
        (
            vec!["goods-in", "ORD-102", "1=50", "--expiry", "31/05/2027"],
            402,
            2,
            "--expiry",
        ),
    ] {
        let words: Vec<&str> = words.into_iter().chain(["--by", "TW"]).collect();
        refused(&counter, &words, number, exit, says);
    }
    let ran = done_and_undone(&counter, &["goods-in", "ORD-103", "1=5", "--over", "--by", "TW"]);
    assert_eq!(
        ran.answer(),
        "5 each of JT-130 in IN, lot L0001835; 0 each still to come on ORD-103"
    );
    counter
        .run(&["goods-in", "ORD-103", "1=5", "--over", "--by", "TW"])
        .good();
    // What came over is not paid for: the line's whole value and no more.
    assert_eq!(
        counter.figure("SELECT value FROM entry ORDER BY id DESC LIMIT 1"),
        28_800_000
    );
}

/// A life counted from a full date ends on the same day of the month: 18 months from 31 August 2026 are 28 February
/// 2028, clamped to the month's end (2028 is a leap year, so the 29th).
#[test]
fn a_last_day_is_printed_or_worked_out() {
    let counter = Counter::sample();
    let last = "SELECT COUNT(*) FROM lot WHERE batch = 'X9' AND expiry = '2028-02-29' AND expiry_how = 'made 2026-08-31, lasts 18 months'";
    counter
        .run(&[
            "goods-in",
            "ORD-102",
            "1=50:X9",
            "--made",
            "2026-08-31",
            "--by",
            "TW",
        ])
        .good();
    assert_eq!(counter.figure(last), 1);
    counter
        .run(&[
            "goods-in",
            "ORD-102",
            "1=50:X10",
            "--expiry",
            "1=2028-01-31",
            "--made",
            "2026-08-31",
            "--by",
            "TW",
        ])
        .good();
    let printed = "SELECT COUNT(*) FROM lot WHERE batch = 'X10' AND expiry = '2028-01-31'";
    assert_eq!(counter.figure(printed), 1);
}

/// A month alone lasts to its last day, a quarter to the end of its third month (common practice of labels).
#[test]
fn a_label_is_read_as_it_is_printed() {
    for (label, last) in [
        ("2028-02", "2028-02-29"),
        ("1=2027-05", "2027-05-31"),
        ("2Q27", "2027-06-30"),
        ("2027-05-30", "2027-05-30"),
    ] {
        let counter = Counter::sample();
        counter
            .run(&["goods-in", "ORD-102", "1=50:X9", "--expiry", label, "--by", "TW"])
            .good();
        let found = format!("SELECT COUNT(*) FROM lot WHERE batch = 'X9' AND expiry = '{last}'");
        assert_eq!(counter.figure(&found), 1, "{label}");
    }
}

/// `cure-1` of the facts file (three years) and what else a label says of the making; SE-50 lasts 18 months. By hand: day
/// 330 of 2025 is 26 November; week 14 of 2026 begins on Monday 30 March (`isoweek-1`) and ends on 5 April.
const MADE: [(&str, &str, &str, &str); 9] = [
    (
        "4Q23",
        "3 years",
        "2026-12-31",
        "4Q23 cured, 3 years: ageing from 2024-01-01",
    ),
    (
        "2Q12",
        "15 years",
        "2027-06-30",
        "2Q12 cured, 15 years: ageing from 2012-07-01",
    ),
    (
        "1=2Q2026",
        "18 months",
        "2027-12-31",
        "2Q2026 cured, 18 months: ageing from 2026-07-01",
    ),
    (
        "2026-02",
        "18 months",
        "2027-08-31",
        "made 2026-02, lasts 18 months: counted from 2026-03-01",
    ),
    (
        "11/2026",
        "18 months",
        "2028-05-31",
        "made 11/2026, lasts 18 months: counted from 2026-12-01",
    ),
    (
        "2026-W14",
        "18 months",
        "2027-10-05",
        "made 2026-W14, lasts 18 months: counted from 2026-04-06",
    ),
    (
        "25330",
        "18 months",
        "2027-05-26",
        "made 25330, day 330 of 2025, 2025-11-26, lasts 18 months",
    ),
    (
        "5365",
        "18 months",
        "2027-06-30",
        "made 5365, day 365 of 2025, 2025-12-31, lasts 18 months",
    ),
    (
        "2026-08-31",
        "18 months",
        "2028-02-29",
        "made 2026-08-31, lasts 18 months",
    ),
];

#[test]
fn a_making_is_read_as_it_is_printed_and_told_how() {
    for (made, life, last, how) in MADE {
        let counter = Counter::sample();
        let raw = Connection::open(counter.store()).unwrap();
        let months = Life::parse(life).unwrap().to_string();
        raw.execute("UPDATE part SET life = ?1 WHERE number = 'SE-50'", [months])
            .unwrap();
        counter
            .run(&["goods-in", "ORD-102", "1=50:X9", "--made", made, "--by", "TW"])
            .good();
        let found = format!(
            "SELECT COUNT(*) FROM lot WHERE batch = 'X9' AND expiry = '{last}' AND expiry_how = '{how}'"
        );
        assert_eq!(counter.figure(&found), 1, "{made}");
        let told = counter.run(&["card", "L0001835"]).good();
        assert!(told.out.contains(&format!("worked out: {how}")), "{}", told.out);
        let listed = counter.run(&["expiry", "--within", "700", "--how", "--format", "csv"]);
        assert!(
            listed.out.lines().next().unwrap().ends_with(",how"),
            "{}",
            listed.out
        );
    }
}

/// A card that was taken on says how its last day was worked out where the file's making and the part's life give it:
/// 18 months from 10 May 2025 are 10 November 2026; from 30 September 2025 they are 30 March 2027, and the card of
/// X0618 has the 31st. From 2Q25 they begin on 1 July 2025 and end on 31 December 2026.
#[test]
fn an_old_card_says_how_its_last_day_was_worked_out() {
    let counter = Counter::sample();
    let file = counter.folder().join("stock.csv");
    let heads = "part,bin,qty,value,batch,serial,expiry,condition,owner,maker,made";
    let row = "SE-50,C-1,50,18.00,X77,,2026-12-31,new,,Marrabel";
    std::fs::write(&file, format!("{heads}\n{row},2Q25\n")).unwrap();
    let line = format!("import {} --by HP", file.display());
    counter.types(&line).good();
    for (batch, how) in [
        ("X0551", "made 2025-05-10, lasts 18 months"),
        ("X0618", "as the old card has it"),
        ("X77", "2Q25 cured, 18 months: ageing from 2025-07-01"),
    ] {
        let found = format!("SELECT COUNT(*) FROM lot WHERE batch = '{batch}' AND expiry_how = '{how}'");
        assert_eq!(counter.figure(&found), 1, "{batch}");
    }
    // The quarter is kept as its last day, and a second reading of either file adds nothing.
    let exported = counter.types("export stock").good().out;
    assert!(exported.contains(&format!("{row},2025-06-30\n")), "{exported}");
    counter.types(&line).good();
    assert_eq!(counter.figure("SELECT COUNT(*) FROM lot WHERE batch = 'X77'"), 1);
}

/// Made this very month is made before it came, next month is not; four digits of two meanings are asked about.
#[test]
fn a_making_that_cannot_be() {
    let counter = Counter::sample();
    for (made, number, exit, says) in [
        ("2026-12", 242, 1, "made after it came"),
        ("2027-W01", 242, 1, "made after it came"),
        ("31/08/2026", 402, 2, "--made"),
        ("5Q20", 402, 2, "no day known on labels"),
        ("1203", 402, 2, "can be read as"),
    ] {
        let words = ["goods-in", "ORD-102", "1=50", "--made", made, "--by", "TW"];
        refused(&counter, &words, number, exit, says);
    }
}

#[test]
fn without_an_order_it_says_from_whom_and_for_how_much() {
    let counter = Counter::sample();
    for (line, number, exit, says) in [
        ("NU-10 50", 402, 2, "from whom"),
        ("NU-10 50 --supplier QUO", 402, 2, "what did all of it cost"),
        ("NU-10 50 --supplier A-1 --cost 1", 242, 1, "wants supplier"),
        ("NU-10 50 2 --supplier QUO --cost 1", 402, 2, "one quantity"),
        ("NU-10 50 --supplier QUO --cost 1 --over", 402, 2, "--over"),
        ("NU-10 50 --supplier QUO --cost 1 --note 60", 402, 2, "--note"),
        ("NU-10 50 --supplier QUO --cost -1", 402, 2, "--cost"),
        (
            "TB-60 2 --supplier QUO --cost 10 --serial S1",
            242,
            1,
            "1 serials",
        ),
        (
            "TB-60 1 --supplier QUO --cost 10 --serial CV-8021",
            229,
            1,
            "L000002A",
        ),
    ] {
        let words: Vec<&str> = ["goods-in", "--by", "TW"]
            .into_iter()
            .chain(line.split(' '))
            .collect();
        refused(&counter, &words, number, exit, says);
    }
    let words = [
        "goods-in",
        "TB-60",
        "3",
        "--supplier",
        "QUO",
        "--cost",
        "10.00",
        "--serial",
        "S1",
        "--serial",
        "S2",
        "--serial",
        "S3",
        "--by",
        "TW",
    ];
    done_and_undone(&counter, &words[..]);
}

#[test]
fn a_customers_own_part_is_his_at_no_value() {
    let counter = Counter::sample();
    let ran = done_and_undone(
        &counter,
        &[
            "goods-in", "TB-60", "1", "--his", "blue", "--serial", "5519", "--by", "TW",
        ],
    );
    assert_eq!(ran.answer(), "1 each of TB-60 in IN, lot L0001835");
    counter
        .run(&[
            "goods-in", "TB-60", "1", "--his", "blue", "--serial", "5519", "--by", "TW",
        ])
        .good();
    let his = "SELECT COUNT(*) FROM lot l JOIN place p ON p.id = l.owner JOIN entry e ON e.lot = l.id \
               WHERE l.serial = '5519' AND p.code = 'BRACK' AND e.value = 0";
    assert!(counter.figure(his) >= 1);
    refused(
        &counter,
        &[
            "goods-in", "TB-60", "1", "--his", "blue", "--cost", "5", "--by", "TW",
        ],
        402,
        2,
        "--cost",
    );
}
