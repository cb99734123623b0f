//! Compression by spacer and by piston: the facts file and the edges of each limit.

use bincard::domain::estimating::compression::{
    PISTON_CAUTIONS, Ratio, SPACER_CAUTIONS, SpacerChoice, UNEQUAL_CAUTION, choose_spacer, clearance_cm3,
    displacement_cm3, ratio_from_volumes, spacer_for, unequal, with_piston, with_spacer,
};
use bincard::domain::estimating::compression_sum::{Change, Cylinder};
use bincard::domain::estimating::sum_fault::SumFault;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use toml::{Table, Value};

const FACTS: &str = include_str!("../../facts/compression.toml");

fn dec(figure: &str) -> Decimal {
    figure.parse().unwrap()
}

fn ratio(figure: &str) -> Ratio {
    Ratio::new(dec(figure)).unwrap()
}

fn decs(figures: &[&str]) -> Vec<Decimal> {
    figures.iter().map(|figure| dec(figure)).collect()
}

// ---- the facts file ----

/// One case of the facts file.
struct Fact<'a>(&'a Table);

impl Fact<'_> {
    fn words(&self, key: &str) -> &str {
        self.0.get(key).and_then(Value::as_str).unwrap_or_default()
    }

    fn input(&self, key: &str) -> Decimal {
        decimal(&self.0["inputs"][key])
    }

    fn inputs(&self, key: &str) -> Vec<Decimal> {
        self.0["inputs"][key]
            .as_array()
            .unwrap()
            .iter()
            .map(decimal)
            .collect()
    }

    fn ratio(&self) -> Ratio {
        Ratio::new(self.input("cr")).unwrap()
    }

    /// Holds `got` against `expected`, or against its named part, within the precision stated.
    fn holds(&self, part: Option<&str>, got: f64) {
        let expected = &self.0["expected"];
        let expected = decimal(part.map_or(expected, |part| &expected[part]))
            .to_f64()
            .unwrap();
        let stated = self.words("precision").split([' ', ';']).next().unwrap();
        let tolerance = if stated == "exact" {
            0.0
        } else {
            stated.parse::<f64>().unwrap()
        };
        assert!(
            (got - expected).abs() <= tolerance,
            "{}: {got} is not {expected}",
            self.words("id")
        );
    }

    fn holds_exact(&self, part: Option<&str>, got: Decimal) {
        self.holds(part, got.to_f64().unwrap());
    }
}

/// A figure of the file as it is written there.
fn decimal(figure: &Value) -> Decimal {
    dec(&figure
        .as_float()
        .map_or_else(|| figure.to_string(), |float| float.to_string()))
}

fn number(exact: Decimal) -> f64 {
    exact.to_f64().unwrap()
}

#[test]
fn every_fact_has_a_source_and_holds() {
    let file: Table = FACTS.parse().unwrap();
    let cases = file["case"].as_array().unwrap();
    assert_eq!(
        cases.len(),
        20,
        "cases of the areas cr, displacement, spacer, piston and options"
    );
    for case in cases {
        let fact = Fact(case.as_table().unwrap());
        let id = fact.words("id");
        assert!(fact.words("source").len() > 1, "{id} has no source");
        assert!(
            !fact.words("verified").is_empty(),
            "{id} does not say how it was verified"
        );
        check(&fact);
    }
}

fn check(fact: &Fact) {
    match fact.words("area") {
        "cr" => check_ratio(fact),
        "spacer" => check_spacer(fact),
        "piston" => check_piston(fact),
        "displacement" => check_displacement(fact),
        "options" => check_both_routes(fact),
        unknown => panic!("no check for the area `{unknown}`"),
    }
}

fn check_ratio(fact: &Fact) {
    match fact.words("id") {
        "cr-def-1" => {
            let (swept, clearance) = (number(fact.input("vd_cc")), number(fact.input("vc_cc")));
            fact.holds(None, ratio_from_volumes(swept, clearance).unwrap());
        }
        "cr-faa-1" => {
            let (bottom, top) = (number(fact.input("volume_bdc")), number(fact.input("volume_tdc")));
            fact.holds(None, ratio_from_volumes(bottom - top, top).unwrap());
        }
        "spacer-vd-vc-1" => {
            let (bore, stroke) = (fact.input("bore_mm"), fact.input("stroke_mm"));
            fact.holds(Some("vd_cc"), displacement_cm3(bore, stroke));
            fact.holds(Some("vc_cc"), clearance_cm3(bore, stroke, fact.ratio()));
        }
        "overbore-1" => {
            let swept = displacement_cm3(fact.input("bore_mm"), fact.input("stroke_mm"));
            fact.holds(
                None,
                ratio_from_volumes(swept, number(fact.input("vc_cc"))).unwrap(),
            );
        }
        unknown => panic!("no check for the case `{unknown}`"),
    }
}

