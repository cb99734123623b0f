//! The files that `import` takes, written: headings, words guarded against spreadsheets, numbers as they are.
//!
//! The headings stand here and on the intake's floor; a test holds them equal.

use crate::print::cell::Cell;
use crate::print::escape::csv_guard;
use crate::print::sheet::csv_record;
use crate::print::table::Table;
use rust_decimal::Decimal;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// Words, a name or a day; a spreadsheet must not run them.
    Words,
    /// A number.
    Figure,
}

use Holds::{Figure, Words};

/// The files by the stem of their name, with headings and what stands under each.
pub const FILES: &[(&str, &[(&str, Holds)])] = &[
    (
        "people",
        &[
            ("initials", Words),
            ("name", Words),
            ("roles", Words),
            ("authorised_from", Words),
            ("authorised_until", Words),
        ],
    ),
    ("customers", &[("code", Words), ("name", Words)]),
    (
        "suppliers",
        &[
            ("code", Words),
            ("name", Words),
            ("currency", Words),
            ("lead_days", Figure),
            ("approved_from", Words),
            ("approved_until", Words),
            ("scope", Words),
        ],
    ),
    (
        "parts",
        &[
            ("number", Words),
            ("name", Words),
            ("class", Words),
            ("unit", Words),
            ("step", Figure),
            ("hand_out", Figure),
            ("life", Words),
            ("opened_life_days", Figure),
            ("pack_policy", Words),
            ("bench_stock", Words),
            ("critical", Words),
            ("maker", Words),
            ("issue", Words),
            ("opened_life", Words),
            ("grams_per_unit", Figure),
        ],
    ),
    (
        "sizes",
        &[
            ("part", Words),
            ("name", Words),
            ("value", Figure),
            ("unit", Words),
        ],
    ),
    (
        "packs",
        &[
            ("part", Words),
            ("supplier", Words),
            ("unit", Words),
            ("holds", Figure),
        ],
    ),
    (
        "bins",
        &[
            ("code", Words),
            ("name", Words),
            ("kind", Words),
            ("parent", Words),
            ("walk", Figure),
            ("limits", Words),
            ("one_lot", Words),
        ],
    ),
    (
        "engines",
        &[("model", Words), ("serial", Words), ("customer", Words)],
    ),
    (
        "bills",
        &[
            ("part", Words),
            ("revision", Words),
            ("from_day", Words),
            ("until_day", Words),
            ("fits", Words),
            ("data_source", Words),
        ],
    ),
    (
        "bill_lines",
        &[
            ("bill", Words),
            ("revision", Words),
            ("n", Figure),
            ("kind", Words),
            ("part", Words),
            ("qty", Figure),
            ("per", Words),
            ("group", Words),
            ("choice", Words),
            ("text", Words),
            ("waste", Figure),
        ],
    ),
    (
        "prices",
        &[
            ("part", Words),
            ("supplier", Words),
            ("basis", Words),
            ("from_day", Words),
            ("from_qty", Figure),
            ("unit", Words),
            ("amount", Figure),
            ("currency", Words),
        ],
    ),
    (
        "rates",
        &[
            ("kind", Words),
            ("name", Words),
            ("from_day", Words),
            ("amount", Figure),
        ],
    ),
    ("rules", &[("class", Words), ("name", Words), ("text", Words)]),
    (
        "standins",
        &[
            ("part", Words),
            ("other", Words),
            ("manner", Words),
            ("bounds", Words),
            ("authority", Words),
            ("from_day", Words),
            ("until_day", Words),
        ],
    ),
    (
        "lives",
        &[
            ("family", Words),
            ("months", Words),
            ("source", Words),
            ("issue", Words),
            ("from_day", Words),
        ],
    ),
    (
        "stock",
        &[
            ("part", Words),
            ("bin", Words),
            ("qty", Figure),
            ("value", Figure),
            ("batch", Words),
            ("serial", Words),
            ("expiry", Words),
            ("condition", Words),
            ("owner", Words),
            ("maker", Words),
            ("made", Words),
        ],
    ),
    (
        "orders",
        &[
            ("order", Words),
            ("supplier", Words),
            ("day", Words),
            ("part", Words),
            ("qty", Figure),
            ("value", Figure),
            ("promised", Words),
        ],
    ),
    (
        "jobs",
        &[
            ("conversion", Words),
            ("choices", Words),
            ("engine", Words),
            ("customer", Words),
            ("tag", Words),
            ("use_day", Words),
            ("priority", Figure),
        ],
    ),
];

/// The columns of the file of this stem.
fn columns(stem: &str) -> &'static [(&'static str, Holds)] {
    let found = FILES.iter().find(|(of, _)| *of == stem);
    found.map_or(&[], |(_, columns)| columns)
}

/// The file of this stem with these rows, one record a line, as `import` takes it.
///
/// Nothing of a text is escaped, so that it comes back as it is; only what a spreadsheet would run gets a `'` before it.
pub fn text(stem: &str, rows: &[Vec<String>]) -> String {
    let columns = columns(stem);
    let mut lines = vec![csv_record(
        columns.iter().map(|(heading, _)| (*heading).to_owned()),
    )];
    for row in rows {
        let cells = columns.iter().zip(row).map(|((_, holds), cell)| match holds {
            Words => csv_guard(cell),
            Figure => cell.clone(),
        });
        lines.push(csv_record(cells));
    }
    lines.concat()
}

/// The same rows as a table, for the forms that are no file.
pub fn table(stem: &'static str, rows: &[Vec<String>]) -> Table {
    let columns = columns(stem);
    let heads: Vec<(&str, &str)> = columns.iter().map(|(heading, _)| (*heading, *heading)).collect();
    let mut table = Table::new(stem, &heads);
    for row in rows {
        let cells = columns.iter().zip(row).map(|((_, holds), cell)| {
            match (holds, cell.is_empty(), cell.parse::<Decimal>()) {
                (_, true, _) => Cell::Empty,
                (Figure, _, Ok(figure)) => Cell::Number(figure),
                _ => Cell::text(cell.clone()),
            }
        });
        table.row(cells.collect());
    }
    table
}
