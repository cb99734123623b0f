//! `log` by lot, place and part: every document with what it did.

use crate::desk::Counter;

/// The rows of the answer as words, under these keys.
fn rows(counter: &Counter, line: &str, keys: &[&str]) -> Vec<String> {
    let ran = counter.types(&format!("{line} --format json")).good().json();
    let row = |row: &serde_json::Value| {
        let cells: Vec<&str> = keys.iter().filter_map(|key| row[*key].as_str()).collect();
        cells.join(" | ")
    };
    ran["rows"].as_array().unwrap().iter().map(row).collect()
}

/// Two tubes of X0618 (L000049H) were brought forward into C-1: one is opened, that is undone, the other is moved,
/// moved again and scrapped; the lot says all of it, however its number is typed.
#[test]
fn a_lots_whole_life() {
    let counter = Counter::sample();
    for line in [
        "open L000049H --by TW",
        "undo OPN-000005 --by TW",
        "move L000049H 50 --to C-2 --by TW",
        "scrap L000049H 50 --from C-2 -w burst --by TW",
    ] {
        counter.types(line).good();
    }
    let keys = ["day", "by", "deed"];
    let life = rows(&counter, "log L000049H", &keys);
    let told = [
        "2026-11-02 | HP | bring forward 100 ml: BROUGHT-FORWARD to C-1",
        "2026-11-25 | TW | open 50 ml: C-1 to MAKING",
        "2026-11-25 | TW | lot L0001835 was made of it",
        "2026-11-25 | TW | undo 50 ml: MAKING to C-1",
        "2026-11-25 | TW | move 50 ml: C-1 to C-2",
        "2026-11-25 | TW | scrap 50 ml: C-2 to SCRAP",
    ];
    assert_eq!(life, told);
    for called in ["L49", "49H", "l000049h", "X0618"] {
        assert_eq!(rows(&counter, &format!("log {called}"), &keys), life, "{called}");
        let answer = counter.types(&format!("log {called}")).good();
        assert_eq!(answer.answer(), "lot L000049H of SE-50: 5 documents", "{called}");
    }
    let undone = rows(&counter, "log L49", &["deed", "undone"]);
    assert!(undone[1].contains(" | UND-"), "{undone:?}");
    assert_eq!(rows(&counter, "log L49 --most 1", &keys), told[5..]);
    // The opened tube came of it.
    let made = rows(&counter, "log L0001835", &["deed"]);
    assert_eq!(made[0], "came of lot L000049H");
}

/// What a job was promised, and no longer is, stands in the life of the lot.
#[test]
fn promises_are_part_of_a_lots_life() {
    let counter = Counter::sample();
    counter.types("reserve amber --by TW").good();
    counter.types("free amber --by TW").good();
    let sql = "SELECT c.lot FROM claim c WHERE c.qty > 0 AND c.lot IS NOT NULL ORDER BY c.id LIMIT 1";
    let lot = counter.figure(sql);
    let life = rows(&counter, &format!("log L{lot}"), &["deed"]);
    let reserved = life
        .iter()
        .filter(|deed| deed.contains(" reserved for J-0004"))
        .count();
    assert!(reserved >= 2, "{life:?}");
    assert!(
        life.last()
            .unwrap()
            .ends_with("no longer reserved for J-0004 (free)"),
        "{life:?}"
    );
}

#[test]
fn a_place_and_a_part() {
    let counter = Counter::sample();
    counter.types("move L000049H 50 --to C-2 --by TW").good();
    counter.types("move H10-77 1 --to A-1 --by TW").good();
    let keys = ["kind", "by"];
    assert_eq!(rows(&counter, "log c-2", &keys)[0], "move | TW");
    let moves = |what: &str| {
        let found = rows(&counter, &format!("log {what}"), &["kind"]);
        found.iter().filter(|kind| *kind == "move").count()
    };
    for (what, wanted) in [
        ("C-2", 1),
        ("C-1", 1),
        ("A-1", 1),
        ("SE-50", 1),
        ("NU-10", 1),
        ("BENCH", 0),
        ("JT-130", 0),
    ] {
        assert_eq!(moves(what), wanted, "{what}");
    }
    let by_option = rows(&counter, "log --part NU-10", &["document"]);
    assert_eq!(rows(&counter, "log NU-10", &["document"]), by_option);
}

#[test]
fn what_is_not_found() {
    let counter = Counter::sample();
    counter.refuses("log L000049X", 1, "L000049");
    counter.refuses("log NOWHERE", 1, "NOWHERE");
    counter.refuses("log L49 --person TW", 2, "its life is shown whole");
    counter.refuses("log NU-10 --part NU-10", 2, "cannot be used with");
}
