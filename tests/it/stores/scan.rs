//! `scan`: what a label says and what the books say of it. Lots by their row in `stock.csv` of the sample workshop,
//! as in `find.rs`; the cases of `tests/facts/pick.toml` on its figures.

use super::refused;
use crate::desk::{Counter, Ran, run_typing};
use bincard::domain::measure::number::lot_number;

/// The number of the lot that stands in this row of the sample's stock.
fn row(n: i64) -> String {
    lot_number(n).unwrap()
}

#[track_caller]
fn answers(counter: &Counter, words: &[&str], exit: u8, answer: &str) -> Ran {
    let mut typed = vec!["scan"];
    typed.extend(words);
    let ran = counter.run(&typed);
    assert_eq!(ran.answer(), answer, "{words:?}: {ran:?}");
    assert_eq!(ran.exit, exit, "{words:?}: {ran:?}");
    assert!(ran.answer().chars().count() <= 80, "{answer}");
    ran
}

/// The cases of the pick that have a check here, by their ids.
#[test]
fn every_case_of_the_pick_has_a_check() {
    let facts: toml::Table = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/facts/pick.toml"))
        .parse()
        .unwrap();
    let ids: Vec<&str> = facts["case"]
        .as_array()
        .unwrap()
        .iter()
        .map(|case| case["id"].as_str().unwrap())
        .collect();
    assert_eq!(ids, ["mis-scan-1", "double-scan-1", "two-lots-bin-1"]);
}

/// Lines scanned one after another.
fn one_a_line(counter: &Counter, words: &[&str], lines: &str) -> Ran {
    let store = counter.store().display().to_string();
    let mut all = vec!["--store", &store];
    all.extend(words);
    run_typing(&all, &|_| None, Some(lines))
}

/// What is it, where, how much, good until: the same lot by our label in all its forms, by its number and its batch.
#[test]
fn a_lot_however_its_label_is_read() {
    let counter = Counter::sample();
    let lot = row(49);
    let told = format!("good, until 2027-03-31: 100 ml of SE-50 in C-1 ({lot}), 100 free");
    for code in [
        lot.clone(),
        lot.to_lowercase(),
        format!("]d291{lot}"),
        format!("]C191{lot}"),
        format!("91{lot}"),
        format!("(91){lot}"),
        "X0618".to_owned(),
        "]C0X0618".to_owned(),
        "(01)09521234543213(10)X0618".to_owned(),
        "]d20109521234543213172703311\u{30}X0618".to_owned(),
    ] {
        answers(&counter, &[&code], 0, &told);
    }
    // Dead, in the cage, a customer's: each is said on the first line.
    let dead = format!(
        "NO GOOD since 2026-11-10 went by: 100 ml of SE-50 in C-1 ({})",
        row(48)
    );
    answers(&counter, &[&row(48)], 1, &dead);
    let caged = format!(
        "NOT to be given, it lies in quarantine: 4 each of SP-20 in CAGE ({})",
        row(9)
    );
    answers(&counter, &[&row(9)], 1, &caged);
    let theirs = format!(
        "good, no last day: 1 each of TB-60 in A-3 ({}), 1 free, SEVEN's",
        row(1)
    );
    answers(&counter, &[&row(1)], 0, &theirs);
}

/// `two-lots-bin-1` of `tests/facts/pick.toml`: two lots in one bin and a part's label; nothing is guessed.
#[test]
fn a_parts_label_in_a_bin_of_two_lots_asks_for_the_lot() {
    let counter = Counter::sample();
    // Row 44 is good until 2032-09-30, row 45 until 2027-02-28: the later row goes first.
    let told = format!(
        "OR-18: which lot of 2? {} goes first, B-1, until 2027-02-28",
        row(45)
    );
    for words in [
        &["OR-18"][..],
        &["OR-18", "--in", "b-1"],
        &["(93)OR-18"],
        &["93OR-18"],
    ] {
        let ran = answers(&counter, words, 1, &told);
        assert!(ran.out.contains(&row(44)), "{ran:?}");
        assert!(
            ran.out.contains(&format!("next: bincard scan {}", row(45))),
            "{ran:?}"
        );
    }
    let rows = counter.run(&["scan", "OR-18", "--format", "json"]).json();
    assert_eq!(rows["kind"], "scan");
    assert_eq!(rows["rows"][0]["lot"], row(45));
    assert_eq!(rows["rows"][1]["free"]["qty"], "60");
    let rows = counter.run(&["scan", "TB-60", "--format", "json"]).json();
    assert_eq!(
        (&rows["rows"][0]["lot"], &rows["rows"][0]["owner"]),
        (&row(1).into(), &"SEVEN".into())
    );
    // SP-20 lies in A-1 as one lot and in the cage as another: the bin says which.
    let told = format!("good, no last day: 8 each of SP-20 in A-1 ({}), 8 free", row(7));
    let ran = answers(&counter, &["SP-20", "--in", "A-1"], 0, &told);
    assert!(ran.out.contains("this is the one lot of it in A-1"), "{ran:?}");
    // In a bin where nothing of it lies, it is said so and the rest is told.
    let ran = counter.run(&["scan", "SP-20", "--in", "B-1"]);
    assert_eq!(
        (ran.exit, ran.answer()),
        (1, "SP-20: none of it lies in B-1"),
        "{ran:?}"
    );
    refused(&counter, &["scan", "SP-20", "--in", "Z-9"], 239, 1, "Z-9");
}

