//! Values and rows as the books' statements take and give them, without the name of any driver.

use crate::db::error::Error;
use crate::domain::measure::{Day, Money, Qty};
use std::borrow::Cow;

/// One value of a statement; texts and bytes are lent to it where they stand somewhere anyway.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Value<'v> {
    /// Nothing.
    Null,
    /// A whole number.
    Int(i64),
    /// A text.
    Text(Cow<'v, str>),
    /// Bytes.
    Blob(Cow<'v, [u8]>),
}

/// The values that a statement is given, in order.
pub trait Given<'v>: AsRef<[Value<'v>]> {}

impl<'v, T: AsRef<[Value<'v>]>> Given<'v> for T {}

macro_rules! value_from {
    ($($kind:ty => |$it:ident| $made:expr),+ $(,)?) => {$(
        impl<'v> From<$kind> for Value<'v> {
            fn from($it: $kind) -> Value<'v> {
                $made
            }
        }
    )+};
}

value_from! {
    i64 => |whole| Value::Int(whole),
    bool => |flag| Value::Int(i64::from(flag)),
    &'v str => |text| Value::Text(Cow::Borrowed(text)),
    String => |text| Value::Text(Cow::Owned(text)),
    &'v String => |text| Value::Text(Cow::Borrowed(text)),
    Vec<u8> => |bytes| Value::Blob(Cow::Owned(bytes)),
    &'v [u8] => |bytes| Value::Blob(Cow::Borrowed(bytes)),
    Qty => |qty| Value::Int(qty.millionths()),
    Money => |money| Value::Int(money.millionths()),
    Day => |day| Value::Text(Cow::Owned(day.to_string())),
}

impl<'v, T: Into<Value<'v>>> From<Option<T>> for Value<'v> {
    fn from(maybe: Option<T>) -> Value<'v> {
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
pub struct Row(pub Vec<Value<'static>>);

impl Row {
    /// The value in a column, counted from nought.
    pub fn value(&self, column: usize) -> Result<&Value<'static>, Error> {
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
            Value::Text(text) => Ok(text.clone().into_owned()),
            other => Err(strange("text", other)),
        }
    }

    /// A text, or nothing.
    pub fn maybe_text(&self, column: usize) -> Result<Option<String>, Error> {
        match self.value(column)? {
            Value::Null => Ok(None),
            Value::Text(text) => Ok(Some(text.clone().into_owned())),
            other => Err(strange("text", other)),
        }
    }

    /// Bytes.
    pub fn blob(&self, column: usize) -> Result<Vec<u8>, Error> {
        match self.value(column)? {
            Value::Blob(bytes) => Ok(bytes.clone().into_owned()),
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
