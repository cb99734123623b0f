//! What parts come in: taken on from `packs.csv`, given back, and typed wherever a clerk says how much.
//!
//! sample-data/opening/packs.csv: QUO's box of NU-10 holds 100, a bag of WA-06 holds 100 whoever sends it, OSTRE's reel
//! of WI-10 holds 320 m; sample-data/opening/parts.csv: a metre of WI-08 weighs 4 g.

use super::refused;
use crate::desk::{Counter, Ran, run_typing, split};

fn types(counter: &Counter, line: &str) -> Ran {
    let words = split(line);
    counter.run(&words.iter().map(String::as_str).collect::<Vec<_>>())
}

/// Imports one file of this name.
fn import(counter: &Counter, name: &str, text: &str, more: &[&str]) -> Ran {
    let path = counter.folder().join(name);
    std::fs::write(&path, text).unwrap();
    let path = path.display().to_string();
    counter.run(&[&["import", path.as_str(), "--by", "HP"], more].concat())
}

const PACKS: &str = "part,supplier,unit,holds\n";
const LAST: &str = "SELECT qty FROM entry ORDER BY id DESC LIMIT 1";

/// A line is typed, on trial first; it says what was understood, and the last line of a bin card is so much.
#[track_caller]
fn understood(counter: &Counter, line: &str, says: &str, millionths: i64) {
    let note = format!("understood: {says}");
    // Only the inspector accepts.
    let by = if line.starts_with("inspect") { "OQ" } else { "TW" };
    for line in [format!("{line} --by {by} --dry-run"), format!("{line} --by {by}")] {
        let ran = types(counter, &line).good();
        assert!(
            ran.out.lines().any(|told| told == note),
            "{line} wants {note}: {}",
            ran.out
        );
    }
    assert_eq!(counter.figure(LAST), millionths, "{line}");
}

#[test]
fn a_box_is_a_box_on_every_way_through_the_house() {
    let counter = Counter::unasked();
    // 200 at the price from 100 on: 200 x 0.98 = 196.00.
    let raised = types(
        &counter,
        r#"order raise QUO "NU-10=2 box" --number BOX-1 --by DA"#,
    )
    .good();
    assert!(
        raised.out.contains("understood: 2 box = 200 each"),
        "{}",
        raised.out
    );
    assert!(raised.out.contains("196.00"), "{}", raised.out);
    understood(
        &counter,
        r#"goods-in BOX-1 "1=1 box:N1" --note "1=2 boxes""#,
        "1 box = 100 each",
        100_000_000,
    );
    let note = counter.figure(
        "SELECT CAST(text AS INTEGER) FROM note WHERE topic = 'delivery note' ORDER BY id DESC LIMIT 1",
    );
    assert_eq!(note, 200);
    understood(
        &counter,
        r#"inspect N1 "1/2 box""#,
        "1/2 box = 50 each",
        50_000_000,
    );
    understood(
        &counter,
        r#"move N1 "1/4 box" --from A-2 --to A-1"#,
        "1/4 box = 25 each",
        25_000_000,
    );
    // A bag is the same whoever sends it: MARRA has no pack of WA-06 of his own.
    understood(
        &counter,
        r#"goods-in WA-06 "3 bags" --supplier MARRA --cost 12"#,
        "3 bags = 300 each",
        300_000_000,
    );
}

