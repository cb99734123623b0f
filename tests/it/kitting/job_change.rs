//! `job change`, `cancel` and `close`: a new day judges again what is reserved and what lies in the box.

use crate::desk::Counter;

/// Blue is fitted on 2 December; its threadlocker lasts to that very day, its o-rings of lot Z42-16 to the 5th.
#[test]
fn a_later_day_gives_up_what_does_not_last() {
    for (day, lost, parts) in [
        ("2026-12-01", "nothing lost by it", &[][..]),
        ("2026-12-03", "1 reservation lost by it", &["TL-10"][..]),
        ("2026-12-05", "1 reservation lost by it", &["TL-10"][..]),
        ("2026-12-06", "2 reservations lost by it", &["TL-10", "OR-42"][..]),
    ] {
        let counter = Counter::sample();
        assert_eq!(counter.types("reserve blue --by TW").exit, 0);
        let ran = counter
            .types(&format!("job change blue --use-day {day} --by TW"))
            .good();
        assert_eq!(
            ran.answer(),
            format!("J-0001 (blue): 1 thing changed, {lost}"),
            "{day}"
        );
        for part in parts {
            let named = |line: &str| line.starts_with("SHORT J-0001 (blue)") && line.contains(part);
            assert!(ran.out.lines().any(named), "{day} {part}: {}", ran.out);
        }
        counter.types("check").good();
        // Other lots are found, and the older list is void.
        assert_eq!(counter.types("reserve blue --by TW").exit, 0);
        assert_eq!(counter.types("pick blue --list 2 --as-listed --by TW").exit, 1);
    }
}

/// Amber's sealant of lot X0570 lasts to 29 November, its threadlocker to 2 December, its o-rings to the 5th.
#[test]
fn what_lies_in_the_box_is_judged_again() {
    for (day, dead) in [
        ("2026-11-29", &[][..]),
        ("2026-11-30", &["SE-50"][..]),
        ("2026-12-03", &["SE-50", "TL-10"][..]),
        ("2026-12-06", &["SE-50", "TL-10", "OR-42"][..]),
    ] {
        let counter = Counter::sample();
        counter.types("reserve amber --by TW").good();
        counter.types("pick amber --list 2 --as-listed --by TW").good();
        let ran = counter
            .types(&format!("job change amber --use-day {day} --by TW"))
            .good();
        let told: Vec<&str> = ran
            .out
            .lines()
            .filter(|line| line.starts_with("IN THE BOX AND DEAD"))
            .collect();
        assert_eq!(told.len(), dead.len(), "{day}: {}", ran.out);
        for part in dead {
            assert!(
                told.iter().any(|line| line.contains(part)),
                "{day} {part}: {told:?}"
            );
        }
        // Chosen, so refused: it does not go to the engine.
        let issued = counter.types("issue amber --by TW");
        assert_eq!(issued.exit, u8::from(!dead.is_empty()), "{day}: {issued:?}");
        counter.types("check").good();
    }
}

#[test]
fn tag_priority_and_need() {
    let counter = Counter::sample();
    let ran = counter
        .types("job change blue --tag violet --priority 1 --need 16=18 --by TW")
        .good();
    assert_eq!(
        ran.answer(),
        "J-0001 (blue): 3 things changed, nothing lost by it"
    );
    let shown = counter.types("job show violet").good();
    assert!(
        shown
            .out
            .lines()
            .any(|line| line.contains("NU-10") && line.contains("18 each")),
        "{}",
        shown.out
    );
    let same = counter
        .types("job change violet --tag violet --priority 1 --by TW")
        .good();
    assert_eq!(
        same.answer(),
        "J-0001 (violet) is so already; nothing was changed"
    );
    for (line, exit, says) in [
        ("job change violet --tag Red --by TW", 1, "Red is there already"),
        ("job change violet --priority 10 --by TW", 2, "10"),
        ("job change violet --need 99=1 --by TW", 1, "no line 99"),
        ("job change violet --need 16=-1 --by TW", 1, "nothing"),
        ("job change violet --need 16 --by TW", 2, "answers no line"),
        ("job change violet --use-day 3/12/26 --by TW", 2, "--use-day"),
        ("job change mauve --priority 2 --by TW", 1, "mauve"),
    ] {
        counter.refuses(line, exit, says);
    }
    counter.types("check").good();
}

#[test]
fn a_job_given_up_frees_what_it_had() {
    let counter = Counter::sample();
    counter.types("reserve amber --by TW").good();
    let ran = counter.types("job cancel amber --by DA -w engine sold").good();
    assert_eq!(
        ran.answer(),
        "J-0004 (amber) is given up, 27 reservations free again"
    );
    counter.refuses("reserve amber --by TW", 1, "J-0004 is cancelled");
    counter.types("check").good();
    let counter = Counter::sample();
    counter.types("reserve amber --by TW").good();
    counter.types("pick amber --list 2 --as-listed --by TW").good();
    counter.refuses("job cancel amber --by DA", 1, "line 1");
}

#[test]
fn a_job_closes_when_all_is_accounted_for() {
    let counter = Counter::sample();
    counter.types("reserve amber --by TW").good();
    counter.refuses("job close amber --by DA", 1, "reserved");
    counter.types("pick amber --list 2 --as-listed --by TW").good();
    counter.refuses(
        "job close amber --by DA",
        1,
        "KIT-4 is not empty (L000002A, L0000054, L000010A and 24 more)",
    );
    // Everything that keeps it open is named at once.
    counter.types("put-back amber 22=4 --by TW").good();
    counter.types("reserve amber --by TW").good();
    counter.refuses(
        "job close amber --by DA",
        1,
        "and 23 more); parts are reserved on line 22",
    );
    counter.types("pick amber --list 3 --as-listed --by TW").good();
    counter.types("issue amber --by TW").good();
    counter.refuses("job close amber --by TW", 77, "manager");
    let before = counter.types("cost J-0004").good();
    let ran = counter.types("job close amber --by DA").good();
    assert_eq!(ran.answer(), "J-0004 (amber) is closed");
    counter.refuses("give NU-10 1 -j J-0004 --more --by TW", 1, "closed");
    counter.refuses("return J-0004 16=1:used --by TW", 1, "closed");
    // What it took is what it took.
    assert_eq!(counter.types("cost J-0004").good().answer(), before.answer());
    counter.types("check").good();
}
