//! What goods are worth as they move: shares and cost layers; quantity and value are carried, never a unit cost.

use crate::domain::measure::rounding::{Rule, divide};
use crate::domain::measure::{Money, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{LayerId, LotId};
use crate::domain::stores::stock::{Layer, Method, Stock};

/// The share of a value that goes with `taken` out of `whole`: all of it with the last of the goods, else rounded
/// half away from zero to a millionth.
pub fn share(value: Money, whole: Qty, taken: Qty) -> Money {
    if taken == whole {
        return value;
    }
    if !whole.is_positive() {
        return Money::ZERO;
    }
    let product = i128::from(value.millionths()) * i128::from(taken.millionths());
    let part = divide(product, i128::from(whole.millionths()), Rule::HalfAway);
    Money::from_millionths(i64::try_from(part).unwrap_or(value.millionths()))
}

/// Goods drawn from one layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Draw {
    /// Which layer.
    pub layer: LayerId,
    /// How much.
    pub qty: Qty,
    /// What that much of it cost.
    pub value: Money,
}

/// Which layers a lot draws on and feeds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pool {
    /// Its own layer, one for ever.
    Own,
    /// The part's layers by age; each feeding opens a new one.
    ByAge,
    /// The part's one layer, one for ever.
    Average,
}

/// The pool of a lot under the method in force: what is not interchangeable has always its own.
pub fn pool_of(stock: &Stock, lot: LotId) -> Result<Pool, Refusal> {
    Ok(match (stock.lot(lot)?.specific, stock.method) {
        (true, _) | (false, Method::Actual) => Pool::Own,
        (false, Method::Fifo) => Pool::ByAge,
        (false, Method::Average) => Pool::Average,
    })
}

/// The one layer of a pool that keeps its layer for ever, where it has one already.
pub fn lasting_layer(stock: &Stock, lot: LotId) -> Result<Option<&Layer>, Refusal> {
    let part = stock.lot(lot)?.part;
    Ok(match pool_of(stock, lot)? {
        Pool::Own => stock.layers.own(lot),
        Pool::Average => stock
            .layers
            .of_part(part)
            .find(|layer| layer.shared && layer.lot.is_none()),
        Pool::ByAge => None,
    })
}

/// What drawing a quantity of a lot from the shelves takes from which layer, oldest first.
pub fn draw(stock: &Stock, lot: LotId, qty: Qty) -> Result<Vec<Draw>, Refusal> {
    let part = stock.lot(lot)?.part;
    let live: Vec<&Layer> = match pool_of(stock, lot)? {
        Pool::ByAge => stock
            .layers
            .of_part(part)
            .filter(|layer| layer.shared && layer.qty.is_positive())
            .collect(),
        Pool::Own | Pool::Average => lasting_layer(stock, lot)?.into_iter().collect(),
    };
    let mut left = qty;
    let mut draws = Vec::new();
    for layer in live {
        let taken = layer.qty.min(left);
        if taken.is_positive() {
            draws.push(Draw {
                layer: layer.id,
                qty: taken,
                value: share(layer.value, layer.qty, taken),
            });
            left -= taken;
        }
    }
    if left.is_positive() {
        return Err(Refusal::Unread {
            what: "cost layers of lot",
            id: lot.0,
        });
    }
    Ok(draws)
}
