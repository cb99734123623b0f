//! JSON as promised to strangers: schema version 1, no float anywhere, keys in a fixed order.
//!
//! Within a version keys are only ever added.

use crate::print::cell::Cell;
use crate::print::escape::is_hidden;
use crate::print::paper::{Paper, TypedAs};
use crate::print::table::Table;
use serde_json::Value;

/// The version every document names first.
const SCHEMA_VERSION: u8 = 1;

/// A paper as one JSON document on one line.
#[must_use]
pub fn paper_json(paper: &Paper) -> String {
    let no_table = Table::new("", &[]);
    let (first, further) = paper.tables.split_first().unwrap_or((&no_table, &[]));
    let titles = further.iter().map(|table| key_of(&table.title));
    let tables = unique(titles).into_iter().zip(further.iter().map(rows));
    let document = object([
        ("schema_version", SCHEMA_VERSION.to_string()),
        ("kind", text(paper.kind)),
        ("trial", paper.heading.trial.to_string()),
        ("answer", text(&paper.answer)),
        ("store", text(&paper.heading.store)),
        ("day", or_null(paper.heading.day.map(|day| day.to_string()))),
        ("training", paper.heading.training.to_string()),
        ("document", or_null(paper.document_number().map(str::to_owned))),
        ("rows", rows(first)),
        ("tables", object(tables)),
        ("understood", array(paper.understood.iter().map(typed_as))),
        ("notes", texts(&paper.notes)),
        ("cautions", texts(&paper.cautions)),
        ("next", texts(&paper.next)),
    ]);
    format!("{document}\n")
}

/// An error as one JSON document on one line, for stderr; `number` is the one `explain` knows.
///
/// A context name that comes twice gets `_2` and so on behind it, so that nothing is lost.
#[must_use]
pub fn error_json(number: u16, message: &str, hint: &str, context: &[(String, String)]) -> String {
    let names = unique(context.iter().map(|(name, _)| name.clone()));
    let facts = names.into_iter().zip(context.iter().map(|(_, fact)| text(fact)));
    let document = object([
        ("schema_version", SCHEMA_VERSION.to_string()),
        ("kind", text("error")),
        ("number", number.to_string()),
        ("message", text(message)),
        ("hint", text(hint)),
        ("context", object(facts)),
    ]);
    format!("{document}\n")
}

/// A quantity as it was typed and understood.
fn typed_as(typed: &TypedAs) -> String {
    object([
        ("typed", text(&typed.typed)),
        ("qty", text(&typed.qty.to_string())),
        ("unit", text(typed.unit.symbol())),
    ])
}

/// The rows of a table as an array of objects under the columns' keys.
fn rows(table: &Table) -> String {
    let row = |cells: &Vec<Cell>| {
        let pairs = table.columns.iter().enumerate();
        object(pairs.map(|(place, column)| (column.key, value(cells.get(place).unwrap_or(&Cell::Empty)))))
    };
    array(table.rows.iter().map(row))
}

/// One cell; quantities and money are objects, every measured or computed number a string.
fn value(cell: &Cell) -> String {
    match cell {
        Cell::Empty => "null".to_owned(),
        Cell::Count(count) => count.to_string(),
        Cell::Qty(_, unit) => object([("qty", text(&cell.value())), ("unit", text(unit))]),
        Cell::Money(_, currency) => object([
            ("amount", text(&cell.value())),
            ("currency", text(currency.code())),
        ]),
        Cell::Text(_) | Cell::Alert(_) | Cell::Day(_) | Cell::Number(_) => text(&cell.value()),
    }
}

/// A JSON object of finished values in the order given; serde_json's own map would sort them.
fn object<K: AsRef<str>>(pairs: impl IntoIterator<Item = (K, String)>) -> String {
    let pairs: Vec<String> = pairs
        .into_iter()
        .map(|(key, value)| format!("{}:{value}", text(key.as_ref())))
        .collect();
    format!("{{{}}}", pairs.join(","))
}

/// A JSON array of finished values.
fn array(values: impl Iterator<Item = String>) -> String {
    format!("[{}]", values.collect::<Vec<_>>().join(","))
}

/// A JSON array of strings.
fn texts(lines: &[String]) -> String {
    array(lines.iter().map(|line| text(line)))
}

/// A JSON string, or null.
fn or_null(words: Option<String>) -> String {
    words.map_or("null".to_owned(), |words| text(&words))
}

/// A JSON string that reads back to exactly the text given.
///
/// Marks a terminal would obey or hide are written as `\u` escapes, which JSON leaves to the writer.
fn text(words: &str) -> String {
    let quoted = Value::from(words).to_string();
    let mut safe = String::with_capacity(quoted.len());
    for mark in quoted.chars() {
        if mark.is_control() || is_hidden(mark) {
            let mut units = [0; 2];
            for unit in mark.encode_utf16(&mut units) {
                safe.push_str(&format!("\\u{unit:04x}"));
            }
        } else {
            safe.push(mark);
        }
    }
    safe
}

/// A table's title as a key: small letters, digits and `_`.
fn key_of(title: &str) -> String {
    let small = title.to_lowercase();
    let words: Vec<&str> = small
        .split(|mark: char| !mark.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .collect();
    if words.is_empty() {
        "table".to_owned()
    } else {
        words.join("_")
    }
}

/// The names with `_2`, `_3` behind those that were there already.
fn unique(names: impl Iterator<Item = String>) -> Vec<String> {
    let mut taken: Vec<String> = Vec::new();
    for name in names {
        let mut candidate = name.clone();
        let mut count = 1;
        while taken.contains(&candidate) {
            count += 1;
            candidate = format!("{name}_{count}");
        }
        taken.push(candidate);
    }
    taken
}
