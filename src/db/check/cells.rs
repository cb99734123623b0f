//! The cells of a row as they were read, and how values are shown in a finding.

use crate::db::error::Error;
use crate::db::post::hex;
use crate::db::value::Value;
use crate::domain::measure::{Day, Qty};

fn strange(what: &'static str, found: Option<&Value>) -> Error {
    let found = found.map_or("no such column".to_owned(), one);
    Error::Strange { what, found }
}

/// A whole number.
pub(super) fn whole(row: &[Value], at: usize) -> Result<i64, Error> {
    match row.get(at) {
        Some(Value::Int(whole)) => Ok(*whole),
        other => Err(strange("number", other)),
    }
}

/// A whole number, or nothing.
pub(super) fn maybe_whole(row: &[Value], at: usize) -> Result<Option<i64>, Error> {
    match row.get(at) {
        Some(Value::Null) => Ok(None),
        _ => whole(row, at).map(Some),
    }
}

/// A text.
pub(super) fn text<'a>(row: &'a [Value<'_>], at: usize) -> Result<&'a str, Error> {
    match row.get(at) {
        Some(Value::Text(text)) => Ok(text),
        other => Err(strange("text", other)),
    }
}

/// A text, or nothing.
pub(super) fn maybe_text<'a>(row: &'a [Value<'_>], at: usize) -> Result<Option<&'a str>, Error> {
    match row.get(at) {
        Some(Value::Null) => Ok(None),
        _ => text(row, at).map(Some),
    }
}

/// A day of the calendar, or none where nothing or no such day stands there; what is no day has its own finding.
pub(super) fn day(row: &[Value], at: usize) -> Result<Option<Day>, Error> {
    Ok(maybe_text(row, at)?.and_then(|text| Day::parse(text).ok()))
}

/// A value as `change` writes it down: nothing, or its text.
pub(super) fn written(value: &Value) -> Option<String> {
    match value {
        Value::Null => None,
        other => Some(one(other)),
    }
}

/// One value.
pub(super) fn one(value: &Value) -> String {
    match value {
        Value::Null => "nothing".to_owned(),
        Value::Int(whole) => whole.to_string(),
        Value::Text(text) => text.clone().into_owned(),
        Value::Blob(bytes) => hex(bytes),
    }
}

/// A whole row.
pub(super) fn shown(row: &[Value]) -> String {
    row.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// An amount of millionths as people write it; one that no quantity can hold as it is.
pub(super) fn amount(millionths: i128) -> String {
    match i64::try_from(millionths) {
        Ok(fits) => Qty::from_millionths(fits).to_string(),
        Err(_) => format!("{millionths} millionths"),
    }
}
