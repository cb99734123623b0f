//! What a part costs on a day, and what a quantity of it comes to.

use crate::domain::measure::rounding::{Rule, divide};
use crate::domain::measure::{Currency, Day, Money, Qty};
use crate::domain::stores::ids::{PartId, PlaceId};

/// One price of a part, for one unit of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Price {
    /// Whose.
    pub part: PartId,
    /// Who asks it.
    pub supplier: Option<PlaceId>,
    /// From which day on.
    pub from_day: Day,
    /// From which quantity on.
    pub from_qty: Qty,
    /// For one unit.
    pub amount: Money,
    /// In which currency.
    pub currency: Currency,
    /// As the supplier asks it, where it was converted.
    pub quoted: Option<Quoted>,
}

/// A price as it was quoted in another currency, and the rate by which it was converted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Quoted {
    /// For one unit.
    pub amount: Money,
    /// In which currency.
    pub currency: Currency,
    /// What one of that currency is worth in the store's own.
    pub rate: Money,
    /// From which day on the rate holds.
    pub rate_from: Day,
}

/// What one of another currency is worth in the store's own, from a day on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Exchange {
    /// The other currency.
    pub currency: Currency,
    /// From which day on.
    pub from_day: Day,
    /// What one of it is worth.
    pub rate: Money,
}

/// The prices of a part in the store's own currency at the rates of a day, and the currencies that have no rate then.
pub fn in_base(
    prices: Vec<Price>,
    rates: &[Exchange],
    day: Day,
    base: Currency,
) -> (Vec<Price>, Vec<Currency>) {
    let (mut held, mut without) = (Vec::new(), Vec::new());
    for price in prices {
        if price.currency == base {
            held.push(price);
            continue;
        }
        let known = |rate: &&Exchange| rate.currency == price.currency && rate.from_day <= day;
        match rates.iter().filter(known).max_by_key(|rate| rate.from_day) {
            Some(rate) => held.push(converted(price, rate, base)),
            None if without.contains(&price.currency) => {}
            None => without.push(price.currency),
        }
    }
    (held, without)
}

/// A price at a rate, rounded half away from zero to a millionth.
fn converted(price: Price, exchange: &Exchange, base: Currency) -> Price {
    Price {
        amount: extended(Qty::from_millionths(price.amount.millionths()), exchange.rate),
        currency: base,
        quoted: Some(Quoted {
            amount: price.amount,
            currency: price.currency,
            rate: exchange.rate,
            rate_from: exchange.from_day,
        }),
        ..price
    }
}

/// The price that holds for a quantity on a day: of each supplier the newest of the largest quantity reached, and of
/// those the lowest. Only prices in this currency are looked at.
pub fn price_for(prices: &[Price], day: Day, qty: Qty, currency: Currency) -> Option<&Price> {
    let holds = |price: &&Price| price.from_day <= day && price.from_qty <= qty && price.currency == currency;
    let mut best: Option<&Price> = None;
    for price in prices.iter().filter(holds) {
        let rank = (price.from_qty, price.from_day);
        let outdone = prices
            .iter()
            .filter(holds)
            .any(|p| p.supplier == price.supplier && (p.from_qty, p.from_day) > rank);
        if !outdone && best.is_none_or(|best| price.amount < best.amount) {
            best = Some(price);
        }
    }
    best
}

/// What a quantity comes to at a price for one unit, rounded half away from zero to a millionth.
pub fn extended(qty: Qty, amount: Money) -> Money {
    let product = i128::from(qty.millionths()) * i128::from(amount.millionths());
    let whole = divide(product, 1_000_000, Rule::HalfAway);
    // A product beyond 64 bits is no price of ours; the largest amount shows that something is wrong.
    Money::from_millionths(i64::try_from(whole).unwrap_or(i64::MAX))
}
