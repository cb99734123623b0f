//! Over the hatch: a part given for a broken one, for more, or as the line waits; what comes back, put back, returned.

use crate::desk::Counter;

/// A column of a job's line of a part, in whole units.
fn on_line(counter: &Counter, column: &str, part: &str) -> i64 {
    let sql = format!(
        "SELECT SUM(n.{column}) / 1000000 FROM job_line n JOIN part p ON p.id = n.part JOIN job j ON j.id = n.job \
         WHERE p.number = '{part}' AND j.tag = 'amber'"
    );
    counter.figure(&sql)
}

/// Amber's kit picked, and issued where asked: 16 nuts of 70, 4 pistons, a torque of everything else.
fn amber(issued: bool) -> Counter {
    let counter = Counter::sample();
    counter.run(&["reserve", "amber", "--by", "TW"]).good();
    counter
        .run(&["pick", "amber", "--list", "2", "--as-listed", "--by", "TW"])
        .good();
    if issued {
        counter.run(&["issue", "amber", "--by", "TW"]).good();
    }
    counter
}

/// Types a line with the clerk's initials behind its first word.
fn run(counter: &Counter, line: &str) -> crate::desk::Ran {
    counter.types(&signed(line))
}

fn signed(line: &str) -> String {
    let (command, rest) = line.split_once(' ').unwrap();
    format!("{command} --by TW {rest}")
}

#[track_caller]
fn refused(counter: &Counter, line: &str, exit: u8, says: &str) {
    counter.refuses(&signed(line), exit, says);
}

#[test]
fn a_sheared_one_is_scrapped_and_another_given_in_one_document() {
    let counter = amber(true);
    let documents = counter.figure("SELECT COUNT(*) FROM document");
    let ran = run(&counter, "give NU-10 2 -j amber -w thread stripped").good();
    assert_eq!(
        ran.answer(),
        "2 each of NU-10 given to J-0004 (amber), as much scrapped: thread stripped"
    );
    assert_eq!(counter.figure("SELECT COUNT(*) FROM document"), documents + 1);
    // Loose parts balance: 18 went to the engine, 16 are on it, 2 are scrap; 70 − 18 = 52 are left.
    assert_eq!(
        (
            on_line(&counter, "fitted", "NU-10"),
            on_line(&counter, "need", "NU-10")
        ),
        (16, 16)
    );
    assert!(ran.out.contains("NU-10: 52 each on the shelf"), "{}", ran.out);
    counter.run(&["check"]).good();
    counter.run(&["undo", "ISS-8", "--by", "TW"]).good();
    assert_eq!(on_line(&counter, "fitted", "NU-10"), 16);
    let stock = counter.run(&["stock", "NU-10"]).good();
    assert!(
        stock.answer().starts_with("NU-10: 54 each free of 54 each"),
        "{}",
        stock.answer()
    );
    counter.run(&["check"]).good();
}

#[test]
fn more_than_the_bill_says_raises_the_need() {
    let counter = amber(true);
    run(&counter, "give NU-10 3 -j amber --more").good();
    assert_eq!(
        (
            on_line(&counter, "fitted", "NU-10"),
            on_line(&counter, "need", "NU-10")
        ),
        (19, 19)
    );
    counter.run(&["check"]).good();
}

#[test]
fn what_the_line_waits_for_needs_no_word() {
    let counter = Counter::sample();
    let ran = run(&counter, "give JT-130 2 -j amber").good();
    assert_eq!(ran.answer(), "2 each of JT-130 given to J-0004 (amber)");
    assert_eq!(
        (
            on_line(&counter, "fitted", "JT-130"),
            on_line(&counter, "need", "JT-130")
        ),
        (2, 2)
    );
    refused(
        &counter,
        "give JT-130 1 -j amber",
        2,
        "waits for 0 each of JT-130",
    );
    counter.run(&["check"]).good();
}

#[test]
fn what_is_not_given() {
    let counter = amber(true);
    run(&counter, "reserve blue");
    for (line, exit, says) in [
        ("give NU-10 1 -j amber", 2, "say why"),
        ("give NU-10 17 -j amber -w x", 1, "16"),
        ("give NU-10 0 -j amber --more", 1, "nothing"),
        ("give SP-20 1 -j amber --more", 1, "line of the job for SP-20"),
        ("give NOPE 1 -j amber --more", 1, "no part NOPE"),
        ("give NU-10 1 -j mauve --more", 1, "mauve"),
        // 54 on the shelf, 16 of them blue's: 38 may be given, not 39.
        ("give NU-10 39 -j amber --more", 1, "38 each of it can be given"),
    ] {
        refused(&counter, line, exit, says);
    }
    run(&counter, "give NU-10 38 -j amber --more").good();
    counter.run(&["check"]).good();
}

