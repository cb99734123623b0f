//! `demo`: every step ends as it should, in a store of its own.

use crate::desk::{Counter, run_with};

#[test]
fn the_walk_ends_with_the_books_proved() {
    let counter = Counter::bare();
    let into = counter.folder().join("walk").display().to_string();
    let home = counter.folder().display().to_string();
    let env = |name: &str| (name == "XDG_DATA_HOME").then(|| home.clone());
    let ran = run_with(&["demo", "--into", &into], &env).good();
    for told in [
        "$ bincard conversion expand TC-W -c route=piston",
        "53 lines reserved, 1 SHORT: 1 each JT-130",
        "SE-50 lot L000048J passed over: EXPIRED 2026-11-10",
        "29 lines of J-0002 (blue) issued to engine W28-0417",
        "the books hold: 9 documents and 238 entries",
    ] {
        assert!(ran.out.contains(told), "{told}\n{}", ran.out);
    }
    let end: Vec<&str> = ran.out.lines().rev().take(5).collect();
    assert!(end[4].contains(&format!("{into}/store.db")), "{end:?}");
    assert!(
        end[..3]
            .iter()
            .all(|line| line.trim_start().starts_with("bincard ")),
        "{end:?}"
    );
    assert!(
        !counter.folder().join("bincard").exists(),
        "the default store is never touched"
    );
    // A folder that is there already is not written into.
    assert_eq!(run_with(&["demo", "--into", &into], &env).exit, 73);
}
