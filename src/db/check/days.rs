//! Every day in the books is a day of the calendar, written YYYY-MM-DD; what is not would sort and compare wrongly.

use super::Report;
use super::cells::{maybe_text, text};
use super::documents::{Document, head};
use crate::db::error::Error;
use crate::domain::measure::Day;

/// The columns of records that hold a day, by table.
const COLUMNS: [(&str, &[&str]); 9] = [
    ("lot", &["made", "opened", "expiry"]),
    ("person", &["authorised_from", "authorised_until"]),
    ("party", &["approved_from", "approved_until"]),
    ("bill", &["from_day", "until_day"]),
    ("job", &["use_day"]),
    ("supplier_order", &["day"]),
    ("order_line", &["promised"]),
    ("price", &["from_day"]),
    ("rate", &["from_day"]),
];

/// Judges the days of a document and of the records it made, as they stand now.
pub(super) fn judge(document: &Document, report: &mut Report<'_, '_>) -> Result<(), Error> {
    for at in [head::DAY, head::DUE] {
        let day = maybe_text(&document.head, at)?;
        one(day, || "a day of the document".to_owned(), document, report);
    }
    let written = text(&document.head, head::AT)?;
    let (day, time) = written.split_at_checked(10).unwrap_or((written, ""));
    let timed = time.starts_with('T') && time.ends_with('Z');
    let day = if timed { day } else { written };
    one(Some(day), || "when it was written".to_owned(), document, report);
    for wrote in &document.wrote {
        let (Some(shape), Some((_, days))) = (
            wrote.shape,
            COLUMNS.iter().find(|(table, _)| *table == wrote.table),
        ) else {
            continue;
        };
        let places = shape.columns.iter().enumerate();
        for (at, column) in places.filter(|(_, column)| days.contains(column)) {
            for row in wrote.rows() {
                let what = || {
                    let id = row.first().map(super::cells::one).unwrap_or_default();
                    format!("{column} of {} no. {id}", wrote.table)
                };
                one(maybe_text(row, at)?, what, document, report);
            }
        }
    }
    Ok(())
}

fn one(found: Option<&str>, what: impl Fn() -> String, document: &Document, report: &mut Report<'_, '_>) {
    if let Some(text) = found
        && Day::parse(text).is_err()
    {
        let about = format!("{}: {}", report.names.document(document.id), what());
        report.add(super::DAYS, about, "a day, YYYY-MM-DD", text);
    }
}
