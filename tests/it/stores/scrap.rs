//! `scrap` and `quarantine`: what has happened is posted, and the jobs that it makes short are named.

use super::{done_and_undone, refused};
use crate::desk::Counter;

#[test]
fn scrap_names_the_jobs_it_makes_short() {
    let counter = Counter::sample();
    counter.run(&["reserve", "blue", "--by", "TW"]);
    // 40 in the lot, blue has 16: 24 are free, the 25th is blue's.
    let ran = done_and_undone(
        &counter,
        &["scrap", "L000025X", "24", "--by", "TW", "-w", "wrong", "plating"],
    );
    assert_eq!(ran.answer(), "24 each of NU-10 scrapped: wrong plating");
    assert!(!ran.out.contains("SHORT"), "{}", ran.out);
    let ran = done_and_undone(
        &counter,
        &["scrap", "L000025X", "25", "--by", "TW", "-w", "wrong plating"],
    );
    assert!(
        ran.out
            .contains("SHORT J-0001 (blue): 1 each of NU-10 no longer reserved (job line 16)"),
        "{}",
        ran.out
    );
    let ran = counter
        .run(&["scrap", "L000025X", "40", "--by", "TW", "-w", "wrong plating"])
        .good();
    assert!(
        ran.out.contains("16 each of NU-10 no longer reserved"),
        "{}",
        ran.out
    );
}

#[test]
fn what_is_sheared_on_the_engine_makes_its_line_short_again() {
    let counter = Counter::sample();
    counter.run(&["reserve", "amber", "--by", "TW"]).good();
    counter
        .run(&["pick", "amber", "--list", "2", "--as-listed", "--by", "TW"])
        .good();
    let ran = done_and_undone(
        &counter,
        &[
            "scrap", "L000018V", "1", "-j", "amber", "--by", "TW", "-w", "dropped",
        ],
    );
    assert_eq!(ran.answer(), "1 each of PI-28 scrapped: dropped");
    counter.run(&["issue", "amber", "--by", "TW"]).good();
    counter
        .run(&[
            "scrap", "L000018V", "1", "-j", "W28-0533", "--by", "TW", "-w", "cracked",
        ])
        .good();
    let fitted = "SELECT fitted FROM job_line n JOIN part p ON p.id = n.part JOIN job j ON j.id = n.job \
                  WHERE p.number = 'PI-28' AND j.tag = 'amber'";
    assert_eq!(counter.figure(fitted), 3_000_000);
    refused(
        &counter,
        &[
            "scrap", "L000018V", "4", "-j", "amber", "--by", "TW", "-w", "cracked",
        ],
        207,
        1,
        "3 each",
    );
    counter.run(&["check"]).good();
}

#[test]
fn the_cage_takes_from_shelf_and_kit() {
    let counter = Counter::sample();
    let ran = done_and_undone(
        &counter,
        &["quarantine", "Z42-16", "3", "--by", "TW", "-w", "flattened"],
    );
    assert_eq!(ran.answer(), "3 each of OR-42 put into quarantine: flattened");
    // 12 + 3 on the shelf and 10 in the cage before.
    assert!(
        ran.out
            .contains("OR-42: 12 each on the shelf, 0 each reserved, 12 each free, 13 each in quarantine"),
        "{}",
        ran.out
    );
}

#[test]
fn what_is_not_scrapped() {
    let counter = Counter::sample();
    for (words, number, exit, says) in [
        (vec!["scrap", "L000025X", "41", "-w", "x"], 207, 1, "40"),
        (vec!["scrap", "L000025X", "0", "-w", "x"], 202, 1, ""),
        (vec!["scrap", "L000025X", "1"], 402, 2, "--why"),
        (vec!["scrap", "CV-7714", "1", "-w", "x"], 221, 1, "Sevenfold"),
        (
            vec!["quarantine", "L000032Z", "1", "-w", "x"],
            242,
            1,
            "none of it lies",
        ),
    ] {
        let mut words = words;
        words.splice(1..1, ["--by", "TW"]);
        refused(&counter, &words, number, exit, says);
    }
    counter
        .run(&[
            "scrap",
            "CV-7714",
            "1",
            "--owner-says",
            "yes, by telephone",
            "--by",
            "TW",
            "-w",
            "cracked housing",
        ])
        .good();
    assert_eq!(
        counter.figure("SELECT COUNT(*) FROM document WHERE owner_word = 'yes, by telephone'"),
        1
    );
}
