//! The strict grammar of numbers, and quantities and units read through it.

use bincard::domain::measure::numeral::{NumeralFault, parse};
use bincard::domain::measure::qty::Qty;
use bincard::domain::measure::unit::{Dimension, Unit, UnitFault, convert};
use proptest::prelude::*;
use rust_decimal::Decimal;

/// Read with at most six decimals; `Ok` is the number shown, `Err` the whole message.
///
/// The grammar is `^[+-]?\d+([.]\d+)?$`; what stands after each fault is worked out by hand.
const TABLE: &[(&str, Result<&str, &str>)] = &[
    ("0", Ok("0")),
    ("-0", Ok("0")),
    ("-0.00", Ok("0.00")),
    ("1", Ok("1")),
    ("+5", Ok("5")),
    ("-5", Ok("-5")),
    ("12", Ok("12")),
    ("007", Ok("7")),
    ("2.5", Ok("2.5")),
    ("0.50", Ok("0.50")),
    ("-0.000001", Ok("-0.000001")),
    ("1.123456", Ok("1.123456")),
    ("1.5000000", Ok("1.500000")),
    ("1234567890123456789012", Ok("1234567890123456789012")),
    (
        "9999999999999999999999.999999",
        Ok("9999999999999999999999.999999"),
    ),
    ("1234567890123456789012345678", Ok("1234567890123456789012345678")),
    (
        "",
        Err("nothing stands where a number is wanted: type a number such as 12 or 2.5"),
    ),
    (
        "   ",
        Err("nothing stands where a number is wanted: type a number such as 12 or 2.5"),
    ),
    ("1\0", Err(r"'1\0' holds a NUL character: type the number again")),
    ("\0", Err(r"'\0' holds a NUL character: type the number again")),
    (" 12", Err("' 12' has a space in it: type 12")),
    ("12 ", Err("'12 ' has a space in it: type 12")),
    ("1 234", Err("'1 234' has a space in it: type 1234")),
    ("1\u{a0}234", Err(r"'1\u{a0}234' has a space in it: type 1234")),
    ("12\n", Err(r"'12\n' has a space in it: type 12")),
    (
        "12 ml",
        Err("'12 ml' has a space in it: type the number without spaces"),
    ),
    ("1_000", Err("'1_000' has an underscore in it: type 1000")),
    ("1__0", Err("'1__0' has an underscore in it: type 10")),
    (
        "_",
        Err("'_' has an underscore in it: type the number without it"),
    ),
    (
        "1,234",
        Err("'1,234' has a comma in it: it can be read as 1234 or as 1.234, type the one meant"),
    ),
    (
        "2523,00",
        Err("'2523,00' has a comma in it: it can be read as 252300 or as 2523.00, type the one meant"),
    ),
    (
        "-9,99",
        Err("'-9,99' has a comma in it: it can be read as -999 or as -9.99, type the one meant"),
    ),
    ("1,234,567", Err("'1,234,567' has a comma in it: type 1234567")),
    ("1,234.56", Err("'1,234.56' has a comma in it: type 1234.56")),
    ("1.234,56", Err("'1.234,56' has a comma in it: type 1234.56")),
    (
        ",",
        Err("',' has a comma in it: type the number without commas, and a point before its decimals"),
    ),
    ("1e3", Err("'1e3' has an exponent: type 1000")),
    ("1E9", Err("'1E9' has an exponent: type 1000000000")),
    ("-1.5e-3", Err("'-1.5e-3' has an exponent: type -0.0015")),
    ("1.25e+1", Err("'1.25e+1' has an exponent: type 12.5")),
    (
        "1e9223372036854775807",
        Err("'1e9223372036854775807' has an exponent: type the number written out"),
    ),
    (
        "1e99999",
        Err("'1e99999' has an exponent: type the number written out"),
    ),
    (
        "1e",
        Err("'1e' is no number, for 'e' is no digit: type digits alone, such as 12 or 2.5"),
    ),
    (
        "1.1234567",
        Err("'1.1234567' has too many decimals, 6 are kept: type 1.123456 or 1.123457"),
    ),
    (
        "-1.1234567",
        Err("'-1.1234567' has too many decimals, 6 are kept: type -1.123457 or -1.123456"),
    ),
    (
        "0.9999999",
        Err("'0.9999999' has too many decimals, 6 are kept: type 0.999999 or 1"),
    ),
    (
        "-0.0000001",
        Err("'-0.0000001' has too many decimals, 6 are kept: type -0.000001 or 0"),
    ),
    (
        "0.12345678901234567890123456789",
        Err("'0.12345678901234567890123456789' has too many decimals, 6 are kept: type 0.123456 or 0.123457"),
    ),
    (
        "12345678901234567890123456789",
        Err("'12345678901234567890123456789' is too large, with more than 28 digits: type a shorter number"),
    ),
    (
        ".5",
        Err("'.5' has a point without a digit on each side: type 0.5"),
    ),
    (
        "-.5",
        Err("'-.5' has a point without a digit on each side: type -0.5"),
    ),
    ("1.", Err("'1.' has a point without a digit on each side: type 1")),
    (
        "1.2.3",
        Err("'1.2.3' has more than one point: type the number with a single point before its decimals"),
    ),
    (
        "1..2",
        Err("'1..2' has more than one point: type the number with a single point before its decimals"),
    ),
    (".", Err("'.' has no digits: type a number such as 12 or 2.5")),
    ("-", Err("'-' has no digits: type a number such as 12 or 2.5")),
    ("+", Err("'+' has no digits: type a number such as 12 or 2.5")),
    (
        "--5",
        Err("'--5' is no number, for '-' is no digit: type digits alone, such as 12 or 2.5"),
    ),
    (
        "5-",
        Err("'5-' is no number, for '-' is no digit: type digits alone, such as 12 or 2.5"),
    ),
    (
        "\u{2212}5",
        Err("'\u{2212}5' is no number, for '\u{2212}' is no digit: type -5"),
    ),
    (
        "12ml",
        Err("'12ml' is no number, for 'm' is no digit: type digits alone, such as 12 or 2.5"),
    ),
    (
        "0x10",
        Err("'0x10' is no number, for 'x' is no digit: type digits alone, such as 12 or 2.5"),
    ),
    (
        "NaN",
        Err("'NaN' is no number, for 'N' is no digit: type digits alone, such as 12 or 2.5"),
    ),
    (
        "½",
        Err("'½' is no number, for '½' is no digit: type digits alone, such as 12 or 2.5"),
    ),
    (
        "٣",
        Err("'٣' is no number, for '٣' is no digit: type digits alone, such as 12 or 2.5"),
    ),
    (
        "１２",
        Err("'１２' is no number, for '１' is no digit: type digits alone, such as 12 or 2.5"),
    ),
    (
        "£5",
        Err("'£5' is no number, for '£' is no digit: type digits alone, such as 12 or 2.5"),
    ),
    (
        "1'234",
        Err("'1'234' is no number, for ''' is no digit: type digits alone, such as 12 or 2.5"),
    ),
    (
        "\u{1b}[2J",
        Err(r"'\u{1b}[2J' is no number, for '\u{1b}' is no digit: type digits alone, such as 12 or 2.5"),
    ),
];

