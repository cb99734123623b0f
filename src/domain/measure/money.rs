//! Money: whole millionths of the base currency, and the currencies of ISO 4217.

use super::millionths::counted_in_millionths;
use super::numeral::shown;
use super::rounding::{Rule, round};
use rust_decimal::Decimal;
use std::fmt;
use thiserror::Error;

/// An amount in millionths of the base currency; typed ones reach a million million either way.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Money(
    /// Invariant: millionths of the base currency; what was rounded for print never comes back here.
    i64,
);

/// The largest amount that may be typed, in the base currency.
const TYPED_MAX: i64 = 1_000_000_000_000;

counted_in_millionths!(Money, TYPED_MAX);

impl Money {
    /// The amount as printed: rounded half away from zero to the currency's minor unit, with its decimals.
    pub fn in_minor(self, currency: Currency) -> Decimal {
        round(
            self.to_decimal(),
            Decimal::new(1, currency.minor_digits()),
            Rule::HalfAway,
        )
    }

    /// The exact amount, with two decimals at least, as price lists have it.
    pub fn in_full(self) -> String {
        let mut exact = self.to_decimal().normalize();
        if exact.scale() < 2 {
            exact.rescale(2);
        }
        exact.to_string()
    }
}

/// A currency in force by ISO 4217.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Currency {
    /// Invariant: a code of the tables below.
    code: &'static str,
    /// Invariant: the minor unit ISO 4217 gives for the code.
    minor_digits: u32,
}

/// Why a text is no currency the books can be kept in.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum CurrencyFault {
    /// No code in force.
    #[error(
        "'{}' is no currency in force: type its three letters of ISO 4217, such as GBP or EUR",
        shown(text)
    )]
    Unknown {
        /// The text as given.
        text: String,
    },
    /// A code of ISO 4217 for metals, tests or units of account.
    #[error("{code} has no minor unit, so no price can be kept in it: type a currency such as GBP or EUR")]
    NoMinorUnit {
        /// The code.
        code: &'static str,
    },
}

impl Currency {
    /// Reads the three letters of ISO 4217; small letters will do.
    pub fn parse(text: &str) -> Result<Self, CurrencyFault> {
        let is_meant = |code: &&'static str| code.eq_ignore_ascii_case(text);
        if let Some(code) = WITHOUT_MINOR_UNIT.into_iter().find(is_meant) {
            return Err(CurrencyFault::NoMinorUnit { code });
        }
        let known = Self::all().find(|currency| is_meant(&currency.code));
        known.ok_or_else(|| CurrencyFault::Unknown {
            text: text.to_owned(),
        })
    }

    /// Every currency in force that has a minor unit.
    pub fn all() -> impl Iterator<Item = Self> {
        let with = |minor_digits| move |&code: &'static &'static str| Self { code, minor_digits };
        let none = NO_DECIMALS.iter().map(with(0));
        let two = TWO_DECIMALS.iter().map(with(2));
        let three = THREE_DECIMALS.iter().map(with(3));
        none.chain(two)
            .chain(three)
            .chain(FOUR_DECIMALS.iter().map(with(4)))
    }

    /// The three letters.
    pub const fn code(self) -> &'static str {
        self.code
    }

    /// How many decimals its minor unit has.
    pub const fn minor_digits(self) -> u32 {
        self.minor_digits
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.code)
    }
}

// ISO 4217 list one in force in February 2026, funds codes among them: the open copy datasets/currency-codes,
// less BGN (withdrawn January 2026) and with XAD (both from memory). The digits are those of ISO 4217, which
// differ from the display digits of locale data.
const NO_DECIMALS: [&str; 17] = [
    "BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "UYI", "VND", "VUV", "XAF",
    "XOF", "XPF",
];
const TWO_DECIMALS: [&str; 139] = [
    "AED", "AFN", "ALL", "AMD", "AOA", "ARS", "AUD", "AWG", "AZN", "BAM", "BBD", "BDT", "BMD", "BND", "BOB",
    "BOV", "BRL", "BSD", "BTN", "BWP", "BYN", "BZD", "CAD", "CDF", "CHE", "CHF", "CHW", "CNY", "COP", "COU",
    "CRC", "CUP", "CVE", "CZK", "DKK", "DOP", "DZD", "EGP", "ERN", "ETB", "EUR", "FJD", "FKP", "GBP", "GEL",
    "GHS", "GIP", "GMD", "GTQ", "GYD", "HKD", "HNL", "HTG", "HUF", "IDR", "ILS", "INR", "IRR", "JMD", "KES",
    "KGS", "KHR", "KPW", "KYD", "KZT", "LAK", "LBP", "LKR", "LRD", "LSL", "MAD", "MDL", "MGA", "MKD", "MMK",
    "MNT", "MOP", "MRU", "MUR", "MVR", "MWK", "MXN", "MXV", "MYR", "MZN", "NAD", "NGN", "NIO", "NOK", "NPR",
    "NZD", "PAB", "PEN", "PGK", "PHP", "PKR", "PLN", "QAR", "RON", "RSD", "RUB", "SAR", "SBD", "SCR", "SDG",
    "SEK", "SGD", "SHP", "SLE", "SOS", "SRD", "SSP", "STN", "SVC", "SYP", "SZL", "THB", "TJS", "TMT", "TOP",
    "TRY", "TTD", "TWD", "TZS", "UAH", "USD", "USN", "UYU", "UZS", "VED", "VES", "WST", "XAD", "XCD", "XCG",
    "YER", "ZAR", "ZMW", "ZWG",
];
const THREE_DECIMALS: [&str; 7] = ["BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"];
const FOUR_DECIMALS: [&str; 2] = ["CLF", "UYW"];
const WITHOUT_MINOR_UNIT: [&str; 13] = [
    "XAG", "XAU", "XBA", "XBB", "XBC", "XBD", "XDR", "XPD", "XPT", "XSU", "XTS", "XUA", "XXX",
];
