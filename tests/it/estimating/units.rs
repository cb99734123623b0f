//! Units against their published factors, and the words that could mean two things.

use bincard::domain::estimating::units_sum::in_other_unit;
use bincard::domain::measure::scale::{Scale, scales_called};
use bincard::domain::measure::typed::{Kept, OwnFactor, TypedFault, typed_qty};
use bincard::domain::measure::{Qty, Unit};
use rust_decimal::Decimal;
use toml::{Table, Value};

const FACTS: &str = include_str!("../../facts/units.toml");

fn decimal(figure: &Value) -> Decimal {
    let text = figure.as_str().map_or_else(|| figure.to_string(), str::to_owned);
    text.parse().unwrap()
}

#[test]
fn every_published_factor_comes_out() {
    let file: Table = FACTS.parse().unwrap();
    let cases = file["case"].as_array().unwrap();
    assert_eq!(cases.len(), 19);
    for case in cases {
        let (id, inputs) = (case["id"].as_str().unwrap(), &case["inputs"]);
        assert!(case["source"].as_str().unwrap().len() > 3, "{id} has no source");
        if id == "u-pack-1" {
            let own = OwnFactor {
                name: inputs["unit"].as_str().unwrap().to_owned(),
                holds: Qty::whole(inputs["pack_of"].as_integer().unwrap()),
                whose: "a supplier".to_owned(),
            };
            let typed = format!("{} {}", inputs["received"], own.name);
            let kept = Kept {
                own: vec![own],
                ..Kept::plainly(Unit::Each)
            };
            let read = typed_qty(&typed, &kept).unwrap();
            assert_eq!(read.qty, Qty::whole(case["expected"].as_integer().unwrap()));
        } else if let Some(unit) = inputs.get("unit") {
            let scale = scales_called(unit.as_str().unwrap())[0];
            assert_eq!(scale.rec20, case["expected"].as_str().unwrap(), "{id}");
            assert_eq!(Scale::of_rec20(scale.rec20), Some(scale));
        } else {
            let (from, to) = (inputs["frm"].as_str().unwrap(), inputs["to"].as_str().unwrap());
            let got = in_other_unit(decimal(&inputs["value"]), from, to).unwrap();
            let stated = case["precision"].as_str().unwrap().split(' ').next().unwrap();
            let within = if stated == "exact" {
                assert!(got.exact, "{id}");
                Decimal::ZERO
            } else {
                Decimal::from_scientific(stated)
                    .or_else(|_| stated.parse())
                    .unwrap()
            };
            let off = (got.figure - decimal(&case["expected"])).abs();
            assert!(off <= within, "{id}: {} is off by {off}", got.figure);
        }
    }
}

#[test]
fn a_word_of_two_meanings_is_settled_by_the_other_word_or_asked_about() {
    let one = Decimal::ONE;
    // SI allows both signs of the litre (BIPM SI Brochure, table 8).
    for litre in ["l", "L"] {
        assert_eq!(
            in_other_unit(one, litre, "ml").unwrap().figure,
            Decimal::from(1000)
        );
    }
    assert_eq!(in_other_unit(one, "oz", "g").unwrap().from, "oz av");
    for (from, to) in [("oz", "ml"), ("gal", "l"), ("ml", "fl oz")] {
        let fault = in_other_unit(one, from, to).unwrap_err();
        assert!(
            matches!(fault, TypedFault::TwoFold { .. }),
            "{from} {to}: {fault:?}"
        );
    }
    for (from, to) in [
        ("in", "ml"),
        ("degF", "mm"),
        ("ell", "mm"),
        ("mm", "ell"),
        ("M", "mm"),
        ("MM", "in"),
    ] {
        assert!(in_other_unit(one, from, to).is_err(), "{from} {to}");
    }
}

#[test]
fn the_codes_of_exchange_files_mean_one_scale_each() {
    // UN/ECE Recommendation 20: C62 one, H87 piece, EA each; from memory.
    for (code, symbol) in [
        ("C62", "each"),
        ("H87", "each"),
        ("EA", "each"),
        ("MMT", "mm"),
        ("GRM", "g"),
        ("LTR", "l"),
    ] {
        assert_eq!(
            Scale::of_rec20(code).map(|scale| scale.symbol),
            Some(symbol),
            "{code}"
        );
    }
    assert_eq!(Scale::of_rec20(""), None);
    assert_eq!(Scale::of_rec20("mtr"), None);
}

#[test]
fn a_temperature_has_two_fixed_points_and_one_crossing() {
    // Ice 32 degF, steam 212 degF, both scales alike at -40.
    for (celsius, fahrenheit) in [(0, 32), (100, 212), (-40, -40)] {
        let (celsius, fahrenheit) = (Decimal::from(celsius), Decimal::from(fahrenheit));
        assert_eq!(in_other_unit(celsius, "degC", "°F").unwrap().figure, fahrenheit);
        assert_eq!(in_other_unit(fahrenheit, "degF", "°C").unwrap().figure, celsius);
    }
}
