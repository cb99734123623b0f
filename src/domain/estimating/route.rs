//! One route of a conversion priced, and the compression it reaches.

use crate::domain::estimating::compression::{Ratio, with_piston, with_spacer};
use crate::domain::estimating::price::{Price, extended, price_for};
use crate::domain::estimating::start::Ready;
use crate::domain::measure::{Currency, Day, Money, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::PartId;
use crate::domain::stores::part::Part;
use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive;
use std::collections::BTreeMap;

/// The sizes of a part by name: bore, stroke, ratio, cylinders, thickness, extra dish, height cut.
pub type Sizes = BTreeMap<String, Qty>;

/// The sums of an engine model: bore and stroke in mm, and its ratio as built.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ModelSums {
    /// Bore, mm.
    pub bore_mm: Decimal,
    /// Stroke, mm.
    pub stroke_mm: Decimal,
    /// Compression ratio as built.
    pub ratio: Ratio,
}

impl ModelSums {
    /// Reads a model's sums from its sizes.
    pub fn from_sizes(model: &str, sizes: &Sizes) -> Result<ModelSums, Refusal> {
        let size = |name: &str| {
            sizes
                .get(name)
                .map(|qty| qty.to_decimal())
                .ok_or_else(|| Refusal::Impossible {
                    what: format!("compression of {model}"),
                    because: format!("its {name} is not given"),
                })
        };
        let ratio = Ratio::new(size("ratio")?).map_err(|fault| Refusal::Impossible {
            what: format!("compression of {model}"),
            because: fault.to_string(),
        })?;
        Ok(ModelSums {
            bore_mm: size("bore")?,
            stroke_mm: size("stroke")?,
            ratio,
        })
    }
}

/// By which means a route lowers compression.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Means {
    /// A spacer under each barrel.
    Spacer {
        /// Its part number.
        part: String,
        /// Its thickness, mm.
        thickness_mm: Decimal,
    },
    /// Pistons with more dish or less height.
    Piston {
        /// Their part number.
        part: String,
    },
    /// Nothing that the sizes tell of.
    Unknown,
}

impl Means {
    /// The number of the part that does it.
    pub fn part(&self) -> &str {
        match self {
            Means::Spacer { part, .. } | Means::Piston { part } => part,
            Means::Unknown => "",
        }
    }
}

/// The compression ratio that a route reaches, and how.
#[derive(Clone, Debug, PartialEq)]
pub struct Reached {
    /// By which means.
    pub means: Means,
    /// The ratio, or none where the sizes do not tell.
    pub ratio: Option<Decimal>,
}

/// What the parts of a route do to compression; spacer and pistons together are refused.
pub fn reached(model: &ModelSums, parts: &[(Part, Sizes)]) -> Result<Reached, Refusal> {
    let size = |sizes: &Sizes, name: &str| sizes.get(name).map(|qty| qty.to_decimal());
    let (mut cuts, mut dishes) = (Decimal::ZERO, Decimal::ZERO);
    let mut found = Reached {
        means: Means::Unknown,
        ratio: None,
    };
    for (part, sizes) in parts {
        let fault = |fault: crate::domain::estimating::sum_fault::SumFault| Refusal::Impossible {
            what: format!("compression with {}", part.number),
            because: fault.to_string(),
        };
        // A spacer lifts the head off the piston as a lower crown drops away from it: the same height, the same sum.
        cuts += size(sizes, "thickness")
            .or(size(sizes, "height_cut"))
            .unwrap_or_default();
        dishes += size(sizes, "extra_dish").unwrap_or_default();
        let (thickness, dish) = (size(sizes, "thickness"), size(sizes, "extra_dish"));
        let cut = size(sizes, "height_cut");
        let here = if let Some(thickness_mm) = thickness {
            let ratio = with_spacer(model.stroke_mm, model.ratio, thickness_mm).map_err(fault)?;
            Reached {
                means: Means::Spacer {
                    part: part.number.clone(),
                    thickness_mm,
                },
                ratio: Some(ratio.figure()),
            }
        } else if dish.is_some() || cut.is_some() {
            let (dish, cut) = (dish.unwrap_or_default(), cut.unwrap_or_default());
            let (_, ratio) =
                with_piston(model.bore_mm, model.stroke_mm, model.ratio, dish, cut).map_err(fault)?;
            Reached {
                means: Means::Piston {
                    part: part.number.clone(),
                },
                ratio: Decimal::from_f64(ratio),
            }
        } else {
            continue;
        };
        if found.means != Means::Unknown {
            let (_, both) =
                with_piston(model.bore_mm, model.stroke_mm, model.ratio, dishes, cuts).map_err(fault)?;
            return Err(Refusal::Impossible {
                what: format!("{} with {}", part.number, found.means.part()),
                because: format!("they are alternatives; both together give {both:.3}:1"),
            });
        }
        found = here;
    }
    Ok(found)
}

/// One part of a route with its price.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PricedLine {
    /// The part.
    pub part: Part,
    /// How much is needed.
    pub need: Qty,
    /// The price of the day, for one unit; none where none holds.
    pub price: Option<Price>,
    /// What the need comes to.
    pub cost: Option<Money>,
    /// Currencies in which it is asked for and that have no rate on the day.
    pub without_rate: Vec<Currency>,
    /// When it can be there.
    pub ready: Ready,
}

/// A route priced: its parts by use and its hours.
#[derive(Clone, Debug, PartialEq)]
pub struct PricedRoute {
    /// The choice, `route=spacer`.
    pub choice: String,
    /// The parts.
    pub lines: Vec<PricedLine>,
    /// The hours.
    pub hours: Decimal,
    /// What an hour costs.
    pub rate: Money,
    /// What it reaches.
    pub reached: Reached,
}

impl PricedRoute {
    /// What the parts come to by use, exactly.
    pub fn parts(&self) -> Money {
        self.lines.iter().filter_map(|line| line.cost).sum()
    }

    /// What the hours come to.
    pub fn labour(&self) -> Money {
        Qty::from_decimal(self.hours).map_or(Money::ZERO, |hours| extended(hours, self.rate))
    }

    /// The first day on which all of its parts can be there, if that is known.
    pub fn start(&self, today: Day) -> Option<Day> {
        let mut days = self.lines.iter().map(|line| line.ready.day(today));
        days.try_fold(today, |last, day| Some(last.max(day?)))
    }

    /// The parts that the start waits for: those whose day is not known, else the last to come.
    pub fn waits_for(&self, today: Day) -> Vec<&PricedLine> {
        let start = self.start(today);
        let waits = |line: &&PricedLine| line.ready != Ready::Now && line.ready.day(today) == start;
        self.lines.iter().filter(waits).collect()
    }
}

/// Prices needs at the prices of a day, each part's with the currencies that have no rate; beside each stands when it
/// can be there.
pub fn priced(
    needs: &[(Part, Qty, Ready)],
    mut prices: BTreeMap<PartId, (Vec<Price>, Vec<Currency>)>,
    day: Day,
    currency: Currency,
) -> Vec<PricedLine> {
    let line = |(part, need, ready): &(Part, Qty, Ready)| {
        let (held, without_rate) = prices.remove(&part.id).unwrap_or_default();
        let price = price_for(&held, day, *need, currency).cloned();
        let cost = price.as_ref().map(|price| extended(*need, price.amount));
        PricedLine {
            part: part.clone(),
            need: *need,
            price,
            cost,
            without_rate,
            ready: ready.clone(),
        }
    };
    needs.iter().map(line).collect()
}
