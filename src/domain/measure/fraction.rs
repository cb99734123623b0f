//! Numbers kept as fractions of whole numbers until they are brought to the unit and the step wanted.

use rust_decimal::Decimal;

/// A number as typed, exactly; the lower part is above zero.
#[derive(Clone, Copy)]
pub(super) struct Fraction {
    pub(super) upper: i128,
    pub(super) lower: i128,
}

impl Fraction {
    /// A decimal as a fraction.
    pub(super) fn of(number: Decimal) -> Fraction {
        let number = number.normalize();
        // A decimal has 28 decimals at most, so ten to their number always fits.
        Fraction {
            upper: number.mantissa(),
            lower: 10_i128.pow(number.scale()),
        }
    }

    /// The two multiplied, in lowest terms; `None` where it outgrows 128 bits.
    pub(super) fn times(self, by: Fraction) -> Option<Fraction> {
        let (one, other) = (reduced(self.upper, by.lower), reduced(by.upper, self.lower));
        Some(Fraction {
            upper: one.0.checked_mul(other.0)?,
            lower: one.1.checked_mul(other.1)?,
        })
    }

    /// The quotient; `None` where it outgrows 128 bits or the divisor is not above zero.
    pub(super) fn over(self, by: Fraction) -> Option<Fraction> {
        let turned = Fraction {
            upper: by.lower,
            lower: by.upper,
        };
        (by.upper > 0).then(|| self.times(turned)).flatten()
    }
}

/// Two numbers without their common divisor; the second is above zero.
fn reduced(upper: i128, lower: i128) -> (i128, i128) {
    let (mut a, mut b) = (upper.unsigned_abs(), lower.unsigned_abs());
    while b > 0 {
        (a, b) = (b, a % b);
    }
    match i128::try_from(a) {
        Ok(common) if common > 0 => (upper / common, lower / common),
        _ => (upper, lower),
    }
}
