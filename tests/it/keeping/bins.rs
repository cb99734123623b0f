//! What a bin bears: one lot, a band of temperature, so many litres of flammables.

use super::{import, text, turned_away, types};
use crate::desk::Counter;
use crate::stores::done_and_undone;
use bincard::domain::keeping::bin::Limits;

const BINS: &str = "code,name,kind,parent,walk,limits,one_lot\n";
const SIZES: &str = "part,name,value,unit\n";
const PARTS: &str = "number,name,class,unit,step,hand_out,life,opened_life_days,pack_policy,bench_stock,critical,maker,issue\n";

/// A cabinet of 50 l, a fridge, a bin of one lot; a solvent by the litre, a thinner by the can, a primer kept cold.
fn shop() -> Counter {
    let counter = Counter::unasked();
    let bins = format!(
        "{BINS}F-1,flammables cabinet,shelf,,90,50 l flammable,no\nF-2,fridge,shelf,,91,2..8 C,no\n\
         F-3,cold cabinet,shelf,,92,-5..10 C; 5 l flammable,no\nF-4,serial drawer,shelf,,93,,yes\n"
    );
    import(&counter, "bins.csv", &bins, "HP").good();
    let parts = format!(
        "{PARTS}SV-1,\"solvent, cleaning\",material,l,0.1,,,,measure,no,no,,\n\
         TH-1,\"thinner, can\",material,each,1,,,,measure,no,no,,\n\
         PR-1,\"primer, cold\",material,ml,1,,,,measure,no,no,,\n\
         TH-2,\"thinner, bottle\",material,each,1,,,,measure,no,no,,\n"
    );
    import(&counter, "parts.csv", &parts, "HP").good();
    let sizes = format!(
        "{SIZES}SV-1,hazard,225,\nTH-1,hazard,226,\nTH-1,litres_each,2.5,\nPR-1,hazard,224,\n\
         PR-1,store_from_c,2,\nPR-1,store_to_c,8,\nTH-2,hazard,225,\n"
    );
    import(&counter, "sizes.csv", &sizes, "HP").good();
    counter
}

/// Goods that came in; the number of their lot.
fn came(counter: &Counter, what: &str) -> String {
    types(
        counter,
        &format!("goods-in {what} --supplier QUO --cost 4 --by TW"),
    )
    .good();
    text(counter, "SELECT number FROM lot ORDER BY id DESC LIMIT 1")
}

fn put(counter: &Counter, lot: &str, qty: &str, bin: &str) -> String {
    types(
        counter,
        &format!("inspect {lot} {qty} --to {bin} --checked all --by OQ"),
    )
    .good()
    .out
}

#[test]
fn limits_are_written_in_one_way() {
    for good in [
        "2..8 C",
        "-25..-15 C",
        "50 l flammable",
        "2..8 C; 50 l flammable",
        "0.5..1.5 C",
        "5..5 C",
        "0 l flammable",
    ] {
        assert_eq!(Limits::parse(good).unwrap().to_string(), good);
    }
    for bad in [
        "",
        "8..2 C",
        "2..8",
        "2-8 C",
        "50 l",
        "-1 l flammable",
        "2..8 C;50 l flammable",
        "2..8 C; 2..8 C",
        "x..8 C",
    ] {
        assert!(Limits::parse(bad).is_err(), "{bad:?}");
    }
    let counter = Counter::sample();
    for (row, place) in [
        ("Z-1,bin,shelf,,1,cold,no", "bins.csv:2:18"),
        ("Z-1,bin,shelf,,1,,maybe", "bins.csv:2:19"),
    ] {
        let ran = import(&counter, "bins.csv", &format!("{BINS}{row}\n"), "HP");
        assert_eq!(ran.exit, 65);
        assert!(ran.err.contains(place), "{place}: {}", ran.err);
    }
    for hazard in ["227", "225.5", "0"] {
        let ran = import(
            &counter,
            "sizes.csv",
            &format!("{SIZES}SE-50,hazard,{hazard},\n"),
            "HP",
        );
        assert!(
            ran.exit == 65 && ran.err.contains("no hazard statement known here"),
            "{}",
            ran.err
        );
    }
}

