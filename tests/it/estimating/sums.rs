//! The sums as commands: no store is opened, the answer comes first, and each exit means what it says.

use crate::desk::{Ran, run_with, split};

/// Runs a line at a desk without any store.
fn run(line: &str) -> Ran {
    let words = split(line);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    run_with(&words, &|_| None)
}

/// Bore 100, stroke 90, ratio 8.5: h = 12, so the ratio over a spacer is (102+t)/(12+t).
const ENGINE: &str = "sums compression --bore 100 --stroke 90 --ratio 8.5";

#[test]
fn compression_answers_first() {
    for (more, answer) in [
        ("", "8.5:1 as it is"),
        // 104/14
        (" --spacer 2", "7.4286:1 with a 2 mm spacer, 8.5:1 without"),
        (" --spacer 2,2,2,2", "7.4286:1 with a 2 mm spacer, 8.5:1 without"),
        // 104.5/14.5 = 7.2069; 7.42857 - 7.20690 = 0.22167
        (
            " --spacer 2,2,2,2.5",
            "UNEQUAL: 7.2069:1 to 7.4286:1, 0.2217 apart; 8.5:1 without",
        ),
        // the check value piston-height-dish-1
        (
            " --dish 3 --height-cut 1.5",
            "7.4832:1 with the other piston, 8.5:1 without",
        ),
    ] {
        let ran = run(&format!("{ENGINE}{more}")).good();
        assert_eq!(ran.out.lines().next(), Some(answer), "{more}");
        assert!(
            !ran.out.contains("100.0"),
            "a bore typed as 100 has no decimals: {}",
            ran.out
        );
        assert!(
            ran.out
                .contains("computes, it does not approve; the approved manual rules")
        );
    }
}

#[test]
fn a_caution_names_the_line_that_brought_it_up() {
    let ran = run(&format!("{ENGINE} --spacer 2,2,2,2.5 --tolerance 0.1")).good();
    assert!(
        ran.out
            .contains("caution: spacer 2, 2, 2, 2.5 mm: unequal compression between cylinders")
    );
    // 104.6/14.6 = 7.1644 and 103.9/13.9 = 7.4748, 0.3104 apart
    assert!(
        ran.out
            .contains("caution: spacers off by 0.1 mm: cylinders may lie 0.3104 apart"),
        "{}",
        ran.out
    );
    let ran = run(&format!("{ENGINE} --dish -3")).good();
    assert!(
        ran.out.contains("caution: piston adding -3 cm3: mind the sign"),
        "{}",
        ran.out
    );
}

#[test]
fn both_routes_at_once_are_refused_with_the_ratio_they_would_give() {
    let ran = run(&format!("{ENGINE} --spacer 2 --height-cut 2"));
    assert_eq!(ran.exit, 1);
    assert!(
        ran.err.contains("both together would give 6.625:1"),
        "{}",
        ran.err
    );
}

#[test]
fn a_clearance_by_burette_stands_for_the_ratio() {
    // The check value overbore-1.
    let ran = run("sums compression --bore 100.5 --stroke 90 --clearance 94.24778").good();
    assert_eq!(ran.out.lines().next(), Some("8.5752:1 as it is"));
    assert_eq!(run("sums compression --bore 100 --stroke 90").exit, 2);
    assert_eq!(
        run("sums compression --bore 100 --stroke 90 --ratio 8 --clearance 9").exit,
        2
    );
    assert_eq!(
        run("sums compression --bore 100 --stroke 90 --clearance 0").exit,
        1
    );
}

#[test]
fn a_spacer_is_rounded_up_and_never_stacked() {
    let asked = "sums spacer --stroke 90 --ratio 8.5";
    for (more, exit, answer) in [
        (
            " --max 7.2 --stocked 1,1.5,2,2.5,3",
            0,
            "take the 3 mm spacer: 7:1, the maximum is 7.2:1",
        ),
        (
            " --max 7 --stocked 3,2.999999",
            0,
            "take the 3 mm spacer: 7:1, the maximum is 7:1",
        ),
        (
            " --max 7 --stocked 1.5,1.5",
            1,
            "no stocked spacer serves: 3 mm or more is wanted",
        ),
        // 106/16 = 6.625
        (
            " --max 7 --min 6.7 --stocked 4",
            1,
            "no stocked spacer serves: 4 mm gives 6.625:1, below the minimum 6.7:1",
        ),
        (
            " --max 7 --min 6.625 --stocked 4",
            0,
            "take the 4 mm spacer: 6.625:1, the maximum is 7:1",
        ),
        // 90/6.2 - 12 = 2.51612...; 90/5.625 - 12 = 4
        (" --max 7.2", 0, "2.5162 mm or more keeps 7.2:1"),
        (
            " --max 7.2 --min 6.625",
            0,
            "2.5162 mm or more, at most 4 mm keeps 7.2:1",
        ),
        (" --max 8.5", 0, "no spacer is needed: the ratio keeps 8.5:1"),
        (
            " --max 9 --min 8.6",
            1,
            "no spacer serves: 8.5 is below the minimum 8.6 already",
        ),
    ] {
        let ran = run(&format!("{asked}{more}"));
        assert_eq!(ran.exit, exit, "{more}: {}", ran.err);
        assert_eq!(ran.out.lines().next(), Some(answer), "{more}");
    }
    assert_eq!(run(&format!("{asked} --max 1")).exit, 1);
    assert_eq!(run(&format!("{asked} --max 7 --min 8")).exit, 1);
}

#[test]
fn what_cannot_be_read_exits_two() {
    for line in [
        "sums compression --bore 4ells --stroke 90 --ratio 8.5",
        "sums compression --bore 100g --stroke 90 --ratio 8.5",
        "sums compression --bore 100 --stroke 1,5 --ratio 8.5",
        "sums compression --bore 100 --stroke 90 --ratio 8,5",
        "sums compression --bore 100 --stroke 90 --ratio 8.5 --spacer 2,2",
        "sums compression --bore 100 --stroke 90 --ratio 8.5 --tolerance 1",
        "sums units 1 oz ml",
        "sums units 1 in",
        "sums units one in mm",
    ] {
        let ran = run(line);
        assert_eq!(ran.exit, 2, "{line}: {}{}", ran.out, ran.err);
        assert!(ran.out.is_empty(), "{line}");
    }
    for line in [
        "sums compression --bore 0 --stroke 90 --ratio 8.5",
        "sums compression --bore 100 --stroke 0 --ratio 8.5",
        "sums compression --bore 100 --stroke 90 --ratio 1",
        "sums compression --bore 100 --stroke 90 --ratio 8.5 --spacer 2 --tolerance 3",
    ] {
        assert_eq!(run(line).exit, 1, "{line}");
    }
}

#[test]
fn figures_are_text_in_json() {
    let json = run("sums units 1-1/2 in mm --format json").good().json();
    assert_eq!(json["answer"], "1.5 in = 38.1 mm");
    assert_eq!(json["rows"][1]["value"], "38.1");
    let json = run("sums spacer --stroke 3.6in --ratio 8.5 --max 7 --format json")
        .good()
        .json();
    // 3.6 in = 91.44 mm; 91.44/6 - 91.44/7.5 = 3.048
    assert_eq!(json["answer"], "3.048 mm or more keeps 7:1");
    assert_eq!(json["rows"][0]["from"], "3.6 in = 91.44 mm");
}