#[test]
fn forty_strings_and_more() {
    assert!(TABLE.len() >= 40);
    for (text, expected) in TABLE {
        match (parse(text, 6), expected) {
            (Ok(number), Ok(shown)) => assert_eq!(number.to_string(), *shown, "{text:?}"),
            (Err(fault), Err(message)) => assert_eq!(fault.to_string(), *message, "{text:?}"),
            (got, _) => panic!("{text:?} gave {got:?}"),
        }
    }
}

#[test]
fn decimals_are_limited_as_asked() {
    assert_eq!(parse("12.0", 0).unwrap().to_string(), "12");
    let whole = parse("2.4", 0).unwrap_err();
    assert_eq!(
        whole.to_string(),
        "'2.4' has too many decimals, only whole numbers are kept: type 2 or 3"
    );
    let one = parse("-2.45", 1).unwrap_err();
    assert_eq!(
        one.to_string(),
        "'-2.45' has too many decimals, 1 is kept: type -2.5 or -2.4"
    );
    let (below, above) = (Decimal::new(-25, 1), Decimal::new(-24, 1));
    assert_eq!(
        one,
        NumeralFault::TooManyDecimals {
            text: "-2.45".to_owned(),
            decimals_max: 1,
            below,
            above
        }
    );
    assert_eq!(parse("0.1234567890123456789012345678", 99).unwrap().scale(), 28);
}