#[test]
fn what_lies_untouched_in_the_kit_is_put_back() {
    let counter = amber(false);
    let n = 22; // pistons, by the bill of TC-W with the choice piston
    let ran = run(&counter, &format!("put-back amber {n}=4")).good();
    assert_eq!(ran.answer(), "1 line of J-0004 (amber) back in the bins");
    assert_eq!(
        (
            on_line(&counter, "kitted", "PI-28"),
            on_line(&counter, "reserved", "PI-28")
        ),
        (0, 0)
    );
    assert!(
        ran.out
            .contains("PI-28: 4 each on the shelf, 0 each reserved, 4 each free"),
        "{}",
        ran.out
    );
    for (line, exit, says) in [
        (format!("put-back amber {n}=1"), 1, "line 22"),
        ("put-back amber 16=17".to_owned(), 1, "line 16"),
        ("put-back amber 99=1".to_owned(), 1, "no line 99 of J-0004"),
        ("put-back amber 16=0".to_owned(), 1, "nothing"),
        ("put-back amber 16".to_owned(), 2, "answers no line"),
        ("put-back amber 16=1 --to CAGE".to_owned(), 1, "wants shelf"),
    ] {
        refused(&counter, &line, exit, says);
    }
    counter.run(&["check"]).good();
}

/// Blue's studs are of two lots, 14 of T160-3 and 2 of T160-4; which of them goes back is said, never guessed.
#[test]
fn of_two_lots_in_the_kit_the_one_named_goes_back() {
    let counter = Counter::sample();
    run(&counter, "reserve blue");
    run(&counter, "pick blue --list 2 --as-listed").good();
    for (line, exit, says) in [
        ("put-back blue 24=1", 1, "L0000134 14 each"),
        ("put-back blue 24=3:T160-4", 1, "T160-4"),
        ("put-back blue 24=2:NOPE", 1, "NOPE"),
        ("put-back blue 24=:T160-4", 2, "quantity"),
    ] {
        let ran = run(&counter, line);
        assert_eq!(ran.exit, exit, "{line}: {ran:?}");
        assert!(ran.err.contains("next:"), "{line}: {}", ran.err);
        if says != "T160-4" {
            assert!(ran.err.contains(says), "{line}: {}", ran.err);
        }
    }
    run(&counter, "put-back blue 24=2:T160-4").good();
    let kit = "SELECT b.qty / 1000000 FROM balance b JOIN lot l ON l.id = b.lot JOIN place p ON p.id = b.place \
               WHERE l.batch = 'T160-4' AND p.code = 'KIT-1'";
    assert_eq!(counter.figure(kit), 0);
    counter.run(&["check"]).good();
}

#[test]
fn what_comes_back_says_its_condition_and_waits_for_the_inspector() {
    let counter = amber(true);
    refused(&counter, "return amber 16=6", 2, "in what condition");
    refused(&counter, "return amber 16=6:", 2, "in what condition");
    refused(&counter, "return amber 16=17:used", 1, "line 16");
    // The clerk's seventh question: "He's brought back six nuts. Do they go on the shelf or in the scrap?"
    let ran = run(&counter, "return amber 16=6:used 22=1:burr").good();
    assert_eq!(
        ran.answer(),
        "2 lines of J-0004 (amber) back in receiving, to be inspected"
    );
    assert_eq!(
        (
            on_line(&counter, "fitted", "NU-10"),
            on_line(&counter, "fitted", "PI-28")
        ),
        (10, 3)
    );
    let waiting = counter.run(&["inspect"]).good();
    assert!(
        waiting
            .out
            .lines()
            .any(|line| line.contains("PI-28") && line.ends_with("burr")),
        "{}",
        waiting.out
    );
    // Both lines are short again: the pistons wait for the inspector, nuts lie free on the shelf.
    let short = counter.run(&["shorts", "amber"]);
    assert_eq!(
        (short.exit, short.answer()),
        (1, "1 line short, 1 to reserve on J-0004 (amber); none of it due")
    );
    counter.run(&["check"]).good();
    counter.run(&["undo", "RTN-8", "--by", "TW"]).good();
    assert_eq!(on_line(&counter, "fitted", "NU-10"), 16);
    counter.run(&["check"]).good();
}

#[test]
fn a_return_out_of_the_kit_too() {
    let counter = amber(false);
    run(&counter, "return amber 22=1:opened").good();
    assert_eq!(on_line(&counter, "kitted", "PI-28"), 3);
    counter.run(&["check"]).good();
}