fn check_spacer(fact: &Fact) {
    match fact.words("id") {
        "spacer-dv-1" => fact.holds(None, displacement_cm3(fact.input("bore_mm"), fact.input("t_mm"))),
        "spacer-1" | "spacer-bore-indep-1" => {
            let got = with_spacer(fact.input("stroke_mm"), fact.ratio(), fact.input("t_mm")).unwrap();
            fact.holds_exact(None, got.figure());
        }
        "spacer-inch-1" => {
            let mm = |key: &str| fact.input(key) * dec("25.4");
            fact.holds_exact(
                None,
                with_spacer(mm("stroke_in"), fact.ratio(), mm("t_in"))
                    .unwrap()
                    .figure(),
            );
        }
        "spacer-inverse-1" => {
            let target = Ratio::new(fact.input("target_cr")).unwrap();
            fact.holds_exact(
                None,
                spacer_for(fact.input("stroke_mm"), fact.ratio(), target).unwrap(),
            );
        }
        "spacer-stock-roundup-1" => check_round_up(fact),
        "spacer-error-1" => {
            let target = Ratio::new(fact.input("target_cr")).unwrap();
            let fault = spacer_for(fact.input("stroke_mm"), fact.ratio(), target).unwrap_err();
            assert!(matches!(fault, SumFault::TargetNotBelow { .. }), "{fault:?}");
            assert!(
                fact.words("expected")
                    .contains("target CR must be below the present CR")
            );
        }
        "spacer-error-2" => {
            let fault = Ratio::new(fact.input("target_cr")).unwrap_err();
            assert_eq!(fault, SumFault::NotAboveOne(Decimal::ONE));
            assert!(fact.words("expected").contains("CR must be greater than 1"));
        }
        "mixed-spacers-1" => check_mixed(fact),
        unknown => panic!("no check for the case `{unknown}`"),
    }
}

fn check_piston(fact: &Fact) {
    match fact.words("id") {
        "piston-dish-1" => {
            let (bore, stroke) = (fact.input("bore_mm"), fact.input("stroke_mm"));
            let dish = fact.input("extra_dish_cc");
            fact.holds(
                None,
                with_piston(bore, stroke, fact.ratio(), dish, Decimal::ZERO)
                    .unwrap()
                    .1,
            );
        }
        "piston-height-dish-1" => {
            let (bore, stroke) = (fact.input("bore_mm"), fact.input("stroke_mm"));
            let (dish, cut) = (
                fact.input("extra_dish_cc"),
                fact.input("compression_height_reduction_mm"),
            );
            let (added, got) = with_piston(bore, stroke, fact.ratio(), dish, cut).unwrap();
            fact.holds(Some("dv_cc"), added);
            fact.holds(Some("cr"), got);
        }
        unknown => panic!("no check for the case `{unknown}`"),
    }
}

/// Inches to mm, cylinders together, in the unit the case expects: cubic inches, or cm3 for `disp-cc-1`.
fn check_displacement(fact: &Fact) {
    let mm = |inches: Decimal| inches * dec("25.4");
    let stroke = match fact.words("id") {
        // The trap: the depth of the cylinder is not the stroke.
        "disp-faa-1" => fact.input("cylinder_depth_in") - fact.input("piston_from_bottom_at_bdc_in"),
        _ => fact.input("stroke_in"),
    };
    let one_cm3 = displacement_cm3(mm(fact.input("bore_in")), mm(stroke));
    let all_cm3 = one_cm3 * number(fact.input("cylinders"));
    let got = if fact.words("id") == "disp-cc-1" {
        all_cm3
    } else {
        all_cm3 / 16.387_064
    };
    fact.holds(None, got);
}

