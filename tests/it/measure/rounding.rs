//! The one rounding function, its integer kernel and the sharing of a whole.

use super::{cases, rows, text, texts};
use bincard::domain::measure::money::Currency;
use bincard::domain::measure::rounding::{Rule, apportion, divide, round};
use proptest::prelude::*;
use rust_decimal::Decimal;
use toml::{Table, Value};

const FACTS: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/facts/rounding.toml"));

fn dec(text: &str) -> Decimal {
    Decimal::from_str_exact(text).expect("a decimal")
}

fn step_of(places: u32) -> Decimal {
    Decimal::new(1, places)
}

/// A published zero may bear a minus; ours never does (note of case round-2).
fn without_minus_zero(text: &str) -> &str {
    text.strip_prefix('-')
        .filter(|rest| dec(rest).is_zero())
        .unwrap_or(text)
}

#[test]
fn every_published_case_comes_out() {
    for case in cases(FACTS) {
        match text(&case, "id") {
            "round-0" | "round-0-b" | "round-2" | "round-3" | "round-3-b" => both_halves(&case),
            "round-dectest" => decimal_test_lines(&case),
            "round-lines-or-total" => lines_or_total(&case),
            "iso4217-minor" => minor_units(&case),
            "iso4217-exceptions" => exceptions(&case),
            "iso4217-to-minor" => to_minor(&case),
            unknown => panic!("no check is written for the case {unknown}"),
        }
    }
}

fn both_halves(case: &Table) {
    let places = u32::try_from(case["inputs"]["places"].as_integer().unwrap()).unwrap();
    let inputs = texts(&case["inputs"]["values"]);
    let rows = rows(&case["expected"]);
    assert_eq!(rows.iter().map(|row| text(row, "x")).collect::<Vec<_>>(), inputs);
    for row in rows {
        for (rule, key) in [(Rule::HalfEven, "half_even"), (Rule::HalfAway, "half_up")] {
            let rounded = round(dec(text(&row, "x")), step_of(places), rule);
            assert_eq!(
                rounded.to_string(),
                without_minus_zero(text(&row, key)),
                "{} {key}",
                text(&row, "x")
            );
        }
    }
}

fn decimal_test_lines(case: &Table) {
    let expected = rows(&case["expected"]);
    let inputs = rows(&case["inputs"]);
    assert_eq!(inputs.len(), expected.len());
    for (input, expected) in inputs.iter().zip(&expected) {
        assert_eq!(text(input, "id"), text(expected, "id"));
        let places = text(input, "to")
            .strip_prefix("1e")
            .unwrap()
            .trim_start_matches('-')
            .parse()
            .unwrap();
        let rounded = round(dec(text(input, "x")), step_of(places), Rule::HalfAway);
        assert_eq!(
            rounded.to_string(),
            text(expected, "half_up"),
            "{}",
            text(input, "id")
        );
    }
}

fn lines_or_total(case: &Table) {
    let to_pence = |x| round(x, step_of(2), Rule::HalfEven);
    let lines = case["inputs"]["lines"].as_array().unwrap();
    let exact: Vec<Decimal> = lines
        .iter()
        .map(|line| dec(line["qty"].as_str().unwrap()) * dec(line["price"].as_str().unwrap()))
        .collect();
    let rounded: Vec<Decimal> = exact.iter().map(|&line| to_pence(line)).collect();
    let shown: Vec<String> = rounded.iter().map(Decimal::to_string).collect();
    assert_eq!(shown, texts(&case["expected"]["lines_rounded"]));
    let sum_of_lines: Decimal = rounded.iter().sum();
    assert_eq!(
        sum_of_lines.to_string(),
        case["expected"]["sum_of_lines"].as_str().unwrap()
    );
    let total: Decimal = exact.iter().sum();
    assert_eq!(
        to_pence(total).to_string(),
        case["expected"]["total_rounded_once"].as_str().unwrap()
    );
}

