//! What quantities and money have in common: a whole number of millionths, read and shown as a plain decimal.

use super::numeral::{self, NumeralFault};
use rust_decimal::Decimal;
use std::fmt;

/// Millionths in one.
pub(super) const IN_ONE: i64 = 1_000_000;
/// Decimals a millionth has.
pub(super) const DECIMALS: u32 = 6;

/// Reads a number of at most six decimals whose size is at most `limit`; gives millionths.
pub(super) fn parse(text: &str, limit: i64) -> Result<i64, NumeralFault> {
    let number = numeral::parse(text, DECIMALS)?;
    let limit = Decimal::from(limit);
    let too_large = || NumeralFault::TooLarge {
        text: text.to_owned(),
        limit,
    };
    if number.abs() > limit {
        return Err(too_large());
    }
    from_decimal(number).ok_or_else(too_large)
}

/// The millionths of a decimal; `None` where it fits no millionth or no 64-bit integer.
pub(super) fn from_decimal(number: Decimal) -> Option<i64> {
    let number = number.normalize();
    let missing_decimals = DECIMALS.checked_sub(number.scale())?;
    let millionths = number
        .mantissa()
        .checked_mul(10_i128.checked_pow(missing_decimals)?)?;
    i64::try_from(millionths).ok()
}

/// Shows millionths as a plain decimal, without trailing zeros, in the width and alignment asked for.
pub(super) fn pad(millionths: i64, f: &mut fmt::Formatter<'_>) -> fmt::Result {
    let one = IN_ONE.unsigned_abs();
    let (whole, rest) = (millionths.unsigned_abs() / one, millionths.unsigned_abs() % one);
    let decimals = format!(".{rest:06}");
    let decimals = decimals.trim_end_matches('0').trim_end_matches('.');
    let sign = if millionths < 0 { "-" } else { "" };
    // `Formatter::pad` would cut the figure short at a precision; `pad_integral` pays none any heed.
    match f.precision() {
        None => f.pad(&format!("{sign}{whole}{decimals}")),
        Some(_) => f.pad_integral(millionths >= 0, "", &format!("{whole}{decimals}")),
    }
}

/// Gives a one-field struct over `i64` millionths its reading, showing and plain integer arithmetic.
macro_rules! counted_in_millionths {
    ($name:ident, $limit:expr) => {
        impl $name {
            /// Nothing at all.
            pub const ZERO: Self = Self(0);

            /// From a count of millionths, as the books keep it.
            pub const fn from_millionths(millionths: i64) -> Self {
                Self(millionths)
            }

            /// The count of millionths, as the books keep it.
            pub const fn millionths(self) -> i64 {
                self.0
            }

            /// From a whole number; overflows, as integers do, beyond nine million million.
            pub const fn whole(number: i64) -> Self {
                Self(number * $crate::domain::measure::millionths::IN_ONE)
            }

            /// Reads a strict numeral of at most six decimals within the limit, on either side of zero.
            pub fn parse(text: &str) -> Result<Self, $crate::domain::measure::numeral::NumeralFault> {
                $crate::domain::measure::millionths::parse(text, $limit).map(Self)
            }

            /// From an exact decimal; `None` where it fits no millionth or is too large to keep.
            pub fn from_decimal(number: ::rust_decimal::Decimal) -> Option<Self> {
                $crate::domain::measure::millionths::from_decimal(number).map(Self)
            }

            /// The exact decimal, without trailing zeros.
            pub fn to_decimal(self) -> ::rust_decimal::Decimal {
                let decimals = $crate::domain::measure::millionths::DECIMALS;
                ::rust_decimal::Decimal::new(self.0, decimals).normalize()
            }

            /// Whether it is nothing.
            pub const fn is_zero(self) -> bool {
                self.0 == 0
            }

            /// Whether it is more than nothing.
            pub const fn is_positive(self) -> bool {
                self.0 > 0
            }

            /// Whether it is less than nothing.
            pub const fn is_negative(self) -> bool {
                self.0 < 0
            }

            /// The same without its sign.
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }
        }

        impl ::std::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl ::std::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl ::std::ops::Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl ::std::ops::AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }

        impl ::std::ops::SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }

        impl ::std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
                parts.fold(Self::ZERO, |sum, part| sum + part)
            }
        }

        impl<'a> ::std::iter::Sum<&'a $name> for $name {
            fn sum<I: Iterator<Item = &'a Self>>(parts: I) -> Self {
                parts.copied().sum()
            }
        }

        impl ::std::fmt::Display for $name {
            fn fmt(&self, f: &mut ::std::fmt::Formatter<'_>) -> ::std::fmt::Result {
                $crate::domain::measure::millionths::pad(self.0, f)
            }
        }
    };
}
pub(super) use counted_in_millionths;
