//! Our own values on their way into the driver and out of it.

use super::from_driver;
use crate::db::error::Error;
use crate::db::value::Value;
use rusqlite::types::{ToSqlOutput, ValueRef};
use rusqlite::{Statement, ToSql};

impl ToSql for Value<'_> {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(ToSqlOutput::Borrowed(match self {
            Value::Null => ValueRef::Null,
            Value::Int(whole) => ValueRef::Integer(*whole),
            Value::Text(text) => ValueRef::Text(text.as_bytes()),
            Value::Blob(bytes) => ValueRef::Blob(bytes),
        }))
    }
}

/// The names of the values of a statement; no statement of ours takes more.
const NAMES: [&str; 32] = [
    "$1", "$2", "$3", "$4", "$5", "$6", "$7", "$8", "$9", "$10", "$11", "$12", "$13", "$14", "$15", "$16",
    "$17", "$18", "$19", "$20", "$21", "$22", "$23", "$24", "$25", "$26", "$27", "$28", "$29", "$30", "$31",
    "$32",
];

/// Where a statement takes `$1`, `$2` and so on: it numbers its values as it meets them, and names count.
pub(super) fn places_of(statement: &Statement<'_>) -> Result<Vec<usize>, Error> {
    let names = NAMES.iter().take(statement.parameter_count());
    let place = |name: &&'static str| {
        let index = statement.parameter_index(name).map_err(from_driver)?;
        index.ok_or_else(|| Error::Fault(format!("a statement has no {name}")))
    };
    names.map(place).collect()
}

/// Binds a value for each place of a statement; one forgotten or one too many is a fault of ours.
pub(super) fn bind(statement: &mut Statement<'_>, places: &[usize], values: &[Value]) -> Result<(), Error> {
    if places.len() != values.len() || places.len() != statement.parameter_count() {
        let sql = statement.expanded_sql().unwrap_or_default();
        return Err(Error::Fault(format!("{} values for {sql}", values.len())));
    }
    for (index, value) in places.iter().zip(values) {
        if let Value::Text(text) = value
            && text.contains('\0')
        {
            return Err(Error::Refused("a text contains a NUL".to_owned()));
        }
        statement.raw_bind_parameter(*index, value).map_err(from_driver)?;
    }
    Ok(())
}

/// A value that the driver gave.
pub(super) fn from_ref(value: ValueRef<'_>) -> Result<Value<'static>, Error> {
    Ok(match value {
        ValueRef::Null => Value::Null,
        ValueRef::Integer(whole) => Value::Int(whole),
        ValueRef::Text(bytes) => match std::str::from_utf8(bytes) {
            Ok(text) => Value::from(text.to_owned()),
            Err(error) => {
                return Err(Error::Strange {
                    what: "text",
                    found: error.to_string(),
                });
            }
        },
        ValueRef::Blob(bytes) => Value::from(bytes.to_vec()),
        ValueRef::Real(real) => {
            return Err(Error::Strange {
                what: "number",
                found: real.to_string(),
            });
        }
    })
}
