//! `export`: exactly what `import` takes, and the second round is the first to the byte.

use crate::desk::Counter;
use bincard::intake::{HEADINGS, SourceFile, read};
use bincard::print::export_file::{FILES, text};
use proptest::prelude::*;
use std::path::Path;

const SAMPLE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/sample-data");

#[test]
fn both_floors_have_the_same_headings() {
    let taken: Vec<(&str, Vec<&str>)> = HEADINGS
        .iter()
        .map(|(stem, headings)| (*stem, headings.to_vec()))
        .collect();
    let given: Vec<(&str, Vec<&str>)> = FILES
        .iter()
        .map(|(stem, columns)| (*stem, columns.iter().map(|(heading, _)| *heading).collect()))
        .collect();
    assert_eq!(given, taken);
}

/// A store with nothing in it whose clock stands at the day on which the sample was opened, by a method of value.
fn empty(method: &str) -> Counter {
    let counter = Counter::bare();
    let day = "2026-11-02";
    counter
        .run(&[
            "init",
            "--name",
            "Second",
            "--training-day",
            day,
            "--method",
            method,
            "--by",
            "HP",
        ])
        .good();
    counter
}

/// Exports everything into a folder of the counter's own and gives the files in the order of their kinds.
fn all_files(counter: &Counter) -> Vec<(&'static str, String)> {
    let folder = counter.folder().join("books");
    counter
        .run(&["export", "--folder", &folder.display().to_string()])
        .good();
    let file = |stem: &str| std::fs::read_to_string(folder.join(format!("{stem}.csv"))).unwrap();
    FILES.iter().map(|(stem, _)| (*stem, file(stem))).collect()
}

/// Exports, imports into an empty store, exports again: each kind's file must be the same to the byte.
fn goes_round(counter: &Counter, method: &str) {
    let first = all_files(counter);
    let other = empty(method);
    let folder = counter.folder().join("books").display().to_string();
    other.run(&["import", &folder, "--by", "HP"]).good();
    other.run(&["check"]).good();
    for ((stem, first), (_, second)) in first.iter().zip(all_files(&other)) {
        assert_eq!(*first, second, "{stem} by {method}");
    }
}

#[test]
fn the_second_round_is_the_first_to_the_byte() {
    goes_round(&Counter::sample(), "actual");
}

#[test]
fn a_trial_writes_no_file() {
    let counter = Counter::sample();
    let folder = counter.folder().join("out");
    let typed = format!("--dry-run export --folder {}", folder.display());
    counter.refuses(&typed, 2, "on trial");
    assert!(!folder.exists());
    counter.types("--dry-run export people").good();
}

#[test]
fn and_so_it_is_where_lots_are_valued_together() {
    for method in ["fifo", "average"] {
        let counter = empty(method);
        let (opening, jobs) = (format!("{SAMPLE}/opening"), format!("{SAMPLE}/jobs.csv"));
        counter.run(&["import", &opening, &jobs, "--by", "HP"]).good();
        goes_round(&counter, method);
    }
}

#[test]
fn every_kind_of_the_sample_comes_back() {
    let counter = Counter::sample();
    for (stem, _) in FILES {
        let ran = counter.run(&["export", stem]).good();
        let rows = ran.out.lines().count();
        assert!(rows > 1, "{stem} is empty");
        // A file alone, into the store it came from: it has everything already.
        let path = counter.folder().join(format!("{stem}.csv"));
        std::fs::write(&path, &ran.out).unwrap();
        let again = counter
            .run(&["import", &path.display().to_string(), "--by", "HP"])
            .good();
        assert_eq!(
            again.answer(),
            format!(
                "nothing to take on: all {} rows are in the books already",
                rows - 1
            ),
            "{stem}"
        );
    }
}

#[test]
fn what_was_typed_by_hand_comes_back_as_it_was_typed() {
    // These files of the sample are written as the program writes them, so they are the program's oracle.
    let counter = Counter::sample();
    for name in [
        "opening/people",
        "opening/customers",
        "opening/suppliers",
        "opening/engines",
        "opening/bills",
        "opening/bill_lines",
        "opening/prices",
        "orders",
        "jobs",
    ] {
        let typed = std::fs::read_to_string(format!("{SAMPLE}/{name}.csv")).unwrap();
        let stem = Path::new(name).file_name().unwrap().to_str().unwrap();
        assert_eq!(counter.run(&["export", stem]).good().out, typed, "{name}");
    }
}