#[test]
fn a_long_text_is_cut_in_the_message() {
    for (length, shown) in [
        (40, "x".repeat(40)),
        (41, "x".repeat(40) + "…"),
        (5000, "x".repeat(40) + "…"),
    ] {
        let message = parse(&"x".repeat(length), 6).unwrap_err().to_string();
        assert!(
            message.starts_with(&format!("'{shown}' is no number")),
            "{message}"
        );
    }
}

#[test]
fn quantities_reach_their_limit_and_no_further() {
    let table = [
        ("0", Some(0)),
        ("0.000001", Some(1)),
        ("-0.000001", Some(-1)),
        ("2.5", Some(2_500_000)),
        ("999999999.999999", Some(999_999_999_999_999)),
        ("1000000000", Some(1_000_000_000_000_000)),
        ("-1000000000", Some(-1_000_000_000_000_000)),
        ("1000000000.000001", None),
        ("-1000000000.000001", None),
        ("9999999999999999999999", None),
    ];
    for (text, millionths) in table {
        assert_eq!(Qty::parse(text).ok().map(Qty::millionths), millionths, "{text}");
    }
    let fault = Qty::parse("1000000001").unwrap_err();
    assert_eq!(
        fault.to_string(),
        "'1000000001' is too large: type a number from -1000000000 to 1000000000"
    );
}

#[test]
fn quantities_are_shown_plainly_and_in_column() {
    let table = [
        (0, "0"),
        (1, "0.000001"),
        (-1, "-0.000001"),
        (2_500_000, "2.5"),
        (12_000_000, "12"),
        (-3_000_000, "-3"),
        (1_200_000_000, "1200"),
        (i64::MIN, "-9223372036854.775808"),
        (i64::MAX, "9223372036854.775807"),
    ];
    for (millionths, shown) in table {
        assert_eq!(Qty::from_millionths(millionths).to_string(), shown);
    }
    let half = Qty::from_millionths(-2_500_000);
    assert_eq!(
        format!("{half:>8}|{half:<8}|{half:^8}|{half:*>6}"),
        "    -2.5|-2.5    |  -2.5  |**-2.5"
    );
    assert_eq!(
        format!("{half:.1}|{half:>8.0}"),
        "-2.5|    -2.5",
        "a precision cuts nothing off"
    );
}

#[test]
fn quantities_to_and_from_decimals() {
    assert_eq!(
        Qty::from_decimal(Decimal::new(25, 1)),
        Some(Qty::from_millionths(2_500_000))
    );
    assert_eq!(
        Qty::from_decimal(Decimal::new(25_000_000_000, 10)),
        Some(Qty::from_millionths(2_500_000))
    );
    assert_eq!(
        Qty::from_decimal(Decimal::new(1, 7)),
        None,
        "a tenth of a millionth"
    );
    assert_eq!(Qty::from_decimal(Decimal::MAX), None);
    assert_eq!(
        Qty::from_decimal(Decimal::from_i128_with_scale(1_i128 << 63, 6)),
        None,
        "one past the largest"
    );
    assert_eq!(Qty::whole(12).to_decimal().to_string(), "12");
    assert_eq!(Qty::from_millionths(-1).to_decimal().to_string(), "-0.000001");
}

#[test]
fn quantities_add_and_compare() {
    let (two, three) = (Qty::whole(2), Qty::whole(3));
    assert_eq!(two + three, Qty::whole(5));
    assert_eq!(two - three, -Qty::whole(1));
    assert_eq!([two, three, three].iter().sum::<Qty>(), Qty::whole(8));
    assert_eq!(Vec::<Qty>::new().into_iter().sum::<Qty>(), Qty::ZERO);
    let mut left = three;
    left -= two;
    left += three;
    assert_eq!(left, Qty::whole(4));
    assert_eq!((two.min(three), two.max(three)), (two, three));
    assert!(Qty::default().is_zero() && !Qty::ZERO.is_positive() && !Qty::ZERO.is_negative());
    assert!(two.is_positive() && (-two).is_negative() && !two.is_zero());
    assert_eq!((-two).abs(), two);
}

#[test]
#[should_panic(expected = "overflow")]
fn quantities_never_wrap_round() {
    let _ = Qty::from_millionths(i64::MAX) + Qty::from_millionths(1);
}

