//! What everybody measures with, held to check values that name their source.

mod day;
mod life;
mod money;
mod number;
mod numeral;
mod rounding;
mod typed;

use toml::{Table, Value};

/// The cases of a fact file; a case without an id of its own or without a source fails.
fn cases(facts: &str) -> Vec<Table> {
    let file: Table = facts.parse().expect("the fact file is TOML");
    let cases: Vec<Table> = file["case"]
        .as_array()
        .expect("a list of cases")
        .iter()
        .map(as_table)
        .collect();
    let mut ids: Vec<&str> = Vec::new();
    for case in &cases {
        let id = text(case, "id");
        assert!(!ids.contains(&id), "two cases are called {id}");
        ids.push(id);
        let source = case.get("source").and_then(Value::as_str).unwrap_or("");
        assert!(!source.trim().is_empty(), "the case {id} has no source");
    }
    assert!(!cases.is_empty(), "no case at all");
    cases
}

fn as_table(value: &Value) -> Table {
    value.as_table().expect("a table").clone()
}

fn text<'a>(table: &'a Table, key: &str) -> &'a str {
    table[key].as_str().unwrap_or_else(|| panic!("{key} is no text"))
}

fn texts(list: &Value) -> Vec<&str> {
    list.as_array()
        .expect("a list")
        .iter()
        .map(|value| value.as_str().expect("text"))
        .collect()
}

fn rows(table: &Value) -> Vec<Table> {
    table["rows"]
        .as_array()
        .expect("rows")
        .iter()
        .map(as_table)
        .collect()
}

#[test]
#[should_panic(expected = "the case lone has no source")]
fn a_case_without_source_fails() {
    cases("[[case]]\nid = 'lone'\nexpected = 1\n");
}

#[test]
#[should_panic(expected = "two cases are called twin")]
fn two_cases_of_one_name_fail() {
    cases("[[case]]\nid = 'twin'\nsource = 'a'\n[[case]]\nid = 'twin'\nsource = 'b'\n");
}