#[test]
fn bins_jobs_and_lines_of_lists() {
    let counter = Counter::sample();
    answers(
        &counter,
        &["]C192A-1"],
        0,
        "A-1 (shelf, spacers and joints): 4 lots of 3 parts",
    );
    answers(
        &counter,
        &["92A-1"],
        0,
        "A-1 (shelf, spacers and joints): 4 lots of 3 parts",
    );
    let ran = counter.run(&["scan", "(94)J-0001"]).good();
    assert!(
        ran.answer()
            .starts_with("J-0001 (blue) for W28-0417 of BRACK: open"),
        "{ran:?}"
    );
    counter.run(&["reserve", "blue", "--by", "TW"]).good();
    let number = counter.run(&["pick", "blue", "--format", "json"]).json();
    let first = &number["rows"][0];
    let list = counter.figure("SELECT list FROM job WHERE tag = 'blue'");
    let told = format!(
        "line 1 for J-0001 (blue): {} {} of {} ({}) from {}",
        first["qty"]["qty"].as_str().unwrap(),
        first["qty"]["unit"].as_str().unwrap(),
        first["part"].as_str().unwrap(),
        first["lot"].as_str().unwrap(),
        first["bin"].as_str().unwrap()
    );
    answers(&counter, &[&format!("(96)J-0001/{list}/1")], 0, &told);
    answers(&counter, &[&format!("J-0001/{list}/1")], 0, &told);
    let old = format!("J-0001/{}/1", list - 1);
    if list > 1 {
        refused(&counter, &["scan", &old], 215, 1, "no longer holds");
    }
    refused(
        &counter,
        &["scan", &format!("J-0001/{list}/999")],
        242,
        1,
        "nothing is left to pick on it",
    );
}

#[test]
fn a_document_by_its_number() {
    let counter = Counter::sample();
    let moved = counter
        .run(&["move", &row(45), "4", "--to", "A-2", "--by", "TW"])
        .good();
    let document = moved
        .out
        .lines()
        .nth(1)
        .unwrap()
        .rsplit(' ')
        .next()
        .unwrap()
        .to_owned();
    let told = format!("{document}: move by TW on 2026-11-25, 1 line");
    for code in [
        document.clone(),
        format!("(95){document}"),
        document.to_lowercase(),
    ] {
        answers(&counter, &[&code], 0, &told);
    }
    // Its number with other letters before it is another document's, and there is none.
    let other = document.replace("MOV", "GRN");
    refused(
        &counter,
        &["scan", &format!("(95){other}")],
        239,
        1,
        "no document",
    );
}

/// A maker's label beside the books: what differs is said, and what is dead by its label is not called good.
#[test]
fn a_makers_label_is_held_against_the_books() {
    let counter = Counter::sample();
    let article = "(01)09521234543213";
    let good = format!(
        "good, until 2027-03-31: 100 ml of SE-50 in C-1 ({}), 100 free",
        row(49)
    );
    let ran = answers(&counter, &[&format!("{article}(17)270331(10)X0618")], 0, &good);
    assert!(!ran.out.contains("caution"), "{ran:?}");
    let ran = answers(&counter, &[&format!("{article}(17)270228(10)X0618")], 0, &good);
    assert!(ran.out.contains("the label says until 2027-02-28"), "{ran:?}");
    // The last day itself is good, the day after is not: today is 2026-11-25.
    answers(&counter, &[&format!("{article}(17)261125(10)X0618")], 0, &good);
    let dead = format!(
        "NOT to be used: its label says until 2026-11-24, the books of {} later",
        row(49)
    );
    answers(&counter, &[&format!("{article}(17)261124(10)X0618")], 1, &dead);
    // Our part number on the label parts two makers' like batches; another part's batch is not this one.
    let told = format!(
        "good, until 2031-06-30: 12 each of OR-42 in B-1 ({}), 12 free",
        row(30)
    );
    answers(&counter, &[&format!("{article}(241)OR-42(10)Z42-31")], 0, &told);
    answers(
        &counter,
        &[&format!("{article}(241)SP-20(10)Z42-31")],
        1,
        "not in the books: batch Z42-31",
    );
    answers(
        &counter,
        &[article],
        1,
        "not in the books: article 09521234543213",
    );
    let serial = format!("good, no last day: 1 each of TB-60 in A-3 ({}), 1 free", row(2));
    answers(&counter, &[&format!("{article}(21)CV-8021")], 0, &serial);
    answers(&counter, &[&format!("{article}(10)Q9(21)CV-8021")], 0, &serial);
    answers(
        &counter,
        &[&format!("{article}(21)CV-9999")],
        1,
        "not in the books: serial CV-9999",
    );
}

