//! `find`: the questions of the counter, each one command whose first line is the answer. Figures from `stock.csv` of
//! the sample workshop: row n there is lot serial n, its check character worked out in `measure/number.rs`.

use super::refused;
use crate::desk::Counter;
use bincard::domain::measure::number::lot_number;
use bincard::domain::stores::search::{Wanted, folded};

/// The number of the lot that stands in this row of the sample's stock.
fn row(n: i64) -> String {
    lot_number(n).unwrap()
}

#[track_caller]
fn answers(counter: &Counter, words: &[&str], exit: u8, answer: &str) {
    let mut typed = vec!["find"];
    typed.extend(words);
    let ran = counter.run(&typed);
    assert_eq!(ran.answer(), answer, "{words:?}: {ran:?}");
    assert_eq!(ran.exit, exit, "{words:?}: {ran:?}");
    assert!(ran.answer().chars().count() <= 80, "{answer}");
}

#[test]
fn where_are_the_two_mil_spacers_and_which_lot_to_give() {
    let counter = Counter::sample();
    let told = format!("SP-20 in A-1: give {} first, no last day; 8 each free", row(7));
    for words in [
        &["2", "mm", "spacer"][..],
        &["two-mil", "spacers"],
        &["spacer", "2.0"],
        &["SPACERS", "2mm"],
        &["SP-20"],
        &["sp20"],
        &["sp-2O"],
        &["SP", "20"],
    ] {
        answers(&counter, words, 0, &told);
    }
    // The dead tube stands first on the shelf and is not the one to give: row 50 is, of 250 ml that are good.
    let told = format!(
        "SE-50 in C-1: give {} first (100), until 2026-11-29; 250 ml free in all",
        row(50)
    );
    answers(&counter, &["50", "ml", "tube"], 0, &told);
    // One of the four turbochargers is a customer's.
    let told = format!(
        "TB-60 in A-3: give {} first (1), no last day; 3 each free in all",
        row(2)
    );
    answers(&counter, &["TB-60"], 0, &told);
}

#[test]
fn is_this_tube_any_good() {
    let counter = Counter::sample();
    let dead = format!(
        "NO GOOD since 2026-11-10 went by: 100 ml of SE-50 in C-1 ({})",
        row(48)
    );
    answers(&counter, &["X0551"], 1, &dead);
    let good = format!(
        "good, until 2027-03-31: 100 ml of SE-50 in C-1 ({}), 100 free",
        row(49)
    );
    answers(&counter, &["x0618"], 0, &good);
    answers(&counter, &[&row(49).to_lowercase()], 0, &good);
    // 180 days open, and today is 2026-11-25: opened on 2026-05-29 its last day is today (worked out by hand:
    // May has 2 days left, June to October 153, November 25).
    let ran = counter.run(&["find", "X0618"]);
    assert!(
        ran.out.contains("opened before 2026-05-29, it is dead"),
        "{}",
        ran.out
    );
    // Opened today it is good for 180 days from now: 2027-05-24, later than the day on the pack.
    let opened = counter.run(&["open", "X0702", "--by", "TW"]).good();
    let lot = opened.answer().split(' ').nth(4).unwrap().to_owned();
    let good = format!("good, until 2027-05-24: 50 ml of SE-50 in C-1 ({lot}), 50 free");
    answers(&counter, &[&lot], 0, &good);
    let ran = counter.run(&["find", &lot]);
    assert!(
        ran.out.contains("worked out: opened 2026-11-25 and 180 days"),
        "{}",
        ran.out
    );
    // The last day itself is good, the day after is not.
    for (day, exit) in [("2027-05-24", 0), ("2027-05-25", 1)] {
        assert_eq!(counter.run(&["find", &lot, "--on", day]).exit, exit, "{day}");
    }
    let caged = format!(
        "NOT to be given, it lies in quarantine: 4 each of SP-20 in CAGE ({})",
        row(9)
    );
    answers(&counter, &["S20-12"], 1, &caged);
    let coming = format!(
        "NOT to be given, it lies in receiving: 20 each of BJ-100 in IN ({})",
        row(12)
    );
    answers(&counter, &["J6318"], 1, &coming);
    counter
        .run(&["scrap", &row(48), "100", "--by", "TW", "-w", "expired"])
        .good();
    let gone = format!("NONE left of SE-50 {}: 100 to SCRAP", row(48));
    answers(&counter, &["X0551"], 1, &gone);
}

