//! Compression over figures by chance: bore that must not matter, and the inverse of the sum.

use bincard::domain::estimating::compression::{
    Ratio, clearance_cm3, displacement_cm3, ratio_from_volumes, spacer_for, with_spacer,
};
use proptest::prelude::*;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

fn dec(figure: &str) -> Decimal {
    figure.parse().unwrap()
}

fn number(exact: Decimal) -> f64 {
    exact.to_f64().unwrap()
}

proptest! {
    /// Any bore gives by volumes what the spacer sum gives without one.
    #[test]
    fn bore_does_not_matter_under_the_barrel(
        bore in 40_000_i64..200_000, stroke in 40_000_i64..200_000,
        present in 4_000_i64..14_000, thickness in 0_i64..10_000,
    ) {
        let thousandths = |count: i64| Decimal::new(count, 3);
        let (bore, stroke, thickness) = (thousandths(bore), thousandths(stroke), thousandths(thickness));
        let present = Ratio::new(thousandths(present)).unwrap();
        let clearance = clearance_cm3(bore, stroke, present) + displacement_cm3(bore, thickness);
        let by_volumes = ratio_from_volumes(displacement_cm3(bore, stroke), clearance).unwrap();
        let by_lengths = with_spacer(stroke, present, thickness).unwrap().figure();
        prop_assert!((by_volumes - number(by_lengths)).abs() < 1e-9, "{} {}", by_volumes, by_lengths);
    }

    /// The thickness asked for gives the ratio asked for.
    #[test]
    fn the_inverse_undoes_the_sum(
        stroke in 40_000_i64..200_000, target in 4_000_i64..9_000, above in 1_i64..5_000,
    ) {
        let stroke = Decimal::new(stroke, 3);
        let target_ratio = Ratio::new(Decimal::new(target, 3)).unwrap();
        let present = Ratio::new(Decimal::new(target + above, 3)).unwrap();
        let thickness = spacer_for(stroke, present, target_ratio).unwrap();
        let got = with_spacer(stroke, present, thickness).unwrap().figure();
        prop_assert!((got - target_ratio.figure()).abs() < dec("0.00000000000000000001"), "{}", got);
    }
}