/// N16 of the nasty cases: the separator is missing, so the day stands in the batch.
#[test]
fn a_missing_separator_is_said_and_nothing_is_guessed() {
    let counter = Counter::sample();
    let code = "]C1010952123454321310X061817270331";
    let ran = answers(&counter, &[code], 1, "not in the books: batch X061817270331");
    assert!(
        ran.out
            .contains("(10) X061817270331 may be X0618, and (17) 2027-03-31"),
        "{ran:?}"
    );
    let json = counter.run(&["scan", code, "--format", "json"]).json();
    assert!(
        json["cautions"][0].as_str().unwrap().contains("separator"),
        "{json}"
    );
    assert_eq!(json["rows"][1]["ai"], "10");
}

/// Two makers' batches of one name: they are listed with their parts, and our own label is asked for.
#[test]
fn a_batch_of_two_lots_asks_for_our_own_label() {
    let counter = Counter::sample();
    let raw = rusqlite::Connection::open(counter.store()).unwrap();
    raw.execute_batch("UPDATE lot SET batch = 'T160-3' WHERE batch = 'T160-4'")
        .unwrap();
    let ran = answers(
        &counter,
        &["(01)09521234543213(10)T160-3"],
        1,
        "which of 2 lots with that batch? scan our own label",
    );
    assert!(
        ran.out.contains(&row(13)) && ran.out.contains(&row(14)),
        "{ran:?}"
    );
}

#[test]
fn what_cannot_be_read_is_refused_by_number() {
    let counter = Counter::sample();
    for (code, number, says) in [
        (" ", 270, "nothing was scanned"),
        ("]C10109521234543213888X", 271, "\"888X\""),
        ("(01)0952", 272, "holds 14 figures"),
        ("(01)09521234543210", 273, "would be 3"),
        ("(01)09521234543213(17)261345", 274, "month 13"),
        ("(10)LOT-7", 275, "says nothing without (01) or (02)"),
        ("(01)09521234543213(37)12", 275, "(37) may not go with (01)"),
        ("(01)09521234543213(10)A(10)B", 276, "twice"),
        ("(91)L000049X", 277, "is no label of ours"),
        ("(91)L999999X", 277, "is no label of ours"),
        ("nosuchthing", 239, "no part, lot, bin or job nosuchthing"),
    ] {
        refused(&counter, &["scan", code], number, 1, says);
        let told = counter.run(&["explain", &number.to_string()]).good();
        assert!(told.out.contains(&number.to_string()), "{told:?}");
    }
}

/// Scans come one a line, the separator in them; the exit is that of the last that was not good.
#[test]
fn scans_one_a_line() {
    let counter = Counter::sample();
    let lines = format!("{}\r\n\r\n]C1010952123454321310X0618\u{1d}17270331\r\n", row(49));
    let ran = one_a_line(&counter, &["scan"], &lines).good();
    assert_eq!(ran.out.matches("100 ml of SE-50 in C-1").count(), 2, "{ran:?}");
    assert_eq!(ran.err, "scan> scan> scan> scan> ", "{ran:?}");
    let ran = one_a_line(&counter, &["scan", "--in", "B-1"], "OR-18\nA-1\n");
    assert_eq!(ran.exit, 1, "{ran:?}");
    assert!(ran.out.contains("A-1 (shelf"), "a no ends nothing: {ran:?}");
    assert_eq!(one_a_line(&counter, &["scan"], "").good().out, "");
    // A word that looks like a flag is a scan like any other.
    let ran = one_a_line(&counter, &["scan"], "--help\n");
    assert!(ran.err.contains("no part, lot, bin or job --help"), "{ran:?}");
}