fn check_both_routes(fact: &Fact) {
    let engine = Cylinder {
        bore_mm: dec("100"),
        stroke_mm: fact.input("stroke_mm"),
        ratio: fact.ratio(),
    };
    let both = Change {
        spacers_mm: vec![fact.input("t_mm")],
        height_cut_mm: Some(fact.input("equivalent_dish_mm")),
        ..Change::default()
    };
    let Err(SumFault::BothRoutes { ratio }) = engine.after(&both) else {
        panic!("both routes were taken");
    };
    fact.holds_exact(Some("cr"), ratio);
}

fn check_round_up(fact: &Fact) {
    let max = Ratio::new(fact.input("cr_max_allowed")).unwrap();
    let stock = fact.inputs("stock_mm");
    let choice = choose_spacer(fact.input("stroke_mm"), fact.ratio(), max, None, &stock).unwrap();
    fact.holds_exact(Some("t_min_mm"), choice.wanted_mm);
    fact.holds_exact(Some("pick_mm"), choice.thickness_mm);
    fact.holds_exact(Some("cr_result"), choice.ratio.figure());
    let (thinner_mm, thinner) = choice.next_thinner.unwrap();
    assert_eq!(thinner_mm, dec("2.5"));
    fact.holds_exact(Some("cr_of_next_thinner"), thinner.figure());
}

fn check_mixed(fact: &Fact) {
    let spread = unequal(fact.input("stroke_mm"), fact.ratio(), &fact.inputs("t_mm")).unwrap();
    let expected = fact.0["expected"]["cr"].as_array().unwrap();
    assert_eq!(spread.ratios.len(), expected.len());
    for (got, expected) in spread.ratios.iter().zip(expected) {
        assert!(
            (got.figure() - decimal(expected)).abs() <= dec("0.0001"),
            "{got:?}"
        );
    }
    fact.holds_exact(Some("spread"), spread.spread);
    let say = fact.0["expected"]["say"].as_str().unwrap();
    assert!(say.contains("unequal compression between cylinders"));
    assert!(UNEQUAL_CAUTION.contains("unequal compression between cylinders"));
}

// ---- limits, worked out by hand: S = 90, CR = 8.5, so h = 12 and CR2 = (102+t)/(12+t) ----

fn choose(max: &str, min: Option<&str>, stocked: &[&str]) -> Result<SpacerChoice, SumFault> {
    choose_spacer(
        dec("90"),
        ratio("8.5"),
        ratio(max),
        min.map(ratio),
        &decs(stocked),
    )
}

#[test]
fn a_spacer_that_meets_the_maximum_exactly_is_enough() {
    // 105/15 = 7 exactly.
    let choice = choose("7", None, &["2.999999", "3", "4"]).unwrap();
    assert_eq!(
        (choice.thickness_mm, choice.ratio, choice.wanted_mm),
        (dec("3"), ratio("7"), dec("3"))
    );
    assert_eq!(choice.next_thinner.unwrap().0, dec("2.999999"));
}

#[test]
fn a_spacer_a_millionth_too_thin_is_passed_over_even_where_it_is_nearest() {
    assert_eq!(
        choose("7", None, &["2.999999", "4"]).unwrap().thickness_mm,
        dec("4")
    );
}

#[test]
fn sizes_come_in_any_order_and_the_thinnest_that_serves_is_taken() {
    let choice = choose("7.5", None, &["4", "1", "3", "2", "2"]).unwrap();
    // 104/14 = 7.428... is under 7.5; 103/13 = 7.923... is not.
    assert_eq!(choice.thickness_mm, dec("2"));
    assert_eq!(choice.next_thinner.unwrap().0, dec("1"));
    assert_eq!(choose("7.5", None, &["2"]).unwrap().next_thinner, None);
}

#[test]
fn a_limit_whose_thickness_never_ends_in_decimals_is_still_met_exactly() {
    // S = 60, CR = 7, so h = 10. For 6.4 the thickness is 60/5.4 - 10 = 1.1111..., so 1.111111 is not enough;
    // for 5.8 it is 60/4.8 - 10 = 2.5 exactly.
    let choice = choose_spacer(
        dec("60"),
        ratio("7"),
        ratio("6.4"),
        None,
        &decs(&["1.111111", "1.111112"]),
    )
    .unwrap();
    assert_eq!(choice.thickness_mm, dec("1.111112"));
    let choice = choose_spacer(dec("60"), ratio("7"), ratio("5.8"), None, &decs(&["2.5"])).unwrap();
    assert_eq!(choice.thickness_mm, dec("2.5"));
}