#[test]
fn the_kit_takes_and_gives_back_by_weight_and_by_the_box() {
    let counter = Counter::unasked();
    counter.types("reserve amber --by TW").good();
    let listed = counter.types("pick amber --format json").good().json();
    let rows = listed["rows"].as_array().unwrap();
    let at = |part: &str| {
        rows.iter()
            .find(|row| row["part"] == part)
            .map(|row| row["n"].as_i64().unwrap())
            .unwrap()
    };
    let list = counter.figure("SELECT list FROM job WHERE number = 'J-0004'");
    // Amber needs 16 nuts, which are 4/25 of 100, and 6.4 m of wire, which weigh 6.4 x 4 = 25.6 g.
    let (nuts, wire) = (at("NU-10"), at("WI-08"));
    let picked = format!(r#"pick amber --list {list} "{nuts}=4/25 box" "{wire}=25.6 g" --by TW"#);
    let ran = types(&counter, &picked).good();
    for says in ["understood: 4/25 box = 16 each", "understood: 25.6 g = 6.4 m"] {
        assert!(ran.out.contains(says), "{says}: {}", ran.out);
    }
    let line = |part: &str| {
        counter.figure(&format!(
            "SELECT l.n FROM job_line l JOIN job j ON j.id = l.job JOIN part p ON p.id = l.part \
             WHERE j.number = 'J-0004' AND p.number = '{part}'"
        ))
    };
    // 1/25 of 100 nuts, and 4 g, which are a metre.
    understood(
        &counter,
        &format!(r#"put-back amber "{}=1/25 box""#, line("NU-10")),
        "1/25 box = 4 each",
        4_000_000,
    );
    counter.types("issue amber --by TW").good();
    understood(
        &counter,
        &format!(r#"return amber "{}=1/50 box:unused""#, line("NU-10")),
        "1/50 box = 2 each",
        2_000_000,
    );
    understood(
        &counter,
        r#"give WI-08 "4 g" -j amber --more"#,
        "4 g = 1 m",
        1_000_000,
    );
}

#[test]
fn line_by_line_a_unit_behind_a_figure_is_one_answer() {
    let typed = |answers: &str| {
        let counter = Counter::sample();
        types(
            &counter,
            r#"order raise QUO "NU-10=2 box" --number BOX-1 --by DA"#,
        )
        .good();
        let store = counter.store().display().to_string();
        let words = ["--store", &store, "goods-in", "BOX-1", "--guided", "--by", "TW"];
        let ran = run_typing(&words, &|_| None, Some(answers)).good();
        let lots = "SELECT COUNT(*) FROM lot WHERE order_line IS NOT NULL";
        (
            counter.figure("SELECT arrived FROM order_line ORDER BY id DESC LIMIT 1"),
            counter.figure(lots),
            ran,
        )
    };
    for (answer, arrived, lots) in [
        ("2 box\n\n", 200_000_000, 1),
        ("1 box 1 box\n\n", 200_000_000, 2),
        ("1 box:N1 30:N2\n2 boxes\n", 130_000_000, 2),
        ("30 1 box\n\n", 130_000_000, 2),
        ("1 1/2 box\n\n", 150_000_000, 1),
        ("7 8\n\n", 15_000_000, 2),
        // A word behind a lot that has its unit or its batch already is no quantity, and is asked for again.
        ("1 box box\n2 box\n\n", 200_000_000, 1),
        ("30:N1 box\n2 box\n\n", 200_000_000, 1),
        ("box\n2 box\n\n", 200_000_000, 1),
    ] {
        let (came, made, ran) = typed(answer);
        assert_eq!(
            (came, made),
            (arrived, lots),
            "{answer:?}: {}{}",
            ran.out,
            ran.err
        );
    }
}

#[test]
fn packs_are_given_back_as_they_were_taken_on() {
    let counter = Counter::sample();
    let sample = format!("{PACKS}NU-10,QUO,box,100\nWA-06,,bag,100\nWI-10,OSTRE,reel,320\n");
    assert_eq!(counter.types("export packs").good().out, sample);
    let again = import(&counter, "packs.csv", &sample, &[]).good();
    assert_eq!(
        again.answer(),
        "nothing to take on: all 3 rows are in the books already"
    );
    // His own pack goes before the one that is the same whoever sends it, and that before another's.
    let more = format!("{PACKS}NU-10,,box,50\nWA-06,OSTRE,bag,40\n");
    let ran = import(&counter, "packs.csv", &more, &["--format", "json"]).good();
    assert_eq!(ran.json()["answer"], "2 records taken on, none refused");
    for (line, qty) in [
        (r#"goods-in NU-10 "1 box" --supplier QUO --cost 1"#, 100_000_000),
        (r#"goods-in NU-10 "1 box" --supplier MARRA --cost 1"#, 50_000_000),
        (r#"goods-in WA-06 "1 bag" --supplier OSTRE --cost 1"#, 40_000_000),
        (r#"goods-in WA-06 "1 bag" --supplier MARRA --cost 1"#, 100_000_000),
    ] {
        types(&counter, &format!("{line} --by TW")).good();
        assert_eq!(counter.figure(LAST), qty, "{line}");
    }
    // Where nobody says whose, two sizes are no size.
    let words = ["move", "H10-77", "1 box", "--to", "A-1", "--by", "TW"];
    refused(&counter, &words, 260, 1, "50 each (box of anyone holds 50)");
    counter.types("check").good();
}

#[test]
fn packs_that_make_no_sense_are_faults_of_their_row() {
    let counter = Counter::sample();
    let before = std::fs::read(counter.store()).unwrap();
    for (row, place, says) in [
        ("NUT,QUO,box,100", "packs.csv:2:1", "no part of that name"),
        (
            "NU-10,NOBODY,box,100",
            "packs.csv:2:7",
            "no supplier of that name",
        ),
        // Brack is a customer.
        ("NU-10,BRACK,box,100", "packs.csv:2:7", "no supplier of that name"),
        ("NU-10,QUO,box,0", "packs.csv:2:15", "is not above zero"),
        ("NU-10,QUO,box,2.5", "packs.csv:2:15", "NU-10 moves by 1 each"),
        ("NU-10,QUO,g,100", "packs.csv:2:11", "is a unit of measure"),
        ("NU-10,QUO,pcs,100", "packs.csv:2:11", "is what NU-10 is kept in"),
        ("NU-10,QUO,2box,100", "packs.csv:2:11", "is no name for a pack"),
        ("NU-10,QUO,big:box,100", "packs.csv:2:11", "is no name for a pack"),
        ("NU-10,QUO,,100", "packs.csv:2:11", "is blank"),
        (
            "NU-10,QUO,box,200",
            "packs.csv:2:15",
            "NU-10 QUO box is in the books already",
        ),
    ] {
        let ran = import(&counter, "packs.csv", &format!("{PACKS}{row}\n"), &[]);
        assert_eq!(ran.exit, 65, "{row}: {ran:?}");
        assert!(
            ran.err.contains(place) && ran.err.contains(says),
            "{row} wants {place} {says}: {}",
            ran.err
        );
    }
    let other = import(
        &counter,
        "packs.csv",
        &format!("{PACKS}NU-10,QUO,box,200\n"),
        &["--update"],
    );
    assert_eq!(other.exit, 65);
    assert!(other.err.contains("a name of its own"), "{}", other.err);
    assert_eq!(std::fs::read(counter.store()).unwrap(), before);
}

#[test]
fn what_a_unit_weighs_is_a_later_heading_that_update_changes() {
    let counter = Counter::sample();
    let heads = "number,name,class,unit,step,hand_out,life,opened_life_days,pack_policy,bench_stock,critical,maker,issue";
    let wire = "WI-08,\"wire, locking, 0.8 mm\",material,m,0.01,,,,measure,yes,no,Harrowgill,";
    let weighs = "SELECT grams_per_unit FROM part WHERE number = 'WI-08'";
    // A file of before the heading is read as one that says nothing of the weight.
    let older = import(&counter, "parts.csv", &format!("{heads}\n{wire}\n"), &[]);
    assert!(
        older.exit == 65 && older.err.contains("with \"4\" there"),
        "{}",
        older.err
    );
    let file = format!("{heads},grams_per_unit\n{wire},3.99\n");
    let ran = import(&counter, "parts.csv", &file, &["--update"]).good();
    assert!(ran.out.contains("grams_per_unit"), "{}", ran.out);
    assert_eq!(counter.figure(weighs), 3_990_000);
    counter.types("check").good();
    let document = ran
        .out
        .split_whitespace()
        .find(|word| word.starts_with("IMP-"))
        .unwrap();
    counter.types(&format!("undo {document} --by HP")).good();
    assert_eq!(counter.figure(weighs), 4_000_000);
    // What is kept by weight weighs what it weighs; nothing weighs nothing.
    let grease = "GR-40,\"grease, assembly\",material,g,1,,,,measure,yes,no,Marrabel,";
    for (row, says) in [
        (
            format!("{grease},1"),
            "must be blank where the part is kept by weight",
        ),
        (format!("{wire},0"), "is not above zero"),
    ] {
        let ran = import(
            &counter,
            "parts.csv",
            &format!("{heads},grams_per_unit\n{row}\n"),
            &["--update"],
        );
        assert!(ran.exit == 65 && ran.err.contains(says), "{row}: {}", ran.err);
    }
}
