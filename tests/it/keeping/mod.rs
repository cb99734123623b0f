//! How goods are kept: lives by the shop's table, extensions, what a bin bears, time out of the cold.

mod as_of;
mod bins;
mod codes;
mod cold;
mod extend;
mod lives;
mod nasty;

use crate::desk::{Counter, Ran, split};
use crate::stores::refused;
use toml::Table;

/// Check values with their sources.
const FACTS: &str = include_str!("../../facts/keeping.toml");

/// The case of this id, which names its source.
fn case(id: &str) -> Table {
    let file: Table = FACTS.parse().unwrap();
    let found = file["case"].as_array().unwrap().iter();
    let mut found = found.filter_map(|case| case.as_table()).cloned();
    let case = found.find(|case| case["id"].as_str() == Some(id)).unwrap();
    assert!(
        case["source"].as_str().is_some_and(|source| !source.is_empty()),
        "{id}"
    );
    case
}

/// Types a command line whose quoted words hold together.
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

/// Writes a file into the counter's folder and imports it.
fn import(counter: &Counter, name: &str, text: &str, by: &str) -> Ran {
    let path = counter.folder().join(name);
    std::fs::write(&path, text).unwrap();
    counter.run(&["import", &path.display().to_string(), "--by", by])
}

const PARTS: &str = "number,name,class,unit,step,hand_out,life,opened_life_days,pack_policy,bench_stock,critical,maker,issue\n";

/// The sample workshop with one more part, whose life is this.
fn with_part(life: &str) -> Counter {
    let counter = Counter::unasked();
    let row = format!("{PARTS}X-1,\"ring, test\",standard part,each,1,,{life},,measure,no,no,,\n");
    import(&counter, "parts.csv", &row, "HP").good();
    counter
}

/// The one number or text that a statement over the books gives.
fn text(counter: &Counter, sql: &str) -> String {
    let raw = rusqlite::Connection::open(counter.store()).unwrap();
    let value: Option<String> = raw.query_row(sql, [], |row| row.get(0)).unwrap();
    value.unwrap_or_default()
}