#[test]
fn units_read_as_they_are_written() {
    let table = [
        ("each", Unit::Each, Dimension::Count),
        ("set", Unit::Set, Dimension::Count),
        ("mm", Unit::Millimetre, Dimension::Length),
        ("m", Unit::Metre, Dimension::Length),
        ("ml", Unit::Millilitre, Dimension::Volume),
        ("l", Unit::Litre, Dimension::Volume),
        ("g", Unit::Gram, Dimension::Mass),
        ("kg", Unit::Kilogram, Dimension::Mass),
        ("h", Unit::Hour, Dimension::Time),
    ];
    assert_eq!(table.map(|(_, unit, _)| unit), Unit::ALL);
    for (symbol, unit, dimension) in table {
        assert_eq!(Unit::parse(symbol), Ok(unit));
        assert_eq!(
            (unit.to_string(), unit.dimension()),
            (symbol.to_owned(), dimension)
        );
    }
    for unknown in ["", "MM", "Kg", "mm ", "inch", "each\0"] {
        assert!(
            matches!(Unit::parse(unknown), Err(UnitFault::Unknown { .. })),
            "{unknown:?}"
        );
    }
    let message = "'inch' is no unit kept here: type one of each, set, mm, m, ml, l, g, kg, h";
    assert_eq!(Unit::parse("inch").unwrap_err().to_string(), message);
}

/// SI prefixes: a thousand of each smaller unit make one of the larger.
#[test]
fn conversions_within_a_dimension() {
    let table = [
        ("2.5", Unit::Litre, Unit::Millilitre, "2500"),
        ("50", Unit::Millilitre, Unit::Litre, "0.05"),
        ("-0.001", Unit::Millimetre, Unit::Metre, "-0.000001"),
        ("0.000001", Unit::Kilogram, Unit::Gram, "0.001"),
        ("0", Unit::Gram, Unit::Kilogram, "0"),
        ("3", Unit::Each, Unit::Each, "3"),
        ("0.000001", Unit::Hour, Unit::Hour, "0.000001"),
        ("1000000000", Unit::Metre, Unit::Millimetre, "1000000000000"),
    ];
    for (qty, from, to, expected) in table {
        let converted = convert(Qty::parse(qty).unwrap(), from, to).unwrap();
        assert_eq!(converted.to_string(), expected, "{qty} {from} in {to}");
    }
}

#[test]
fn conversions_refused() {
    let message = |millionths, from, to| {
        convert(Qty::from_millionths(millionths), from, to)
            .unwrap_err()
            .to_string()
    };
    let table = [
        (
            message(1_500, Unit::Millimetre, Unit::Metre),
            "0.0015 mm fits no millionth of m: give 0.000001 m or 0.000002 m",
        ),
        (
            message(-1, Unit::Gram, Unit::Kilogram),
            "-0.000001 g fits no millionth of kg: give -0.000001 kg or 0 kg",
        ),
        (
            message(1_000_000, Unit::Millilitre, Unit::Gram),
            "ml is a unit of volume, g of mass: give the quantity in a unit of mass",
        ),
        (
            message(1_000_000, Unit::Set, Unit::Each),
            "how many each make a set differs from part to part: give the quantity in each",
        ),
        (
            message(i64::MAX, Unit::Metre, Unit::Millimetre),
            "9223372036854.775807 m is too large to be kept in mm: give a smaller quantity",
        ),
    ];
    for (message, expected) in table {
        assert_eq!(message, expected);
    }
}

proptest! {
    #[test]
    fn what_is_shown_reads_back(millionths in -1_000_000_000_000_000_i64..=1_000_000_000_000_000) {
        let qty = Qty::from_millionths(millionths);
        prop_assert_eq!(Qty::parse(&qty.to_string()), Ok(qty));
        prop_assert_eq!(Qty::from_decimal(qty.to_decimal()), Some(qty));
        prop_assert_eq!(qty.to_decimal().to_string(), qty.to_string());
    }

    #[test]
    fn only_the_grammar_is_taken(text in "[+-]?[0-9 .,_eE]{0,12}") {
        let unsigned = text.strip_prefix(['+', '-']).unwrap_or(&text);
        let digits = |part: &str| !part.is_empty() && part.chars().all(|c| c.is_ascii_digit());
        let parts: Vec<&str> = unsigned.split('.').collect();
        let obeys = parts.len() <= 2 && parts.iter().all(|part| digits(part));
        prop_assert_eq!(parse(&text, 28).is_ok(), obeys);
    }

    #[test]
    fn any_text_is_answered_without_control_characters(text in any::<String>()) {
        if let Err(fault) = parse(&text, 6) {
            prop_assert!(!fault.to_string().chars().any(char::is_control));
        }
    }
}