#[test]
fn a_lot_in_two_bins_shares_its_value_and_none_is_lost() {
    let counter = empty("actual");
    let folder = counter.folder().join("in");
    std::fs::create_dir(&folder).unwrap();
    let write = |name: &str, text: &str| std::fs::write(folder.join(name), text).unwrap();
    write(
        "parts.csv",
        "number,name,class,unit,step,hand_out,life,opened_life_days,pack_policy,bench_stock,critical,maker,issue\n\
         NUT,nut,standard part,each,1,,,,measure,no,no,,\n",
    );
    write(
        "bins.csv",
        "code,name,kind,parent,walk\nA,one,shelf,,\nB,two,shelf,,\n",
    );
    write(
        "stock.csv",
        "part,bin,qty,value,batch,serial,expiry,condition,owner,maker,made\nNUT,A,3,1,B1,,,new,,,\n",
    );
    counter
        .run(&["import", &folder.display().to_string(), "--by", "HP"])
        .good();
    counter
        .run(&["move", "NUT", "1", "--from", "A", "--to", "B", "--by", "HP"])
        .good();
    // Two of three share 1.00: 2/3 to the millionth, and the last takes what is left.
    assert_eq!(
        counter.run(&["export", "stock"]).good().out,
        "part,bin,qty,value,batch,serial,expiry,condition,owner,maker,made\n\
         NUT,A,2,0.666667,B1,,,new,,,\nNUT,B,1,0.333333,B1,,,new,,,\n"
    );
    goes_round(&counter, "actual");
}

#[test]
fn what_no_file_holds_is_said() {
    let counter = Counter::sample();
    counter.run(&["reserve", "amber", "--by", "TW"]).good();
    counter
        .run(&["pick", "amber", "--list", "2", "--as-listed", "--by", "TW"])
        .good();
    let ran = counter.run(&["export", "stock"]).good();
    // By the story amber's kit takes 27 lines, each of one lot; row 48 is dead since 2026-11-10 and row 32 since
    // 2026-10-31, and the wrench of row 58 is past its calibration.
    assert!(
        ran.err
            .contains("27 lots lie in kits, crates, the red bin or away"),
        "{}",
        ran.err
    );
    assert!(ran.err.contains("3 rows are past their last day"), "{}", ran.err);
    assert!(ran.out.starts_with("part,bin,qty,"), "{}", ran.out);
}

#[test]
fn no_file_is_written_over_and_no_other_kind_is_known() {
    let counter = Counter::sample();
    let folder = counter.folder().join("books");
    std::fs::create_dir(&folder).unwrap();
    std::fs::write(folder.join("rates.csv"), "mine\n").unwrap();
    let ran = counter.run(&["export", "--folder", &folder.display().to_string()]);
    assert_eq!(ran.exit, 73, "{ran:?}");
    assert_eq!(
        std::fs::read_to_string(folder.join("rates.csv")).unwrap(),
        "mine\n"
    );
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 1);
    let ran = counter.run(&["export", "bolts"]);
    assert_eq!(ran.exit, 2, "{ran:?}");
    assert!(ran.err.contains("one of: people, customers"), "{}", ran.err);
    assert_eq!(counter.run(&["export"]).exit, 2);
    let json = counter
        .run(&["export", "prices", "--format", "json"])
        .good()
        .json();
    assert_eq!(json["rows"][0]["amount"], "1380.00");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4_000))]

    /// A text comes back as it was, whatever a spreadsheet would make of it, and none stands there as a formula.
    #[test]
    fn texts_come_back_as_they_were(name in "['=+@＝－ a\",;-]{0,6}[a='x\"]", code in "[=+@'-]{0,3}[A-Z]{1,3}") {
        let name = name.trim().to_owned();
        let rows = [vec![code.clone(), name.clone()]];
        let written = text("customers", &rows);
        let file = SourceFile { name: "customers.csv".to_owned(), bytes: written.clone().into_bytes() };
        let taken = read(&[file]).unwrap_or_else(|faults| panic!("{faults}"));
        prop_assert_eq!(&taken.customers[0].row.code, &code);
        prop_assert_eq!(&taken.customers[0].row.name, &name);
        let record = written.lines().nth(1).unwrap();
        prop_assert!(!record.trim_start_matches('"').trim_start().starts_with(['=', '+', '-', '@']), "{}", record);
    }
}