#[test]
fn how_much_wire_is_left_on_this_spool() {
    let counter = Counter::sample();
    let told = format!(
        "good, no last day: 9.35 m of WI-08 in BENCH ({}), 9.35 free",
        row(54)
    );
    answers(&counter, &["W-5"], 0, &told);
}

#[test]
fn this_one_is_out_and_what_there_is_instead() {
    let counter = Counter::sample();
    answers(
        &counter,
        &["PR-224"],
        0,
        "PR-224: none to give; nothing in the house, none on order",
    );
    // Four of the bolts lie in quarantine, the sixteen on the shelf go to the four jobs.
    counter.run(&["reserve", "--all", "--by", "TW"]);
    for tag in ["amber", "blue", "green", "red"] {
        counter.run(&["reserve", tag, "--by", "TW"]);
    }
    answers(
        &counter,
        &["BO-68"],
        0,
        "BO-68: none to give; 16 each reserved, 4 each in quarantine",
    );
    let ran = counter.run(&["find", "H68-12"]);
    assert!(ran.out.contains("4 each reserved for blue"), "{}", ran.out);
}

#[test]
fn bins_jobs_and_several() {
    let counter = Counter::sample();
    answers(
        &counter,
        &["a-1"],
        0,
        "A-1 (shelf, spacers and joints): 4 lots of 3 parts",
    );
    answers(
        &counter,
        &["sealant", "cupboard"],
        0,
        "C-1 (shelf, sealant cupboard): 6 lots of 2 parts",
    );
    answers(
        &counter,
        &["spacer"],
        0,
        "5 parts for spacer; say more to find one",
    );
    let rows = counter.run(&["find", "spacer", "--format", "json"]).json();
    assert_eq!(rows["rows"][3]["number"], "SP-25");
    assert_eq!(rows["rows"][3]["free"]["qty"], "6");
    for called in ["blue", "W28-0417", "j-1"] {
        let ran = counter.run(&["find", called]).good();
        assert!(
            ran.answer()
                .starts_with("J-0001 (blue) for W28-0417 of BRACK: open"),
            "{ran:?}"
        );
    }
}

/// A short form of a lot number is found and shown whole, as every other command takes it.
#[test]
fn a_short_lot_number_is_read_whole() {
    let counter = Counter::sample();
    for typed in ["L000049H", "l49", "49H", "L000049"] {
        let ran = counter.run(&["find", typed]).good();
        assert!(ran.answer().contains("(L000049H)"), "{typed}: {}", ran.answer());
    }
}

#[test]
fn nothing_found_offers_what_is_near() {
    let counter = Counter::sample();
    refused(
        &counter,
        &["find", "SP-21"],
        239,
        1,
        "near it: OP-21, SP-20, SP-25",
    );
    refused(&counter, &["find", "X0681"], 239, 1, "X0618");
    refused(
        &counter,
        &["find", "zzzzzzzz"],
        239,
        1,
        "no part, lot, bin or job zzzzzzzz",
    );
    refused(&counter, &["find", " "], 402, 2, "nothing is looked for");
}

#[test]
fn words_fit_by_value_and_never_by_half() {
    let fits = |asked: &str, text: &str| {
        let words: Vec<String> = asked.split(' ').map(str::to_owned).collect();
        Wanted::of(&words).fits(text)
    };
    for (asked, text, wanted) in [
        ("2 mm", "spacer, 2.0 mm", true),
        ("2 mm", "spacer, 2.5 mm", false),
        ("2.50mm", "spacer, 2.5 mm", true),
        ("5", "spacer, 2.5 mm", false),
        ("ten", "nut, M10", true),
        ("m", "nut, 10 mm", false),
        ("rings", "o-ring, 18 x 2.5 mm", true),
        ("18 ring", "o-ring, 18 x 2.5 mm", true),
        ("ring 42", "o-ring, 18 x 2.5 mm", false),
        ("...", "anything", false),
        ("99999999999999999999999999999999999", "anything", false),
    ] {
        assert_eq!(fits(asked, text), wanted, "{asked} in {text}");
    }
    assert_eq!(folded("sp-2O il"), "SP2011");
}