fn minor_units(case: &Table) {
    let expected = case["expected"]["minor_units"].as_table().unwrap();
    let codes = texts(&case["inputs"]["codes"]);
    assert_eq!(codes.len(), expected.len());
    for code in codes {
        let digits = Currency::parse(code).unwrap().minor_digits();
        assert_eq!(Value::Integer(i64::from(digits)), expected[code], "{code}");
    }
}

/// The case lists all of them, so ours must be these and no others.
fn exceptions(case: &Table) {
    let ours: Table = Currency::all()
        .filter(|currency| currency.minor_digits() != 2)
        .map(|currency| {
            (
                currency.code().to_owned(),
                Value::Integer(i64::from(currency.minor_digits())),
            )
        })
        .collect();
    assert_eq!(&ours, case["expected"]["minor_units"].as_table().unwrap());
}

fn to_minor(case: &Table) {
    let amounts = case["inputs"]["rows"].as_array().unwrap();
    let expected = texts(&case["expected"]["minor"]);
    assert_eq!(amounts.len(), expected.len());
    for (row, expected) in amounts.iter().zip(expected) {
        let [amount, code] = texts(row)[..] else {
            panic!("an amount and a code")
        };
        let digits = Currency::parse(code).unwrap().minor_digits();
        let rounded = round(dec(amount), step_of(digits), Rule::HalfEven);
        let minor = rounded * Decimal::from(10_i64.pow(digits));
        assert_eq!(minor.normalize().to_string(), expected, "{amount} {code}");
    }
}

/// Worked out by hand from the meaning of each rule.
#[test]
fn rules_and_steps() {
    use Rule::{Down, HalfAway, HalfEven, Up};
    let table = [
        // x, step, rule, result
        ("0", "0.01", HalfAway, "0.00"),
        ("7", "0.01", HalfAway, "7.00"),
        ("1.24", "0.5", HalfAway, "1.0"),
        ("1.25", "0.5", HalfAway, "1.5"),
        ("1.25", "0.5", HalfEven, "1.0"),
        ("1.75", "0.5", HalfEven, "2.0"),
        ("-1.25", "0.5", HalfAway, "-1.5"),
        ("-1.25", "0.5", HalfEven, "-1.0"),
        ("12", "5", HalfAway, "10"),
        ("12.5", "5", HalfAway, "15"),
        ("12.5", "5", HalfEven, "10"),
        ("101", "100", Up, "200"),
        ("-101", "100", Up, "-200"),
        ("199", "100", Down, "100"),
        ("-199", "100", Down, "-100"),
        ("200", "100", Up, "200"),
        ("0.001", "0.01", Up, "0.01"),
        ("-0.001", "0.01", Up, "-0.01"),
        ("-0.001", "0.01", HalfAway, "0.00"),
        ("-0.001", "0.01", Down, "0.00"),
        ("1.005", "0.010", HalfAway, "1.010"),
        ("2.4999999999999999999999999999", "1", HalfAway, "2"),
        ("2.5000000000000000000000000000", "1", HalfAway, "3"),
        // A denominator past 128 bits: the figure is next to nothing beside the step.
        (
            "0.0000000000000000000000000001",
            "70000000000000000000000000000",
            Up,
            "70000000000000000000000000000",
        ),
        (
            "0.0000000000000000000000000001",
            "70000000000000000000000000000",
            HalfAway,
            "0",
        ),
        // Twenty-eight digits leave no room for the decimals of the step.
        (
            "79228162514264337593543950335",
            "0.01",
            HalfAway,
            "79228162514264337593543950335",
        ),
        ("1.7", "0", HalfAway, "1.7"),
    ];
    for (x, step, rule, expected) in table {
        assert_eq!(
            round(dec(x), dec(step), rule).to_string(),
            expected,
            "{x} by {step}, {rule:?}"
        );
    }
}

