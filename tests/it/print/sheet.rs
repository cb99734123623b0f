//! Plain text and CSV, read back by another reader than the writer.

use super::{HOSTILE, alert, assert_harmless, day, number, pounds, qty};
use bincard::print::cell::Cell;
use bincard::print::sheet::{csv, plain};
use bincard::print::table::Table;

fn every_cell() -> Table {
    let keys = ["line", "part", "free", "cost", "until", "ratio", "state", "note"];
    let heads: Vec<(&str, &str)> = keys.into_iter().map(|key| (key, "for eyes")).collect();
    let mut table = Table::new("all", &heads);
    table.row(vec![
        Cell::Count(7),
        Cell::text("sealant, \"thin\""),
        qty("-2.5", "ml"),
        pounds("-12.345"),
        Cell::Day(day("2026-11-25")),
        number("7.4300"),
        alert("SHORT"),
        Cell::text("=1+1"),
    ]);
    table.row(vec![
        Cell::Count(-8),
        Cell::text("-5"),
        Cell::Empty,
        Cell::Empty,
        Cell::Empty,
        number("-1"),
        Cell::Empty,
        Cell::text(" blank "),
    ]);
    table
}

#[test]
fn csv_has_a_heading_of_keys_and_a_field_each_for_unit_and_currency() {
    let expected = "\
line,part,free,free_unit,cost,cost_currency,until,ratio,state,note
7,\"sealant, \"\"thin\"\"\",-2.5,ml,-12.35,GBP,2026-11-25,7.4300,SHORT,'=1+1
-8,'-5,,,,,,-1,,\" blank \"
";
    assert_eq!(csv(&every_cell()), expected);
}

#[test]
fn another_reader_gets_the_same_fields_back() {
    let text = csv(&every_cell());
    let mut reader = csv::ReaderBuilder::new().from_reader(text.as_bytes());
    assert_eq!(reader.headers().unwrap().len(), 10);
    let records: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(records.len(), 2);
    assert_eq!(&records[0][1], "sealant, \"thin\"");
    assert_eq!(&records[1][9], " blank ");
}

#[test]
fn plain_text_is_the_same_fields_with_tabs_and_no_heading() {
    let expected = "7\tsealant, \"thin\"\t-2.5\tml\t-12.35\tGBP\t2026-11-25\t7.4300\tSHORT\t=1+1\n\
                    -8\t-5\t\t\t\t\t\t-1\t\t blank \n";
    assert_eq!(plain(&every_cell()), expected);
}

#[test]
fn a_table_that_says_its_quantities_has_the_same_heading_empty_or_full() {
    let new = || {
        Table::new("t", &[("free", "free"), ("cost", "cost")])
            .quantities(&["free"])
            .amounts(&["cost"])
    };
    let mut full = new();
    full.row(vec![qty("1", "each"), pounds("2")]);
    let empty = csv(&new());
    assert_eq!(empty, "free,free_unit,cost,cost_currency\n");
    assert_eq!(csv(&full).lines().next(), empty.lines().next());
    assert_eq!(plain(&new()), "");
}

#[test]
fn a_record_of_one_empty_field_is_no_blank_line() {
    let mut table = Table::new("t", &[("lot", "lot")]);
    table.row(vec![Cell::Empty]);
    assert_eq!(csv(&table), "lot\n\"\"\n");
}

#[test]
fn hostile_names_stay_one_harmless_record() {
    for name in HOSTILE {
        let mut table = Table::new("t", &[("name", "name"), ("free", "free")]);
        table.row(vec![Cell::text(*name), qty("1", name)]);
        for text in [csv(&table), plain(&table)] {
            assert_harmless(&text);
        }
        assert_eq!(csv(&table).lines().count(), 2);
        assert_eq!(plain(&table).split('\t').count(), 3);
    }
    let mut table = Table::new("t", &[("free", "free")]);
    table.row(vec![qty("-1", "=cmd")]);
    assert_eq!(csv(&table), "free,free_unit\n-1,'=cmd\n");
}
