//! `today`: what is due in, short this week, picked and waiting, dying, to inspect. Figures by hand from the sample's
//! `stock.csv`, `orders.csv` and `story.md`.

use crate::desk::Counter;

#[test]
fn the_morning_of_the_sample_day() {
    let counter = Counter::sample();
    // Within seven days of 2026-11-25: amber (11-27) and blue (12-02), blue short of its jet. Dead: row 48. Dying by
    // 12-02: rows 50 (11-29) and 53 (12-02), not row 31 (12-05). Receiving: rows 12, 15, 40; quarantine: rows 9, 22,
    // 32, 38, 58, 59, 60 and five cores. The first order is promised for 11-30.
    let ran = counter.run(&["today"]).good();
    assert_eq!(
        ran.answer(),
        "2 jobs to reserve, 1 dead, 2 dying, 3 to inspect, 12 in the cage"
    );
    assert_eq!(counter.run(&["reserve", "--by", "TW"]).exit, 1);
    let ran = counter.run(&["today"]).good();
    assert_eq!(
        ran.answer(),
        "1 job short, 1 job whole, 1 dead, 2 dying, 3 to inspect, 12 in the cage"
    );
    assert!(ran.out.contains("SHORT of 1 line"), "{}", ran.out);
    // The cage is counted and not listed: its lots lie there until the inspector decides.
    assert!(!ran.out.contains("in CAGE"), "{}", ran.out);
    assert!(ran.out.contains("8 each of ST-160 in IN"), "{}", ran.out);
    // On the day before the van there is nothing due; on the day there is; the day after it is late.
    for (day, said) in [
        ("2026-11-29", None),
        ("2026-11-30", Some("today")),
        ("2026-12-01", Some("1 day LATE")),
    ] {
        let ran = counter.run(&["today", "--on", day]).good();
        match said {
            None => assert!(!ran.out.contains("due in"), "{}", ran.out),
            Some(said) => {
                assert!(ran.answer().starts_with("1 due in, "), "{}", ran.out);
                assert!(ran.out.contains(said), "{}", ran.out);
            }
        }
        assert!(ran.answer().chars().count() <= 80, "{}", ran.answer());
    }
}

#[test]
fn a_picked_kit_waits_until_it_is_issued() {
    let counter = Counter::sample();
    counter.run(&["reserve", "amber", "--by", "TW"]).good();
    counter
        .run(&["pick", "amber", "--list", "2", "--as-listed", "--by", "TW"])
        .good();
    let ran = counter.run(&["today"]).good();
    assert!(ran.answer().contains("1 kit waiting"), "{}", ran.out);
    let ran = counter.run(&["issue", "amber", "1", "2", "--by", "TW"]).good();
    // All but two of the 27 lines of the list.
    assert!(
        ran.answer().ends_with("; 25 lines still to issue"),
        "{}",
        ran.answer()
    );
    let ran = counter.run(&["issue", "amber", "--by", "TW"]).good();
    assert!(
        ran.answer().ends_with("; all its parts are on"),
        "{}",
        ran.answer()
    );
    let ran = counter.run(&["today"]).good();
    assert!(!ran.answer().contains("waiting"), "{}", ran.out);
    assert!(ran.answer().contains("1 to close"), "{}", ran.out);
    assert!(ran.out.contains("bincard job close JOB"), "{}", ran.out);
    counter.run(&["note", "jet", "rang", "--by", "TW"]).good();
    assert!(counter.run(&["today"]).good().answer().ends_with("1 note"));
}

#[test]
fn nothing_to_do_says_so() {
    let counter = Counter::bare();
    counter.run(&["init", "--name", "Empty", "--by", "TW"]).good();
    let ran = counter.run(&["today"]).good();
    assert_eq!(
        ran.answer(),
        "nothing to do: nothing due, short, waiting or dying"
    );
}
