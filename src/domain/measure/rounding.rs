//! The one rounding function, its integer kernel, and the sharing of a whole without remainder.

use rust_decimal::Decimal;
use std::cmp::Reverse;

/// How a figure between two steps is settled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Rule {
    /// To the nearest step, a tie away from zero (the rule of the books and of printed money).
    HalfAway,
    /// To the nearest step, a tie to the even one (IEEE 754 roundTiesToEven).
    HalfEven,
    /// Away from zero.
    Up,
    /// Toward zero.
    Down,
}

/// Rounds `x` to a whole number of `step`s; the result carries as many decimals as `step` has.
///
/// Zero never bears a minus sign. A step of zero, and a result of more digits than a `Decimal` holds,
/// leave `x` as it is: nothing the books keep is that long.
pub fn round(x: Decimal, step: Decimal, rule: Rule) -> Decimal {
    if step.is_zero() {
        return x;
    }
    in_steps(x, step, rule).unwrap_or(x)
}

/// The rounding itself, over whole numbers; `None` where a figure outgrows 128 or the result 96 bits.
fn in_steps(x: Decimal, step: Decimal, rule: Rule) -> Option<Decimal> {
    let step_mantissa = step.mantissa().abs();
    let numerator = x
        .mantissa()
        .checked_mul(ten_to(step.scale().saturating_sub(x.scale()))?)?;
    // A denominator beyond 128 bits dwarfs every numerator, so its exact size no longer matters.
    let denominator = step_mantissa.saturating_mul(ten_to(x.scale().saturating_sub(step.scale()))?);
    let steps = divide(numerator, denominator, rule);
    Decimal::try_from_i128_with_scale(steps.checked_mul(step_mantissa)?, step.scale()).ok()
}

fn ten_to(exponent: u32) -> Option<i128> {
    10_i128.checked_pow(exponent)
}

/// Divides whole numbers and rounds the quotient by `rule`; the denominator must be above zero.
///
/// As with any integer division, a denominator of zero is a programming fault and stops the program.
pub fn divide(numerator: i128, denominator: i128, rule: Rule) -> i128 {
    let toward_zero = numerator / denominator;
    let remainder = (numerator % denominator).unsigned_abs();
    if remainder == 0 {
        return toward_zero;
    }
    // Comparing with what is left to the next step avoids doubling, which could overflow.
    let to_next = denominator.unsigned_abs() - remainder;
    let away = match rule {
        Rule::Up => true,
        Rule::Down => false,
        Rule::HalfAway => remainder >= to_next,
        Rule::HalfEven => remainder > to_next || (remainder == to_next && toward_zero % 2 != 0),
    };
    let outward = if (numerator < 0) == (denominator < 0) {
        1
    } else {
        -1
    };
    if away { toward_zero + outward } else { toward_zero }
}

/// Shares `total` in proportion to `weights` by largest remainder; the parts always add up to `total`.
///
/// Equal remainders go to the first. Where all weights are zero the first takes everything; a negative
/// weight counts as zero; no weights, no parts.
pub fn apportion(total: i64, weights: &[i64]) -> Vec<i64> {
    let shares_of: Vec<u128> = weights
        .iter()
        .map(|&weight| u128::from(weight.max(0).unsigned_abs()))
        .collect();
    let weight_sum: u128 = shares_of.iter().sum();
    let whole = u128::from(total.unsigned_abs());
    if weight_sum == 0 {
        return (0..weights.len())
            .map(|index| if index == 0 { total } else { 0 })
            .collect();
    }
    let mut parts: Vec<(u128, u128)> = shares_of
        .iter()
        .map(|&weight| (whole * weight / weight_sum, whole * weight % weight_sum))
        .collect();
    let left_over = whole - parts.iter().map(|&(quotient, _)| quotient).sum::<u128>();
    let mut by_remainder: Vec<&mut (u128, u128)> = parts.iter_mut().collect();
    by_remainder.sort_by_key(|part| Reverse(part.1));
    // Fewer units are left over than there are remainders above zero, so each part gains one at most.
    let mut still_left = left_over;
    for part in by_remainder {
        if still_left == 0 {
            break;
        }
        part.0 += 1;
        still_left -= 1;
    }
    parts
        .iter()
        .map(|&(magnitude, _)| with_sign_of(total, magnitude))
        .collect()
}

/// Gives a share its sign back; a share is never larger than the total, so it fits where the total did.
fn with_sign_of(total: i64, magnitude: u128) -> i64 {
    let magnitude = magnitude as i128;
    (if total < 0 { -magnitude } else { magnitude }) as i64
}
