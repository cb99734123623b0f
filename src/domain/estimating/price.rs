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
