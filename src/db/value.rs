//! Values and rows as the books' statements take and give them, without the name of any driver.

use crate::db::error::Error;
use crate::domain::measure::{Day, Money, Qty};

/// One value of a statement.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Value {
    /// Nothing.
    Null,
    /// A whole number.
    Int(i64),
    /// A text.
    Text(String),
    /// Bytes.
    Blob(Vec<u8>),
}

macro_rules! value_from {
    ($($kind:ty => |$it:ident| $made:expr),+ $(,)?) => {$(
        impl From<$kind> for Value {
            fn from($it: $kind) -> Value {
                $made
            }
        }
    )+};
}

value_from! {
    i64 => |whole| Value::Int(whole),
    bool => |flag| Value::Int(i64::from(flag)),
    &str => |text| Value::Text(text.to_owned()),
    String => |text| Value::Text(text),
    &String => |text| Value::Text(text.clone()),
    Vec<u8> => |bytes| Value::Blob(bytes),
    Qty => |qty| Value::Int(qty.millionths()),
    Money => |money| Value::Int(money.millionths()),
    Day => |day| Value::Text(day.to_string()),
}

impl<T: Into<Value>> From<Option<T>> for Value {
    fn from(maybe: Option<T>) -> Value {
        maybe.map_or(Value::Null, Into::into)
    }
}

/// Builds the values of a statement, each from whatever turns into one.
macro_rules! values {
    ($($value:expr),* $(,)?) => { [$($crate::db::value::Value::from($value)),*] };
}

pub(crate) use values;

/// One row that a statement gave.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row(pub Vec<Value>);

impl Row {
    /// The value in a column, counted from nought.
    pub fn value(&self, column: usize) -> Result<&Value, Error> {
        self.0
            .get(column)
            .ok_or_else(|| Error::Fault(format!("a row has no column {column}")))
    }

    /// A whole number.
    pub fn int(&self, column: usize) -> Result<i64, Error> {
        match self.value(column)? {
            Value::Int(whole) => Ok(*whole),
            other => Err(strange("number", other)),
        }
    }

    /// A whole number, or nothing.
    pub fn maybe_int(&self, column: usize) -> Result<Option<i64>, Error> {
        match self.value(column)? {
            Value::Null => Ok(None),
            Value::Int(whole) => Ok(Some(*whole)),
            other => Err(strange("number", other)),
        }
    }

    /// A flag.
    pub fn flag(&self, column: usize) -> Result<bool, Error> {
        Ok(self.int(column)? != 0)
    }

    /// A text.
    pub fn text(&self, column: usize) -> Result<String, Error> {
        match self.value(column)? {
            Value::Text(text) => Ok(text.clone()),
            other => Err(strange("text", other)),
        }
    }

    /// A text, or nothing.
    pub fn maybe_text(&self, column: usize) -> Result<Option<String>, Error> {
        match self.value(column)? {
            Value::Null => Ok(None),
            Value::Text(text) => Ok(Some(text.clone())),
            other => Err(strange("text", other)),
        }
    }

    /// Bytes.
    pub fn blob(&self, column: usize) -> Result<Vec<u8>, Error> {
        match self.value(column)? {
            Value::Blob(bytes) => Ok(bytes.clone()),
            other => Err(strange("bytes", other)),
        }
    }

    /// A quantity.
    pub fn qty(&self, column: usize) -> Result<Qty, Error> {
        self.int(column).map(Qty::from_millionths)
    }

    /// A quantity, or nothing.
    pub fn maybe_qty(&self, column: usize) -> Result<Option<Qty>, Error> {
        Ok(self.maybe_int(column)?.map(Qty::from_millionths))
    }

    /// An amount of money.
    pub fn money(&self, column: usize) -> Result<Money, Error> {
        self.int(column).map(Money::from_millionths)
    }

    /// A day.
    pub fn day(&self, column: usize) -> Result<Day, Error> {
        let text = self.text(column)?;
        Day::parse(&text).map_err(|_| Error::Strange {
            what: "day",
            found: text,
        })
    }

    /// A day, or nothing.
    pub fn maybe_day(&self, column: usize) -> Result<Option<Day>, Error> {
        match self.maybe_text(column)? {
            None => Ok(None),
            Some(_) => self.day(column).map(Some),
        }
    }
}

fn strange(what: &'static str, found: &Value) -> Error {
    Error::Strange {
        what,
        found: format!("{found:?}"),
    }
}
