//! `import`: all of it or nothing, in one document.

use crate::desk::Counter;

/// A store with nothing but its founding.
fn founded() -> Counter {
    let counter = Counter::bare();
    counter.run(&["init", "--name", "Tern Slip", "--by", "HP"]).good();
    counter
}

/// Writes files into the counter's folder and imports them.
fn import(counter: &Counter, files: &[(&str, &str)], more: &[&str]) -> crate::desk::Ran {
    let mut words = vec!["import".to_owned()];
    for (name, text) in files {
        let path = counter.folder().join(name);
        std::fs::write(&path, text).unwrap();
        words.push(path.display().to_string());
    }
    words.extend(["--by", "HP"].map(str::to_owned));
    words.extend(more.iter().map(|word| (*word).to_owned()));
    counter.run(&words.iter().map(String::as_str).collect::<Vec<_>>())
}

const PARTS: (&str, &str) = (
    "parts.csv",
    "number,name,class,unit,step,hand_out,life,opened_life_days,pack_policy,bench_stock,critical,maker,issue\n\
     NUT,\"nut, M8\",standard part,each,1,,,,measure,no,no,,\n",
);
const BINS: (&str, &str) = (
    "bins.csv",
    "code,name,kind,parent,walk\nA-1,top shelf,shelf,,1\nQ,cage,quarantine,,9\n",
);
const STOCK: &str = "part,bin,qty,value,batch,serial,expiry,condition,owner,maker,made\n";

#[test]
fn what_was_imported_stands_on_the_shelf() {
    let counter = founded();
    let stock = format!("{STOCK}NUT,A-1,12,6.00,B1,,,new,,,\n");
    let ran = import(&counter, &[PARTS, BINS, ("stock.csv", &stock)], &[]).good();
    assert_eq!(ran.answer(), "4 records taken on, none refused");
    assert_eq!(
        counter.run(&["stock", "NUT"]).good().answer(),
        "NUT: 12 each free of 12 each on the shelf; first L000001C in A-1"
    );
}

#[test]
fn one_bad_row_and_nothing_is_taken() {
    let counter = founded();
    let before = std::fs::read(counter.store()).unwrap();
    for (row, place, reason) in [
        ("BOLT,A-1,12,6.00,B1,,,new,,,", "stock.csv:3:1", "no part BOLT"),
        ("NUT,B-9,12,6.00,B1,,,new,,,", "stock.csv:3:5", "no bin B-9"),
        (
            "NUT,A-1,1.5,6.00,B1,,,new,,,",
            "stock.csv:3:9",
            "moves in steps of 1 each",
        ),
        (
            "NUT,A-1,12,6.00,B1,,2026-11-24,new,,,",
            "stock.csv:3:21",
            "is dead on 2026-11-25: its last day is 2026-11-24",
        ),
        (
            "NUT,A-1,12,6.00,B1,,,new,NOBODY,,",
            "stock.csv:3:26",
            "no customer NOBODY",
        ),
    ] {
        let stock = format!("{STOCK}NUT,A-1,1,1.00,B0,,,new,,,\n{row}\n");
        let ran = import(&counter, &[PARTS, BINS, ("stock.csv", &stock)], &[]);
        assert_eq!(ran.exit, 65, "{row}: {ran:?}");
        assert!(
            ran.err.contains(place) && ran.err.contains(reason),
            "{row}: {}",
            ran.err
        );
        assert_eq!(std::fs::read(counter.store()).unwrap(), before, "{row}");
    }
}

#[test]
fn the_last_day_itself_is_usable() {
    let counter = founded();
    let stock = format!("{STOCK}NUT,A-1,12,6.00,B1,,2026-11-25,new,,,\nNUT,Q,1,0.50,B2,,2026-11-24,new,,,\n");
    // Dead goods may be brought forward into the cage, not onto a shelf.
    import(&counter, &[PARTS, BINS, ("stock.csv", &stock)], &[]).good();
}

#[test]
fn a_trial_shows_everything_and_posts_nothing() {
    let counter = founded();
    let before = std::fs::read(counter.store()).unwrap();
    let ran = import(&counter, &[PARTS, BINS], &["--dry-run"]);
    assert_eq!(ran.exit, 0, "{ran:?}");
    assert!(ran.out.contains("TRIAL, NOTHING POSTED"), "{}", ran.out);
    assert_eq!(std::fs::read(counter.store()).unwrap(), before);
    import(&counter, &[PARTS, BINS], &[]).good();
}

#[test]
fn the_same_operation_twice_posts_once() {
    let counter = founded();
    import(&counter, &[PARTS, BINS], &["--op-id", "monday-1"]).good();
    let again = import(&counter, &[PARTS, BINS], &["--op-id", "monday-1"]).good();
    assert_eq!(
        again.answer(),
        "already recorded as IMP-000002; nothing was posted again"
    );
    let other = import(&counter, &[BINS], &["--op-id", "monday-1"]);
    assert_eq!(other.exit, 1, "{other:?}");
    assert!(other.err.contains("315"), "{}", other.err);
}

#[test]
fn the_sample_stands_as_its_story_tells() {
    let counter = Counter::sample();
    // Tubes of 50 ml by hand from opening/stock.csv: rows 48 to 51 are 2 dead, 2, 2 and 1.
    let sealant = counter.run(&["stock", "SE-50", "--format", "json"]).good().json();
    assert_eq!(
        sealant["answer"],
        "SE-50: 250 ml free of 350 ml on the shelf; first L000050V in C-1"
    );
    assert_eq!(sealant["rows"][0]["state"], "EXPIRED");
    assert_eq!(sealant["tables"]["the_sum"][3]["qty"]["qty"], "100");
    // Studs: 14 and 10 on the shelf, 8 in receiving, 20 on order.
    let studs = counter
        .run(&["stock", "ST-160", "--format", "json"])
        .good()
        .json();
    let sum = |row: usize| studs["tables"]["the_sum"][row]["qty"]["qty"].clone();
    assert_eq!([sum(0), sum(4), sum(5), sum(7)], ["24", "24", "8", "20"]);
}
