//! Tables for other programs, one record a line: CSV with a heading, plain text with tabs and without.
//!
//! A quantity takes two fields, value and unit, and an amount of money value and currency code.

use crate::print::cell::Cell;
use crate::print::escape::{csv_guard, escape};
use crate::print::table::{Beside, Column, Table};

/// One field of a record: which column, and which side of its cells.
struct Field {
    place: usize,
    heading: String,
    side: Side,
}

/// The side of a cell a field shows.
#[derive(Clone, Copy)]
enum Side {
    Value,
    Unit,
    Currency,
}

/// The table as CSV: heading of keys, fields quoted as RFC 4180 has it, lines ended by a line feed.
///
/// Controls are shown, not passed on, and words that a spreadsheet would run get a `'` before them.
#[must_use]
pub fn csv(table: &Table) -> String {
    let fields = fields(table);
    let mut lines = vec![csv_record(fields.iter().map(|field| field.heading.clone()))];
    for row in &table.rows {
        lines.push(csv_record(fields.iter().map(|field| {
            let cell = row.get(field.place).unwrap_or(&Cell::Empty);
            let words = escape(&field.side.of(cell));
            if matches!(field.side, Side::Value) && !cell.is_words() {
                words
            } else {
                csv_guard(&words)
            }
        })));
    }
    lines.concat()
}

/// One CSV line of its finished fields, line feed included.
pub(crate) fn csv_record(fields: impl Iterator<Item = String>) -> String {
    let record = fields.map(|field| quoted(&field)).collect::<Vec<_>>().join(",");
    // A record of one empty field would be a blank line, which readers skip.
    if record.is_empty() {
        "\"\"\n".to_owned()
    } else {
        format!("{record}\n")
    }
}

/// The table as plain text: no heading, tabs between fields, nothing cut or wrapped.
#[must_use]
pub fn plain(table: &Table) -> String {
    let fields = fields(table);
    let record = |row: &Vec<Cell>| {
        let value = |field: &Field| escape(&field.side.of(row.get(field.place).unwrap_or(&Cell::Empty)));
        fields.iter().map(value).collect::<Vec<_>>().join("\t") + "\n"
    };
    table.rows.iter().map(record).collect()
}

/// The fields of every record of the table.
fn fields(table: &Table) -> Vec<Field> {
    let of_column = |(place, column): (usize, &Column)| {
        let has = |wanted: fn(&Cell) -> bool| table.rows.iter().any(|row| row.get(place).is_some_and(wanted));
        let key = column.key;
        let mut fields = vec![Field {
            place,
            heading: key.to_owned(),
            side: Side::Value,
        }];
        if column.beside == Beside::Unit || has(|cell| cell.unit().is_some()) {
            fields.push(Field {
                place,
                heading: format!("{key}_unit"),
                side: Side::Unit,
            });
        }
        if column.beside == Beside::Currency || has(|cell| cell.currency().is_some()) {
            fields.push(Field {
                place,
                heading: format!("{key}_currency"),
                side: Side::Currency,
            });
        }
        fields
    };
    table.columns.iter().enumerate().flat_map(of_column).collect()
}

impl Side {
    /// What a cell shows on this side.
    fn of(self, cell: &Cell) -> String {
        match self {
            Side::Value => cell.value(),
            Side::Unit => cell.unit().unwrap_or_default().to_owned(),
            Side::Currency => cell.currency().unwrap_or_default().to_owned(),
        }
    }
}

/// A field in quotes where RFC 4180 asks for them, or where blanks at its ends might get lost.
fn quoted(field: &str) -> String {
    let needs = field.contains([',', '"', '\n', '\r']) || field.starts_with(' ') || field.ends_with(' ');
    if needs {
        format!("\"{}\"", field.replace('"', "\"\""))
    } else {
        field.to_owned()
    }
}
