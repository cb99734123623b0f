//! Goods in: what a van brings becomes lots in receiving, to be inspected before anybody may pick them.

use crate::domain::keeping::rule::Lasts;
use crate::domain::measure::printed::Made;
use crate::domain::measure::{Day, Money, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{LotId, OrderLineId, PartId, PlaceId};
use crate::domain::stores::law::Movement;
use crate::domain::stores::lot::NewLot;
use crate::domain::stores::part::Part;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::birth::Birth;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::enter::Move;
use crate::domain::stores::verbs::value::share;
use std::collections::BTreeMap;

/// The order line that goods come in on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ordered {
    /// Under which number the books keep it.
    pub line: OrderLineId,
    /// Its number on the order.
    pub n: i64,
    /// How much was ordered.
    pub ordered: Qty,
    /// What all of that costs.
    pub value: Money,
}

/// Goods of one part, one batch and one last day that came.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Arrival {
    /// Which part.
    pub part: PartId,
    /// How much.
    pub qty: Qty,
    /// The order line they come in on.
    pub ordered: Option<Ordered>,
    /// What all of it cost, where no order says so.
    pub cost: Money,
    /// The maker's batch.
    pub batch: Option<String>,
    /// Who made it.
    pub maker: Option<String>,
    /// The maker's serials, one for each piece; none where pieces bear none.
    pub serials: Vec<Serial>,
    /// The last day printed on it, and how that was read.
    pub expiry: Option<(Day, String)>,
    /// When it was made, as its label has it.
    pub made: Option<Made>,
    /// The cage that it goes into, where the supplier's approval does not bear it: held for the inspector.
    pub held: Option<PlaceId>,
    /// How long it lasts on the shelf, as the part's record and the rule of its family say.
    pub lasts: Option<Lasts>,
}

/// A maker's serial on a piece that came.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Serial {
    /// The serial.
    pub serial: String,
    /// The lot that it is already, where the stores had it before: a serial is one lot for ever.
    pub known: Option<LotId>,
}

/// Where goods come from, where they go, whose they are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Delivery {
    /// The supplier, or the customer whose own parts they are.
    pub from: PlaceId,
    /// The receiving table.
    pub to: PlaceId,
    /// The customer whose own they stay; none where they become ours.
    pub owner: Option<PlaceId>,
    /// Whether more than was ordered really came.
    pub over: bool,
}

/// One document of goods that came in; each batch, last day and serial is a lot of its own.
pub fn goods_in(stock: &Stock, head: Head, delivery: Delivery, came: &[Arrival]) -> Result<Posting, Refusal> {
    if came.is_empty() {
        return Err(Refusal::Nothing);
    }
    let came_on = head.day;
    let mut draft = Draft::new(stock, head);
    let mut on_line: BTreeMap<OrderLineId, Qty> = BTreeMap::new();
    for arrival in came {
        let part = stock.part(arrival.part)?;
        let value = match &arrival.ordered {
            None if delivery.owner.is_some() => Money::ZERO,
            None => arrival.cost,
            Some(ordered) => {
                let before = on_line.entry(ordered.line).or_default();
                let value = share_of_order(stock, delivery.over, ordered, (*before, arrival.qty), part)?;
                *before += arrival.qty;
                value
            }
        };
        let (expiry, how) = last_day(part, arrival)?;
        let made = arrival.made.as_ref();
        let new = NewLot {
            owner: delivery.owner,
            batch: arrival.batch.clone(),
            maker: arrival.maker.clone(),
            made: made.map(|made| made.says.last.min(came_on)),
            expiry,
            expiry_how: how,
            order_line: arrival.ordered.as_ref().map(|ordered| ordered.line),
            ..NewLot::default()
        };
        for piece in pieces(arrival, part, value)? {
            draft.take_in(delivery, arrival, &new, &piece)?;
        }
    }
    draft.finish()
}

/// What becomes one lot: all that came, or one piece with its serial.
struct Piece<'a> {
    serial: Option<&'a Serial>,
    qty: Qty,
    value: Money,
}

