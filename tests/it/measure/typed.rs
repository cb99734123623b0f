//! Typed quantities and sizes: what is understood, what is asked about, and what fits no millionth.

use bincard::domain::measure::scale::{Scale, scales_called};
use bincard::domain::measure::typed::{Kept, OwnFactor, TypedFault, typed_qty, typed_size};
use bincard::domain::measure::{Qty, Unit};
use proptest::prelude::*;

fn scale(symbol: &str) -> &'static Scale {
    scales_called(symbol)[0]
}

fn own(name: &str, holds: &str) -> OwnFactor {
    OwnFactor {
        name: name.to_owned(),
        holds: Qty::parse(holds).unwrap(),
        whose: "QUO".to_owned(),
    }
}

fn kept(unit: Unit, own: &[OwnFactor]) -> Kept {
    Kept {
        own: own.to_vec(),
        ..Kept::plainly(unit)
    }
}

/// The inch is 25.4 mm exactly; the rest is counting.
#[test]
fn sizes_are_read_and_echoed() {
    for (typed, to, value, echo) in [
        ("12", "mm", "12", "12 mm"),
        (" 2.5 mm ", "mm", "2.5", "2.5 mm"),
        (".032in", "mm", "0.8128", ".032 in = 0.8128 mm"),
        ("1-1/2 in", "mm", "38.1", "1-1/2 in = 38.1 mm"),
        ("1 1/2 inches", "mm", "38.1", "1 1/2 in = 38.1 mm"),
        ("1/64in", "mm", "0.396875", "1/64 in = 0.396875 mm"),
        ("0", "mm", "0", "0 mm"),
        ("-3", "cm3", "-3", "-3 cm3"),
        ("3 cc", "cm3", "3", "3 cm3"),
        ("1 m", "mm", "1000", "1 m = 1000 mm"),
    ] {
        let read = typed_size(typed, scale(to)).unwrap();
        assert_eq!(read.qty, Qty::parse(value).unwrap(), "{typed}");
        assert_eq!(read.echo, echo, "{typed}");
    }
}

#[test]
fn quantities_take_the_parts_own_names_first() {
    let tube = [own("tube", "50")];
    for (typed, unit, factors, value, echo) in [
        (
            "2 tubes",
            Unit::Millilitre,
            tube.as_slice(),
            "100",
            "2 tubes = 100 ml",
        ),
        ("1/2 tube", Unit::Millilitre, &tube, "25", "1/2 tube = 25 ml"),
        ("2.5 ml", Unit::Millilitre, &tube, "2.5", "2.5 ml"),
        ("2.5", Unit::Millilitre, &[], "2.5", "2.5 ml"),
        (
            "1 box",
            Unit::Each,
            &[own("box", "100")],
            "100",
            "1 box = 100 each",
        ),
        (
            "2 boxes",
            Unit::Each,
            &[own("box", "100")],
            "200",
            "2 boxes = 200 each",
        ),
        ("2 in", Unit::Metre, &[], "0.0508", "2 in = 0.0508 m"),
        ("90 min", Unit::Hour, &[], "1.5", "90 min = 1.5 h"),
        ("2 oz", Unit::Gram, &[], "56.69904625", ""),
    ] {
        let read = typed_qty(typed, &kept(unit, factors));
        if echo.is_empty() {
            // Two ounces are 56.69904625 g, eight decimals: between two millionths.
            let neighbours = ("56.699046", "56.699047");
            assert!(
                matches!(&read, Err(TypedFault::BetweenSteps { below, above, .. })
                    if (below.to_string().as_str(), above.to_string().as_str()) == neighbours),
                "{read:?}"
            );
            continue;
        }
        let read = read.unwrap();
        assert_eq!(
            (read.qty, read.echo.as_str()),
            (Qty::parse(value).unwrap(), echo),
            "{typed}"
        );
    }
}

#[test]
fn what_could_mean_two_things_is_asked_about() {
    let fault = |typed: &str, unit: Unit| typed_qty(typed, &Kept::plainly(unit)).unwrap_err();
    assert!(matches!(fault("2 m", Unit::Hour), TypedFault::NotMinutes { .. }));
    assert!(matches!(
        fault("2 oz", Unit::Millilitre),
        TypedFault::TwoFold { .. }
    ));
    assert!(matches!(fault("2 oz", Unit::Each), TypedFault::TwoFold { .. }));
    assert!(matches!(
        fault("3 m", Unit::Each),
        TypedFault::OtherDimension { .. }
    ));
    assert!(matches!(
        fault("500 g", Unit::Metre),
        TypedFault::OtherDimension { .. }
    ));
    // Only the part itself knows how many make a set.
    assert!(matches!(fault("3 each", Unit::Set), TypedFault::Unknown { .. }));
    assert!(matches!(fault("3 sets", Unit::Each), TypedFault::Unknown { .. }));
    assert!(matches!(
        fault("1 tube", Unit::Millilitre),
        TypedFault::Unknown { .. }
    ));
}

#[test]
fn figures_outside_the_grammar_are_refused() {
    for typed in [
        "",
        "mm",
        "1,5 mm",
        "1e3",
        "1/0 in",
        "1/ in",
        "/2 in",
        "1-1/2-3 in",
        "-1/2 in",
        "1//2",
        ".",
        "1. mm",
        "2 5 mm",
    ] {
        assert!(typed_size(typed, scale("mm")).is_err(), "{typed:?}");
    }
    assert!(
        matches!(typed_size("1/3 mm", scale("mm")), Err(TypedFault::BetweenSteps { below, above, .. })
        if below.millionths() == 333_333 && above.millionths() == 333_334)
    );
    assert!(matches!(
        typed_size("9999999999999999999999 m", scale("mm")),
        Err(TypedFault::TooLarge { .. })
    ));
}

proptest! {
    #[test]
    fn any_text_is_answered(typed in any::<String>()) {
        for unit in Unit::ALL {
            let _ = typed_qty(&typed, &Kept::plainly(unit)).map_err(|fault| fault.to_string());
        }
    }

    #[test]
    fn what_fits_a_millionth_comes_back(millionths in 0_i64..1_000_000_000_000_000) {
        let qty = Qty::from_millionths(millionths);
        for unit in Unit::ALL {
            let typed = format!("{qty} {unit}");
            prop_assert_eq!(typed_qty(&typed, &Kept::plainly(unit)).unwrap().qty, qty);
        }
    }
}