#[test]
fn spacers_are_never_stacked_to_reach_a_limit() {
    // 1.5 + 1.5 would do.
    let fault = choose("7", None, &["1.5", "1.5"]).unwrap_err();
    assert_eq!(
        fault,
        SumFault::NoneThickEnough {
            wanted_mm: dec("3"),
            thickest_mm: Some(dec("1.5"))
        }
    );
    let words = fault.to_string();
    assert!(
        words.contains("3 mm or more is wanted, the thickest is 1.5 mm"),
        "{words}"
    );
    let words = choose("7", None, &[]).unwrap_err().to_string();
    assert!(words.contains("none is in stock"), "{words}");
}

#[test]
fn a_wanted_thickness_is_told_rounded_up() {
    // 90/6.2 - 12 = 2.516129...
    let words = choose("7.2", None, &["2.5"]).unwrap_err().to_string();
    assert!(words.contains("2.517 mm or more"), "{words}");
}

#[test]
fn the_minimum_is_checked_after_rounding_up() {
    // 4 mm gives 106/16 = 6.625 exactly.
    assert_eq!(choose("7", Some("6.625"), &["4"]).unwrap().ratio, ratio("6.625"));
    let fault = choose("7", Some("6.625001"), &["4"]).unwrap_err();
    let SumFault::UnderMinimum {
        thickness_mm,
        ratio,
        least,
        wanted_mm,
    } = fault
    else {
        panic!("{fault:?}")
    };
    assert_eq!(
        (thickness_mm, ratio, least, wanted_mm),
        (dec("4"), dec("6.625"), dec("6.625001"), dec("3"))
    );
}

#[test]
fn limits_that_cannot_be_kept_are_told_apart() {
    let at = |present: &str, max: &str, min: Option<&str>| {
        choose_spacer(
            dec("90"),
            ratio(present),
            ratio(max),
            min.map(ratio),
            &decs(&["3"]),
        )
        .unwrap_err()
    };
    assert_eq!(
        at("7", "7", None),
        SumFault::AlreadyWithin {
            present: dec("7"),
            limit: dec("7")
        }
    );
    assert_eq!(
        at("8.5", "7", Some("7.5")),
        SumFault::LimitsCrossed {
            least: dec("7.5"),
            most: dec("7")
        }
    );
}

// ---- edges of each figure ----

#[test]
fn a_ratio_is_more_than_one_and_no_more_than_a_hundred() {
    for (figure, good) in [
        ("1", false),
        ("1.000001", true),
        ("0", false),
        ("-8.5", false),
        ("100", true),
        ("100.1", false),
    ] {
        assert_eq!(Ratio::new(dec(figure)).is_ok(), good, "{figure}");
    }
}

#[test]
fn no_spacer_changes_nothing_and_a_length_out_of_sense_is_refused() {
    assert_eq!(
        with_spacer(dec("90"), ratio("8.5"), Decimal::ZERO).unwrap(),
        ratio("8.5")
    );
    for (stroke, thickness) in [
        ("0", "2"),
        ("-90", "2"),
        ("1000.1", "2"),
        ("90", "-0.000001"),
        ("90", "1000.1"),
        ("79228162514264337593543950335", "2"),
    ] {
        let fault = with_spacer(dec(stroke), ratio("8.5"), dec(thickness)).unwrap_err();
        assert!(
            matches!(fault, SumFault::Length { .. }),
            "{stroke} {thickness}: {fault:?}"
        );
    }
    let fault = choose("7", None, &["3", "0"]).unwrap_err();
    assert!(
        matches!(
            fault,
            SumFault::Length {
                what: "stocked spacer",
                ..
            }
        ),
        "{fault:?}"
    );
}

#[test]
fn a_target_must_lie_below_the_present_ratio() {
    let at = |target: &str| spacer_for(dec("90"), ratio("8.5"), ratio(target));
    assert_eq!(
        at("8.5").unwrap_err(),
        SumFault::TargetNotBelow {
            target: dec("8.5"),
            present: dec("8.5")
        }
    );
    assert!(at("8.499999").unwrap() > Decimal::ZERO);
    // A target a hair above 1 wants more clearance than a number can hold.
    assert!(matches!(
        at("1.0000000000000000000000000001"),
        Err(SumFault::Length { .. })
    ));
}

