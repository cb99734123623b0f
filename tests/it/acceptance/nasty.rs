//! Nasty cases of goods that come from nowhere or from the customer himself.

use crate::desk::{Counter, Ran, split};
use crate::stores::{done_and_undone, refused};

fn types(counter: &Counter, line: &str) -> Ran {
    let words = split(line);
    counter.run(&words.iter().map(String::as_str).collect::<Vec<_>>())
}

#[track_caller]
fn turned_away(counter: &Counter, line: &str, number: u16, exit: u8, says: &str) {
    let words = split(line);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    refused(counter, &words, number, exit, says);
}

/// N23: old stock found behind the rack, no papers: quarantine, and it cannot be counted in as good.
#[test]
fn stock_found_behind_the_rack_without_papers() {
    let counter = Counter::sample();
    let words = split("quarantine FP-12 3 --found --by TW -w behind the rack");
    let ran = done_and_undone(&counter, &words.iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(ran.answer(), "3 each of FP-12 found, in CAGE without papers");
    types(&counter, "quarantine FP-12 3 --found --by TW -w behind the rack").good();
    let lot: String = {
        let raw = rusqlite::Connection::open(counter.store()).unwrap();
        let newest = "SELECT number FROM lot ORDER BY id DESC LIMIT 1";
        raw.query_row(newest, [], |row| row.get(0)).unwrap()
    };
    let worth =
        format!("SELECT SUM(e.value) FROM entry e JOIN lot l ON l.id = e.lot WHERE l.number = '{lot}'");
    assert_eq!(counter.figure(&worth), 0);
    // No inspector accepts it as it is, and no clerk moves it to a shelf.
    turned_away(
        &counter,
        &format!("inspect {lot} 3 --to B-1 --checked all --by OQ"),
        287,
        1,
        "no release certificate or work record",
    );
    let moved = types(&counter, &format!("move {lot} 3 --to B-1 --by TW"));
    assert_ne!(moved.exit, 0, "{moved:?}");
    // Nor does a count bring it onto one: a shelf's list knows only what lies there.
    let list = counter.figure("SELECT MAX(id) FROM document");
    let shelf = types(&counter, "count B-1").good();
    assert!(!shelf.out.contains(&lot), "{}", shelf.out);
    let scanned = types(
        &counter,
        &format!("count B-1 --list {list} 99=3 --by TW -w found"),
    );
    assert_ne!(scanned.exit, 0, "{scanned:?}");
    let reason = "SELECT COUNT(*) FROM document WHERE kind = 'gain' AND reason = 'found: behind the rack'";
    assert_eq!(counter.figure(reason), 2);
    types(&counter, "check").good();
}

#[test]
fn what_is_found_names_a_part_and_how_much() {
    let counter = Counter::sample();
    turned_away(
        &counter,
        "quarantine NONE 3 --found --by TW -w there",
        239,
        1,
        "no part NONE",
    );
    turned_away(
        &counter,
        "quarantine FP-12 0 --found --by TW -w there",
        202,
        1,
        "",
    );
    turned_away(
        &counter,
        "quarantine FP-12 3 --found --from A-1 --by TW -w there",
        402,
        2,
        "--from",
    );
}

/// N34: the customer's own turbocharger, fitted free of charge: inspected like any part, worth nothing, his on the lot,
/// for his job alone, and followed from his hand onto his engine.
#[test]
fn the_customers_own_turbocharger() {
    let counter = Counter::sample();
    types(&counter, "goods-in TB-60 1 --his blue --serial 5519 --by TW").good();
    turned_away(
        &counter,
        "inspect L0001835 1 --checked all --by OQ",
        287,
        1,
        "no release certificate or work record",
    );
    types(
        &counter,
        "certificate add HR-1 TB-60 1 --sort release --issuer Corvane --by TW",
    )
    .good();
    types(
        &counter,
        "inspect L0001835 1 --certificate HR-1 --checked all --by OQ",
    )
    .good();
    let owner = "SELECT COUNT(*) FROM lot l JOIN place p ON p.id = l.owner WHERE l.serial = '5519' AND p.code = 'BRACK'";
    assert_eq!(counter.figure(owner), 1);
    // Another customer's job does not get it.
    // What is short of other parts is no matter here.
    types(&counter, "reserve amber --by TW");
    let list = |tag: &str| counter.figure(&format!("SELECT list FROM job WHERE tag = '{tag}'"));
    let line = |tag: &str| {
        let of_job = "SELECT l.n FROM job_line l JOIN job j ON j.id = l.job JOIN part p ON p.id = l.part";
        counter.figure(&format!("{of_job} WHERE j.tag = '{tag}' AND p.number = 'TB-60'"))
    };
    let pick = |tag: &str| {
        format!(
            "pick {tag} --list {} {}=1:L0001835 --by TW",
            list(tag),
            place(&counter, tag)
        )
    };
    assert_eq!((line("amber"), line("blue")), (1, 1));
    turned_away(&counter, &pick("amber"), 210, 1, "belongs to");
    types(&counter, "reserve blue --by TW");
    types(&counter, &pick("blue")).good();
    types(&counter, "issue blue --by TW").good();
    // Followed from the customer onto the engine, worth nothing all the way.
    let way =
        "SELECT COUNT(*) FROM entry e JOIN lot l ON l.id = e.lot WHERE l.serial = '5519' AND e.value = 0";
    assert_eq!(counter.figure(way), 4);
    let fitted = "SELECT COUNT(*) FROM balance b JOIN lot l ON l.id = b.lot JOIN engine e ON e.place = b.place \
                  WHERE l.serial = '5519' AND e.serial = 'W28-0417' AND b.qty = 1000000";
    assert_eq!(counter.figure(fitted), 1);
    let log = types(&counter, "log L0001835").good();
    for said in ["GRN-", "ACC-", "PCK-", "ISS-"] {
        assert!(log.out.contains(said), "{said}: {}", log.out);
    }
    types(&counter, "check").good();
}

/// Which number the turbocharger has on a job's pick list, as the list is printed.
fn place(counter: &Counter, tag: &str) -> String {
    let list = types(counter, &format!("pick {tag}")).good();
    let line = list.out.lines().find(|line| line.contains("TB-60")).unwrap();
    line.split_whitespace().next().unwrap().to_owned()
}
