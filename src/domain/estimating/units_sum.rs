//! One figure in another unit, by exact factors; temperatures by their two fixed points.

use crate::domain::measure::rounding::{Rule, round};
use crate::domain::measure::scale::{Scale, scales_called};
use crate::domain::measure::typed::{TypedFault, chosen, value_in};
use rust_decimal::Decimal;

/// Decimals shown of a figure that no decimal says exactly.
const DECIMALS_SHOWN: u32 = 9;

/// A figure in two units.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Converted {
    /// The figure in the second unit: exact, or rounded half away from zero to nine decimals.
    pub figure: Decimal,
    /// The first unit as printed.
    pub from: &'static str,
    /// The second unit as printed.
    pub to: &'static str,
    /// Whether the figure is exact.
    pub exact: bool,
    /// How it was worked out.
    pub formula: String,
}

/// A scale of temperature.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Degrees {
    Celsius,
    Fahrenheit,
}

impl Degrees {
    fn called(word: &str) -> Option<Degrees> {
        match word.to_lowercase().as_str() {
            "degc" | "°c" => Some(Degrees::Celsius),
            "degf" | "°f" => Some(Degrees::Fahrenheit),
            _ => None,
        }
    }

    fn symbol(self) -> &'static str {
        match self {
            Degrees::Celsius => "degC",
            Degrees::Fahrenheit => "degF",
        }
    }
}

/// Turns a figure from one unit into another; both words are asked about where they may mean two things.
pub fn in_other_unit(figure: Decimal, from: &str, to: &str) -> Result<Converted, TypedFault> {
    if let Some((from, to)) = Degrees::called(from).zip(Degrees::called(to)) {
        return degrees(figure, from, to);
    }
    let (from, to) = pair(from, to)?;
    let too_large = || TypedFault::TooLarge {
        text: figure.to_string(),
    };
    let turned = value_in(figure, from, to).ok_or_else(too_large)?;
    let back = value_in(turned, to, from);
    Ok(Converted {
        formula: format!(
            "{figure} {} x {} / {}",
            from.symbol,
            from.factor().normalize(),
            to.factor().normalize()
        ),
        ..settled(turned, back == Some(figure), from.symbol, to.symbol)
    })
}

/// The two scales that the words mean together: a word of two meanings may be settled by the other word.
fn pair(from: &str, to: &str) -> Result<(&'static Scale, &'static Scale), TypedFault> {
    let targets = scales_called(to);
    let Some(first) = targets.first() else {
        let like = scales_called(from);
        return Err(match like.first() {
            Some(scale) => chosen(to, scale, &[]).err(),
            None => None,
        }
        .unwrap_or(TypedFault::Unknown {
            text: to.to_owned(),
            known: "mm, in, ml, g, lb, N.m, bar, psi and the like".to_owned(),
        }));
    };
    let fitting = targets.iter().find(|target| chosen(from, target, &[]).is_ok());
    let from = chosen(from, fitting.unwrap_or(first), &[])?;
    Ok((from, chosen(to, from, &[])?))
}

fn degrees(figure: Decimal, from: Degrees, to: Degrees) -> Result<Converted, TypedFault> {
    let (five, nine, ice) = (Decimal::from(5), Decimal::from(9), Decimal::from(32));
    let too_large = || TypedFault::TooLarge {
        text: figure.to_string(),
    };
    let (turned, formula) = match (from, to) {
        (Degrees::Fahrenheit, Degrees::Celsius) => {
            let above_ice = figure.checked_sub(ice).and_then(|above| above.checked_mul(five));
            (
                above_ice.map(|above| above / nine),
                format!("({figure} - 32) x 5 / 9"),
            )
        }
        (Degrees::Celsius, Degrees::Fahrenheit) => {
            let above_ice = figure.checked_mul(nine).map(|above| above / five);
            (
                above_ice.and_then(|above| above.checked_add(ice)),
                format!("{figure} x 9 / 5 + 32"),
            )
        }
        _ => (Some(figure), format!("{figure}")),
    };
    let turned = turned.ok_or_else(too_large)?;
    // A ninth never ends, so what ends within the decimals shown is exact.
    let exact = turned.normalize().scale() <= DECIMALS_SHOWN;
    Ok(Converted {
        formula,
        ..settled(turned, exact, from.symbol(), to.symbol())
    })
}

/// The figure as it is shown: exact where it is, else rounded.
fn settled(turned: Decimal, exact: bool, from: &'static str, to: &'static str) -> Converted {
    // Twenty decimals and more come of a division that was cut short, even where multiplying back hides it.
    let exact = exact && turned.normalize().scale() <= 20;
    let figure = if exact {
        turned
    } else {
        round(turned, Decimal::new(1, DECIMALS_SHOWN), Rule::HalfAway)
    };
    Converted {
        figure: figure.normalize(),
        from,
        to,
        exact,
        formula: String::new(),
    }
}