#[test]
fn a_dish_lowers_the_ratio_and_a_dome_raises_it_until_nothing_is_left() {
    // B = 100, S = 90, CR = 8.5: Vd 706.858 cm3, Vc 94.248 cm3 (facts file).
    let with_dish = |dish: &str| with_piston(dec("100"), dec("90"), ratio("8.5"), dec(dish), Decimal::ZERO);
    assert_eq!(with_dish("0").unwrap().0, 0.0);
    assert!((with_dish("0").unwrap().1 - 8.5).abs() < 1e-9);
    assert!(with_dish("10").unwrap().1 < 8.5 && with_dish("-10").unwrap().1 > 8.5);
    assert!(with_dish("-94.247").is_ok());
    assert!(matches!(with_dish("-94.248"), Err(SumFault::NoClearance(left)) if left < 0.0));
}

#[test]
fn volumes_are_more_than_nothing() {
    for (swept, clearance) in [
        (0.0, 1.0),
        (1.0, 0.0),
        (-1.0, 1.0),
        (f64::NAN, 1.0),
        (1.0, f64::INFINITY),
    ] {
        assert!(
            matches!(ratio_from_volumes(swept, clearance), Err(SumFault::Volume { .. })),
            "{swept} {clearance}"
        );
    }
}

#[test]
fn equal_spacers_have_no_spread_and_no_spacers_no_answer() {
    let spread = unequal(dec("90"), ratio("8.5"), &decs(&["3", "3.0", "3", "3"])).unwrap();
    assert_eq!(spread.spread, Decimal::ZERO);
    assert_eq!(
        unequal(dec("90"), ratio("8.5"), &[]).unwrap_err(),
        SumFault::NoCylinders
    );
}

#[test]
fn cautions_fit_one_line_and_defer_to_the_approved_manual() {
    for cautions in [SPACER_CAUTIONS, PISTON_CAUTIONS] {
        assert!(cautions[0].contains("approved manual rules"));
        for caution in cautions.iter().chain([&UNEQUAL_CAUTION]) {
            assert!(
                "caution: ".len() + caution.len() <= 80 && caution.is_ascii(),
                "{caution}"
            );
        }
    }
    // What common practice lists for each route, by one word each.
    for word in [
        "pushrod",
        "squish",
        "stud",
        "base joint",
        "baffles",
        "matched set",
        "timing",
        "alteration",
    ] {
        assert!(
            SPACER_CAUTIONS.iter().any(|caution| caution.contains(word)),
            "{word}"
        );
    }
    for word in ["dome", "weigh", "ring lands", "valve pockets", "squish"] {
        assert!(
            PISTON_CAUTIONS.iter().any(|caution| caution.contains(word)),
            "{word}"
        );
    }
}

#[test]
fn faults_start_small_end_open_and_say_what_to_do() {
    let faults = [
        SumFault::NotAboveOne(dec("1")),
        SumFault::RatioTooHigh(dec("850")),
        SumFault::Length {
            what: "bore",
            given: dec("0"),
            least: "more than 0",
        },
        SumFault::TargetNotBelow {
            target: dec("9"),
            present: dec("8.5"),
        },
        SumFault::AlreadyWithin {
            present: dec("7"),
            limit: dec("7"),
        },
        SumFault::LimitsCrossed {
            least: dec("8"),
            most: dec("7"),
        },
        SumFault::NoneThickEnough {
            wanted_mm: dec("3"),
            thickest_mm: None,
        },
        SumFault::UnderMinimum {
            thickness_mm: dec("4"),
            ratio: dec("6.625"),
            least: dec("6.7"),
            wanted_mm: dec("3"),
        },
        SumFault::NoClearance(-1.0),
        SumFault::Volume {
            what: "clearance volume",
            given: 0.0,
        },
        SumFault::NoCylinders,
    ];
    for fault in faults {
        let words = fault.to_string();
        assert!(
            words.starts_with(char::is_lowercase) && !words.ends_with('.'),
            "{words}"
        );
        assert!(words.contains(';'), "what is wrong; what to do: {words}");
    }
}