impl Draft {
    /// Books one lot in: a new one, or the one that a serial is already.
    fn take_in(
        &mut self,
        delivery: Delivery,
        arrival: &Arrival,
        new: &NewLot,
        piece: &Piece<'_>,
    ) -> Result<(), Refusal> {
        let birth = Birth {
            movement: Movement::BookIn,
            part: arrival.part,
            lot: NewLot {
                size: piece.serial.map(|_| piece.qty),
                serial: piece.serial.map(|serial| serial.serial.clone()),
                ..new.clone()
            },
            from: delivery.from,
            to: delivery.to,
            qty: piece.qty,
            value: piece.value,
            line: None,
        };
        let lot = match piece.serial.and_then(|serial| serial.known) {
            Some(known) => self.back_again(known, delivery)?,
            None => self.new_lot(birth.part, birth.lot.clone(), false)?,
        };
        self.bear(lot, &birth)?;
        match arrival.held {
            None => Ok(()),
            Some(cage) => self.go(&Move::new(
                Movement::Quarantine,
                lot,
                delivery.to,
                cage,
                piece.qty,
            )),
        }
    }

    /// A serial that the stores had before: it stands nowhere in the house or on an engine now, and is whose it was.
    fn back_again(&self, known: LotId, delivery: Delivery) -> Result<LotId, Refusal> {
        let lot = self.stock.lot(known)?;
        let stands = self
            .stock
            .places_of(known)
            .any(|(place, balance)| !place.may_be_owed() && balance.qty.is_positive());
        if stands {
            return Err(Refusal::SecondBirth {
                lot: lot.number.clone(),
            });
        }
        if lot.owner != delivery.owner {
            return Err(Refusal::MixedOwners {
                lot: lot.number.clone(),
            });
        }
        Ok(known)
    }
}

/// What goods that come in on an order line cost: the line's value is shared so that all that was ordered adds up to
/// it, however often it comes. What comes over the order is not paid for until somebody says so.
fn share_of_order(
    stock: &Stock,
    over: bool,
    ordered: &Ordered,
    (before, came): (Qty, Qty),
    part: &Part,
) -> Result<Money, Refusal> {
    let line = stock.order(ordered.line)?;
    let arrived = line.arrived + before;
    let open = (line.ordered - line.closed - arrived).max(Qty::ZERO);
    if came > open && !over {
        return Err(Refusal::MoreThanOrdered {
            order: line.order.clone(),
            n: ordered.n,
            open,
            came,
            unit: part.unit.to_string(),
        });
    }
    let upto = |qty: Qty| share(ordered.value, ordered.ordered, qty.min(ordered.ordered));
    Ok(upto(arrived + came) - upto(arrived))
}

/// The last day and how it is known: printed, or worked out of the day it was made.
fn last_day(part: &Part, arrival: &Arrival) -> Result<(Option<Day>, Option<String>), Refusal> {
    if let Some((day, how)) = &arrival.expiry {
        return Ok((Some(*day), Some(how.clone())));
    }
    let Some(lasts) = &arrival.lasts else {
        return Ok((None, None));
    };
    let Some(made) = &arrival.made else {
        return match lasts.without_limit() {
            Some(how) => Ok((None, Some(how))),
            None => Err(Refusal::NoLastDay {
                part: part.number.clone(),
                life: lasts.told(),
            }),
        };
    };
    let (last, how) = lasts.end_of(&part.number, made)?;
    Ok((last, Some(how)))
}

/// One piece for each serial, its share of the cost with it; all that came in one where there are none.
fn pieces<'a>(arrival: &'a Arrival, part: &Part, value: Money) -> Result<Vec<Piece<'a>>, Refusal> {
    if arrival.serials.is_empty() {
        return Ok(vec![Piece {
            serial: None,
            qty: arrival.qty,
            value,
        }]);
    }
    let count = i64::try_from(arrival.serials.len()).unwrap_or(i64::MAX);
    if Qty::whole(count) != arrival.qty {
        return Err(Refusal::Impossible {
            what: part.number.clone(),
            because: format!("{} came and {count} serials were given", arrival.qty),
        });
    }
    let one = Qty::whole(1);
    let (mut left, mut value_left) = (arrival.qty, value);
    let mut found = Vec::new();
    for serial in &arrival.serials {
        let value = share(value_left, left, one);
        left -= one;
        value_left -= value;
        found.push(Piece {
            serial: Some(serial),
            qty: one,
            value,
        });
    }
    Ok(found)
}