/// By hand: 47.5 l and one can of 2.5 l make 50 l, the limit itself; a tenth of a litre more is over it.
#[test]
fn a_cabinet_is_full_at_its_limit_and_says_so_before_the_put_away() {
    let counter = shop();
    let (solvent, cans) = (came(&counter, "SV-1 48"), came(&counter, "TH-1 3"));
    let told = put(&counter, &solvent, "47.5", "F-1");
    assert!(told.contains("F-1: 47.5 l of flammables of 50 l"), "{told}");
    let told = put(&counter, &cans, "1", "F-1");
    assert!(told.contains("F-1: 50 l of flammables of 50 l"), "{told}");
    let line = format!("inspect {solvent} 0.1 --to F-1 --checked all --by OQ");
    turned_away(
        &counter,
        &line,
        253,
        1,
        "50.1 l of flammables, 0.1 l over its limit of 50 l",
    );
    // What is not flammable goes in all the same.
    types(&counter, "move L0000310 --to F-1 --by TW").good();
    let words = crate::desk::split(&format!("{line} --over-limit"));
    let ran = done_and_undone(&counter, &words.iter().map(String::as_str).collect::<Vec<_>>());
    assert!(
        ran.out
            .contains("F-1: OVER ITS LIMIT, 50.1 l of flammables of 50 l"),
        "{}",
        ran.out
    );
    types(&counter, &format!("{line} --over-limit")).good();
    let reason = text(&counter, "SELECT reason FROM document ORDER BY id DESC LIMIT 1");
    assert!(reason.contains("OVER ITS LIMIT"), "{reason}");
    // Moving by hand is judged alike, and what leaves makes room.
    turned_away(
        &counter,
        &format!("move {cans} 1 --from IN --to F-1 --by TW"),
        201,
        1,
        "",
    );
    types(
        &counter,
        &format!("move {solvent} 10 --from F-1 --to C-1 --by TW"),
    )
    .good();
    put(&counter, &cans, "2", "C-1");
    types(&counter, &format!("move {cans} 2 --from C-1 --to F-1 --by TW")).good();
    turned_away(
        &counter,
        &format!("move {solvent} 5 --from C-1 --to F-1 --by TW"),
        253,
        1,
        "50.1 l",
    );
    types(&counter, "check").good();
}

#[test]
fn flammables_outside_a_cabinet_or_of_unknown_measure_are_warned_of() {
    let counter = shop();
    let (solvent, bottles) = (came(&counter, "SV-1 1"), came(&counter, "TH-2 1"));
    let told = put(&counter, &solvent, "1", "A-1");
    assert!(
        told.contains("is flammable, H225, and A-1 is no cabinet for flammables"),
        "{told}"
    );
    let told = put(&counter, &bottles, "1", "F-1");
    assert!(
        told.contains("how many litres is not known: give its size litres_each"),
        "{told}"
    );
}

#[test]
fn a_bin_of_one_lot_takes_no_second() {
    let counter = shop();
    let (one, two) = (came(&counter, "TH-2 4"), came(&counter, "TH-2 4"));
    put(&counter, &one, "1", "F-4");
    let line = format!("inspect {two} 1 --to F-4 --checked all --by OQ");
    turned_away(
        &counter,
        &line,
        254,
        1,
        &format!("F-4 takes one lot, and {one} of TH-2 lies there"),
    );
    // More of the same lot goes in; once it is empty another may.
    put(&counter, &one, "1", "F-4");
    types(&counter, &format!("move {one} --from F-4 --to A-1 --by TW")).good();
    put(&counter, &two, "1", "F-4");
    turned_away(
        &counter,
        &format!("move {one} 1 --from A-1 --to F-4 --by TW"),
        254,
        1,
        "takes one lot",
    );
}

#[test]
fn what_is_kept_cold_and_put_into_another_bin_is_warned_of() {
    let counter = shop();
    let primer = came(&counter, "PR-1 100");
    for (bin, says) in [
        ("A-1", "keeps at 2..8 C, and A-1 keeps no temperature"),
        ("F-3", "keeps at 2..8 C, and F-3 keeps -5..10 C"),
    ] {
        let told = put(&counter, &primer, "10", bin);
        assert!(told.contains(says), "{told}");
    }
    let told = put(&counter, &primer, "10", "F-2");
    assert!(!told.contains("keeps at"), "{told}");
    let json = types(
        &counter,
        &format!("move {primer} 10 --from F-2 --to A-2 --by TW --format json"),
    )
    .good();
    let notes = json.json()["notes"].to_string();
    assert!(notes.contains("A-2 keeps no temperature"), "{notes}");
}

#[test]
fn limits_of_a_bin_that_is_there_are_changed_and_given_back() {
    let counter = Counter::sample();
    let bins = format!("{BINS}C-1,sealant cupboard,shelf,,50,15..25 C,yes\n");
    let path = counter.folder().join("bins.csv");
    std::fs::write(&path, bins).unwrap();
    let path = path.display().to_string();
    let now = "SELECT limits || ' ' || one_lot FROM place WHERE code = 'C-1'";
    let update = ["import", &path, "--update", "--by", "HP"];
    let ran = counter.run(&update).good();
    let undo = ran
        .out
        .lines()
        .find_map(|line| line.strip_prefix("next: bincard "))
        .unwrap();
    let undo = undo.split("   ").next().unwrap().to_owned();
    assert_eq!(text(&counter, now), "15..25 C 1");
    types(&counter, &undo).good();
    assert_eq!(text(&counter, now), "");
    types(&counter, "check").good();
    counter.run(&update).good();
    assert_eq!(text(&counter, now), "15..25 C 1");
    let given = types(&counter, "export bins").good().out;
    assert!(
        given.contains("C-1,sealant cupboard,shelf,,50,15..25 C,yes"),
        "{given}"
    );
    types(&counter, "check").good();
}
