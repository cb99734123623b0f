//! Every unit that a person may write behind a figure, with its exact factor and its code on exchange files.
//!
//! Factors are exact by definition: the international yard and pound of 1959, the US gallon of 231 cubic inches,
//! the standard acceleration 9.80665 m/s2; the inch of mercury is the conventional one of NIST SP 811. Codes are those of UN/ECE Recommendation 20: INH, MTR and MLT as
//! published, the others from memory.

use super::unit::{Dimension, Unit};
use rust_decimal::Decimal;

/// A unit that a figure may be written in.
#[derive(Debug, PartialEq, Eq)]
pub struct Scale {
    /// How it is printed.
    pub symbol: &'static str,
    /// The other ways to write it, in small letters.
    also: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    /// Digits of the factor to the base of its dimension (mm, ml, g, s, N·m, kPa, each), without the point.
    factor_digits: i64,
    /// Decimals of the factor.
    factor_decimals: u32,
    /// Its code of UN/ECE Recommendation 20; blank where it is not exchanged.
    pub rec20: &'static str,
    /// The stock unit that it is, where stock is kept in it.
    pub stock: Option<Unit>,
}

/// One line of the table of scales.
const fn scale(
    symbol: &'static str,
    also: &'static [&'static str],
    dimension: Dimension,
    (factor_digits, factor_decimals): (i64, u32),
    rec20: &'static str,
    stock: Option<Unit>,
) -> Scale {
    Scale {
        symbol,
        also,
        dimension,
        factor_digits,
        factor_decimals,
        rec20,
        stock,
    }
}

/// Every scale there is.
#[rustfmt::skip]
pub const SCALES: &[Scale] = {
    use Dimension::{Count, Length, Mass, Pressure, Time, Torque, Volume};
    &[
        scale("each", &["ea", "pc", "pcs", "piece", "pieces", "off"], Count, (1, 0), "EA", Some(Unit::Each)),
        scale("set", &["sets"], Count, (1, 0), "SET", Some(Unit::Set)),
        scale("mm", &["millimetre", "millimetres"], Length, (1, 0), "MMT", Some(Unit::Millimetre)),
        scale("cm", &["centimetre", "centimetres"], Length, (10, 0), "CMT", None),
        scale("m", &["metre", "metres"], Length, (1_000, 0), "MTR", Some(Unit::Metre)),
        scale("in", &["inch", "inches"], Length, (254, 1), "INH", None),
        scale("ft", &["foot", "feet"], Length, (3_048, 1), "FOT", None),
        scale("ml", &["millilitre", "millilitres"], Volume, (1, 0), "MLT", Some(Unit::Millilitre)),
        scale("cm3", &["cc", "ccm", "cm³"], Volume, (1, 0), "CMQ", None),
        scale("l", &["litre", "litres"], Volume, (1_000, 0), "LTR", Some(Unit::Litre)),
        scale("in3", &["cu in", "in³"], Volume, (16_387_064, 6), "INQ", None),
        scale("fl oz (US)", &["us fl oz"], Volume, (295_735_295_625, 10), "OZA", None),
        scale("fl oz (UK)", &["uk fl oz", "imp fl oz"], Volume, (284_130_625, 7), "OZI", None),
        scale("gal (US)", &["us gal"], Volume, (3_785_411_784, 6), "GLL", None),
        scale("gal (UK)", &["uk gal", "imp gal"], Volume, (454_609, 2), "GLI", None),
        scale("g", &["gram", "grams"], Mass, (1, 0), "GRM", Some(Unit::Gram)),
        scale("kg", &["kilogram", "kilograms"], Mass, (1_000, 0), "KGM", Some(Unit::Kilogram)),
        scale("lb", &["lbs", "pound", "pounds"], Mass, (45_359_237, 5), "LBR", None),
        scale("oz av", &["oz avdp", "ounce (mass)"], Mass, (28_349_523_125, 9), "ONZ", None),
        scale("h", &["hour", "hours", "hr"], Time, (3_600, 0), "HUR", Some(Unit::Hour)),
        scale("min", &["minute", "minutes"], Time, (60, 0), "MIN", None),
        scale("N.m", &["n·m", "nm"], Torque, (1, 0), "NU", None),
        scale("lbf.in", &["lbf·in", "in lb", "lb in"], Torque, (1_129_848_290_276_167, 16), "", None),
        scale("lbf.ft", &["lbf·ft", "ft lb", "lb ft"], Torque, (13_558_179_483_314_004, 16), "", None),
        scale("kgf.m", &["kgf·m", "kg m"], Torque, (980_665, 5), "", None),
        scale("kPa", &["kilopascal", "kilopascals"], Pressure, (1, 0), "KPA", None),
        scale("bar", &["bars"], Pressure, (100, 0), "BAR", None),
        scale("psi", &["lbf/in2"], Pressure, (6_894_757_293_168_361, 15), "PS", None),
        scale("inHg", &["in hg"], Pressure, (3_386_389, 6), "F79", None),
    ]
};

/// Codes of UN/ECE Recommendation 20 that mean a scale whose own code is another: one, and a piece.
const OTHER_CODES: &[(&str, &str)] = &[("C62", "each"), ("H87", "each")];

/// A word that two scales might be meant by, and how each is written.
const TWO_FOLD: &[(&str, &[&str])] = &[
    ("oz", &["oz av", "fl oz (US)", "fl oz (UK)"]),
    ("ounce", &["oz av", "fl oz (US)", "fl oz (UK)"]),
    ("ounces", &["oz av", "fl oz (US)", "fl oz (UK)"]),
    ("fl oz", &["fl oz (US)", "fl oz (UK)"]),
    ("gal", &["gal (US)", "gal (UK)"]),
    ("gallon", &["gal (US)", "gal (UK)"]),
    ("gallons", &["gal (US)", "gal (UK)"]),
];

impl Scale {
    /// How many of the base of its dimension it holds, exactly.
    pub fn factor(&self) -> Decimal {
        Decimal::new(self.factor_digits, self.factor_decimals)
    }

    /// The scale of a stock unit.
    pub fn of(unit: Unit) -> Option<&'static Scale> {
        SCALES.iter().find(|scale| scale.stock == Some(unit))
    }

    /// The scale behind a code of UN/ECE Recommendation 20, whose letters are capitals.
    pub fn of_rec20(code: &str) -> Option<&'static Scale> {
        let symbol = OTHER_CODES
            .iter()
            .find(|(other, _)| *other == code)
            .map(|(_, symbol)| *symbol);
        let fits = |scale: &&Scale| !code.is_empty() && (scale.rec20 == code || Some(scale.symbol) == symbol);
        SCALES.iter().find(fits)
    }
}

/// The scales that a word may mean; none where nobody knows it, more than one where the writer must choose.
///
/// A symbol counts as it is written; a word in whatever letters. `M` and `MM` are nothing: their case would lie;
/// the litre alone has two signs.
pub fn scales_called(word: &str) -> Vec<&'static Scale> {
    let small = word.to_lowercase();
    if let Some((_, symbols)) = TWO_FOLD.iter().find(|(known, _)| *known == small) {
        return SCALES
            .iter()
            .filter(|scale| symbols.contains(&scale.symbol))
            .collect();
    }
    let fits = |scale: &&Scale| {
        scale.symbol == word
            || scale.also.contains(&small.as_str())
            || (word == "L" && scale.symbol == "l")
            || (small.len() > 1 && small != "mm" && scale.symbol.to_lowercase() == small)
    };
    SCALES.iter().filter(fits).collect()
}