/// `mis-scan-1` of `tests/facts/pick.toml`: another part's lot on a line is refused and nothing is posted.
#[test]
fn another_part_on_a_line_is_refused() {
    let counter = Counter::sample();
    counter.run(&["reserve", "green", "--by", "TW"]);
    let list = counter.run(&["pick", "green", "--format", "json"]).json();
    let lines = list["rows"].as_array().unwrap();
    let line = lines.iter().find(|line| line["part"] != "SP-20").unwrap();
    let held = counter.figure("SELECT list FROM job WHERE tag = 'green'");
    let took = line["qty"]["qty"].as_str().unwrap();
    let typed = format!("pick green --list {held} {}={took}:{} --by TW", line["n"], row(7));
    counter.refuses(&typed, 1, &row(7));
}

/// `double-scan-1` of `tests/facts/pick.toml`, N15 of the nasty cases: within three seconds it is posted once, and what
/// is sent later finds nothing left to pick.
#[test]
fn the_same_scan_twice_is_posted_once() {
    let counter = Counter::sample();
    counter.run(&["reserve", "blue", "--by", "TW"]).good();
    let list = counter.figure("SELECT list FROM job WHERE tag = 'blue'");
    let rows = counter.run(&["pick", "blue", "--format", "json"]).json();
    let line = &rows["rows"][0];
    assert_eq!(line["qty"]["qty"], "4");
    let pick = format!("pick blue --list {list} 1=4:{}", line["lot"].as_str().unwrap());
    let picked = "SELECT COUNT(*) FROM document WHERE kind = 'pick'";
    let ran = one_a_line(&counter, &["hatch", "--by", "TW"], &format!("{pick}\n{pick}\n")).good();
    assert_eq!(counter.figure(picked), 1, "{ran:?}");
    assert!(
        ran.err.contains("the same line came twice within 3 seconds"),
        "{ran:?}"
    );
    // Another visit to the hatch knows nothing of the first: the list itself has nothing left on that line.
    let ran = one_a_line(&counter, &["hatch", "--by", "TW"], &format!("{pick}\n")).good();
    assert_eq!(counter.figure(picked), 1, "{ran:?}");
    // Questions may be asked as often as one likes, and what was refused may be tried again.
    let lines = format!(
        "{0}\n{0}\nfind {0}\nfind {0}\nmove {0} 900 --to A-2\nmove {0} 900 --to A-2\n",
        row(49)
    );
    let ran = one_a_line(&counter, &["hatch", "--by", "TW"], &lines).good();
    assert_eq!(ran.out.matches("good, until 2027-03-31").count(), 4, "{ran:?}");
    assert!(!ran.err.contains("came twice"), "{ran:?}");
    // A line between two likes makes them two; a store read by a program takes every line.
    let note = "note a pallet came";
    one_a_line(
        &counter,
        &["hatch", "--by", "TW"],
        &format!("{note}\n{note} too\n{note}\n{note}\n"),
    )
    .good();
    let noted = "SELECT COUNT(*) FROM document WHERE kind = 'note'";
    assert_eq!(counter.figure(noted), 3);
}

/// Wherever a number or a code is typed its label may be scanned instead, with the scanner's mark or without.
#[test]
fn a_label_stands_for_what_it_names_in_every_command() {
    let counter = Counter::sample();
    let moves = "SELECT COUNT(*) FROM document WHERE kind = 'move'";
    for (moved, (lot, bin)) in (1..).zip([
        ("]d291L000045P", "]C192A-2"),
        ("91L000045P", "]C192A-2"),
        ("(91)L000045P", "(92)A-2"),
        ("\u{1d}91L000045P", "A-2"),
    ]) {
        counter
            .run(&["move", lot, "4", "--from", "B-1", "--to", bin, "--by", "TW"])
            .good();
        assert_eq!(counter.figure(moves), moved, "{lot} {bin}");
    }
    let shown = counter.run(&["job", "show", "]d294J-0001"]).good();
    assert!(shown.answer().contains("J-0001"), "{shown:?}");
    counter.run(&["reserve", "(94)J-0001", "--by", "TW"]).good();
    let list = counter.figure("SELECT list FROM job WHERE tag = 'blue'");
    let lot = counter.run(&["pick", "blue", "--format", "json"]).json()["rows"][0]["lot"].clone();
    let answer = format!("1=4:]d291{}", lot.as_str().unwrap());
    let ran = one_a_line(
        &counter,
        &["hatch", "--by", "TW"],
        &format!("pick blue --list {list} {answer}\r\n"),
    )
    .good();
    assert_eq!(
        counter.figure("SELECT COUNT(*) FROM document WHERE kind = 'pick'"),
        1,
        "{ran:?}"
    );
    // A label that reads wrong stands as it was scanned, and nothing bears that name.
    refused(
        &counter,
        &["move", "(91)L000045X", "4", "--to", "A-2", "--by", "TW"],
        239,
        1,
        "(91)L000045X",
    );
}