/// By hand; a tie is exactly half the denominator.
#[test]
fn integer_kernel() {
    let table = [
        // numerator, denominator, half away, half even, up, down
        (0, 3, 0, 0, 0, 0),
        (6, 3, 2, 2, 2, 2),
        (7, 3, 2, 2, 3, 2),
        (8, 3, 3, 3, 3, 2),
        (-7, 3, -2, -2, -3, -2),
        (-8, 3, -3, -3, -3, -2),
        (1, 2, 1, 0, 1, 0),
        (3, 2, 2, 2, 2, 1),
        (5, 2, 3, 2, 3, 2),
        (-1, 2, -1, 0, -1, 0),
        (-5, 2, -3, -2, -3, -2),
        (i128::MAX, i128::MAX, 1, 1, 1, 1),
        (i128::MAX - 1, i128::MAX, 1, 1, 1, 0),
        (i128::MIN, i128::MAX, -1, -1, -2, -1),
    ];
    for (n, d, half_away, half_even, up, down) in table {
        assert_eq!(divide(n, d, Rule::HalfAway), half_away, "{n}/{d}");
        assert_eq!(divide(n, d, Rule::HalfEven), half_even, "{n}/{d}");
        assert_eq!(divide(n, d, Rule::Up), up, "{n}/{d}");
        assert_eq!(divide(n, d, Rule::Down), down, "{n}/{d}");
    }
}

/// By hand: quotas cut to whole numbers, what is left to the largest remainders, the first of equals first.
#[test]
fn largest_remainder() {
    let table: [(i64, &[i64], &[i64]); 13] = [
        (5, &[], &[]),
        (0, &[1, 2], &[0, 0]),
        (5, &[0, 0, 0], &[5, 0, 0]),
        (5, &[7], &[5]),
        (100, &[1, 1, 1], &[34, 33, 33]),
        (5, &[1, 1, 1], &[2, 2, 1]),
        (-5, &[1, 1, 1], &[-2, -2, -1]),
        (1, &[0, 1, 1], &[0, 1, 0]),
        (10, &[1, 2, 3], &[2, 3, 5]),
        (10, &[3, 0, 3], &[5, 0, 5]),
        (10, &[-3, 1, 1], &[0, 5, 5]),
        (
            i64::MAX,
            &[i64::MAX, i64::MAX],
            &[4_611_686_018_427_387_904, 4_611_686_018_427_387_903],
        ),
        (i64::MIN, &[i64::MAX], &[i64::MIN]),
    ];
    for (total, weights, expected) in table {
        assert_eq!(apportion(total, weights), expected, "{total} by {weights:?}");
    }
}

proptest! {
    #[test]
    fn parts_add_up_and_stay_within_one_of_their_quota(
        total in any::<i64>(),
        weights in prop::collection::vec(0..=i64::MAX, 1..20),
    ) {
        let parts = apportion(total, &weights);
        prop_assert_eq!(parts.len(), weights.len());
        prop_assert_eq!(parts.iter().map(|&part| i128::from(part)).sum::<i128>(), i128::from(total));
        let sum: i128 = weights.iter().map(|&weight| i128::from(weight)).sum();
        prop_assume!(sum > 0);
        for (&part, &weight) in parts.iter().zip(&weights) {
            let quota_down = i128::from(total) * i128::from(weight) / sum;
            prop_assert!((i128::from(part) - quota_down).abs() <= 1);
        }
    }

    #[test]
    fn a_rounded_figure_is_a_whole_number_of_steps_and_near(
        mantissa in -10_i64.pow(15)..10_i64.pow(15),
        scale in 0_u32..9,
        step_mantissa in 1_i64..1000,
        step_scale in 0_u32..5,
    ) {
        let (x, step) = (Decimal::new(mantissa, scale), Decimal::new(step_mantissa, step_scale));
        for rule in [Rule::HalfAway, Rule::HalfEven, Rule::Up, Rule::Down] {
            let rounded = round(x, step, rule);
            prop_assert_eq!(rounded.scale(), step_scale);
            prop_assert!((rounded % step).is_zero());
            let off = (rounded - x).abs();
            match rule {
                Rule::HalfAway | Rule::HalfEven => prop_assert!(off * Decimal::TWO <= step),
                Rule::Up => prop_assert!(off < step && rounded.abs() >= x.abs()),
                Rule::Down => prop_assert!(off < step && rounded.abs() <= x.abs()),
            }
        }
    }
}
