//! One movement of goods, judged by the law: who may, from where to where, on hold, in date, whole, owned, valued.

use crate::domain::measure::{Money, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{LayerId, LineId, LotId, OrderLineId, PlaceId};
use crate::domain::stores::law::{self, Kind, Law, Movement};
use crate::domain::stores::posting::{Entry, Held};
use crate::domain::stores::stock::Balance;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::papers::authorised;
use crate::domain::stores::verbs::value::{Pool, draw, lasting_layer, pool_of, share};

/// One movement of goods as it is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Move {
    /// What happens.
    pub movement: Movement,
    /// Which lot.
    pub lot: LotId,
    /// The place that gives.
    pub from: PlaceId,
    /// The place that receives.
    pub to: PlaceId,
    /// How much.
    pub qty: Qty,
    /// The job line that gives.
    pub from_line: Option<LineId>,
    /// The job line that receives.
    pub to_line: Option<LineId>,
    /// The order line that goods were booked in on.
    pub order_line: Option<OrderLineId>,
    /// The value, where the law lets it be stated.
    pub value: Option<Money>,
}

impl Move {
    /// A movement with no line and no stated value.
    pub fn new(movement: Movement, lot: LotId, from: PlaceId, to: PlaceId, qty: Qty) -> Move {
        Move {
            movement,
            lot,
            from,
            to,
            qty,
            from_line: None,
            to_line: None,
            order_line: None,
            value: None,
        }
    }

    /// The same, taken off a job line.
    pub fn off(self, line: LineId) -> Move {
        Move {
            from_line: Some(line),
            ..self
        }
    }

    /// The same, put on a job line.
    pub fn onto(self, line: LineId) -> Move {
        Move {
            to_line: Some(line),
            ..self
        }
    }

    /// The same, at a stated value.
    pub fn at(self, value: Money) -> Move {
        Move {
            value: Some(value),
            ..self
        }
    }
}

/// A quantity, its value and the layer it came from or goes to.
type Priced = (Qty, Money, Option<LayerId>);

impl Draft {
    /// Judges one movement by the law and writes its lines of the bin cards.
    pub fn enter(&mut self, asked: Move) -> Result<(), Refusal> {
        self.judge(&asked)?;
        self.write(&asked)
    }

    /// Judges one movement by the law.
    pub(super) fn judge(&self, asked: &Move) -> Result<(), Refusal> {
        let row = self.lawful(asked)?;
        self.judge_quantity(asked)?;
        self.judge_hold(asked, row)?;
        self.judge_lines(asked)?;
        self.judge_day(asked, row)?;
        self.judge_papers(asked)
    }

    /// Writes the lines of the bin cards of a movement that was judged.
    pub(super) fn write(&mut self, asked: &Move) -> Result<(), Refusal> {
        let (from_line, to_line) = self.entry_lines(asked)?;
        for (qty, value, layer) in self.price(asked)? {
            let Move {
                movement,
                lot,
                from,
                to,
                ..
            } = *asked;
            self.shift(Entry {
                movement,
                lot,
                from,
                to,
                from_line,
                to_line,
                qty,
                value,
                layer,
            })?;
        }
        if asked.movement.respects_claims() {
            self.chosen_lots.insert(asked.lot);
        }
        Ok(())
    }

    /// The law row of the movement, if there is one and the person may.
    fn lawful(&self, asked: &Move) -> Result<Law, Refusal> {
        let kind = |place: PlaceId| {
            place.kind().ok_or(Refusal::Unread {
                what: "kind of place",
                id: place.0,
            })
        };
        let (movement, from, to) = (asked.movement, kind(asked.from)?, kind(asked.to)?);
        let none = Refusal::NotLawful { movement, from, to };
        let row = law::find(movement, from, to).ok_or(none.clone())?;
        if asked.from == asked.to && !asked.qty.is_zero() {
            return Err(none);
        }
        authorised(&self.stock, row.who(), movement.word())?;
        Ok(row)
    }

    /// Something, in steps of the part, whole where it is a whole, and no more than there is.
    fn judge_quantity(&self, asked: &Move) -> Result<(), Refusal> {
        let lot = self.stock.lot(asked.lot)?;
        let part = self.stock.part(lot.part)?;
        if !asked.qty.is_positive() {
            return Err(Refusal::Nothing);
        }
        let there = self.stock.balance(asked.lot, asked.from).qty;
        if let Some(size) = lot.size
            && asked.qty != size
        {
            return Err(Refusal::Whole {
                lot: lot.number.clone(),
                size,
            });
        }
        if !asked.from.may_be_owed() && asked.qty > there {
            return Err(Refusal::TooMuch {
                lot: lot.number.clone(),
                place: self.stock.place(asked.from)?.code.clone(),
                asked: asked.qty,
                there,
                unit: part.unit.to_string(),
            });
        }
        let odd = asked.qty.millionths() % part.step.millionths() != 0;
        if odd && asked.qty != there {
            let (part, step, unit) = (part.number.clone(), part.step, part.unit.to_string());
            return Err(Refusal::Step { part, step, unit });
        }
        let stands = |(place, balance): (PlaceId, Balance)| place != asked.from && balance.qty.is_positive();
        if lot.size.is_some() && asked.from.may_be_owed() && self.stock.places_of(asked.lot).any(stands) {
            return Err(Refusal::SecondBirth {
                lot: lot.number.clone(),
            });
        }
        Ok(())
    }

    /// Nothing on hold goes where goods on hold may not.
    fn judge_hold(&self, asked: &Move, row: Law) -> Result<(), Refusal> {
        if row.while_held {
            return Ok(());
        }
        let on_lot = Held::Lot(asked.lot);
        if self.stock.position(asked.lot)?.held > 0 {
            let what = format!("lot {}", self.stock.lot(asked.lot)?.number);
            return Err(Refusal::OnHold {
                what,
                causes: self.stock.causes(on_lot),
            });
        }
        for place in [asked.from, asked.to] {
            let found = self.stock.place(place)?;
            if found.held > 0 {
                let causes = self.stock.causes(Held::Place(place));
                return Err(Refusal::OnHold {
                    what: format!("place {}", found.code),
                    causes,
                });
            }
        }
        Ok(())
    }

    /// Nothing dead goes where only usable goods may: judged on the latest of clock, document and day of use.
    fn judge_day(&self, asked: &Move, row: Law) -> Result<(), Refusal> {
        if !row.fresh {
            return Ok(());
        }
        let judged = match asked.to_line {
            Some(line) => self.stock.judged_for(self.stock.job_of(line)?),
            None => self.stock.latest_day(),
        };
        let lot = self.stock.lot(asked.lot)?;
        match lot.expiry {
            Some(last) if !lot.usable_on(judged) => Err(Refusal::Dead {
                lot: lot.number.clone(),
                part: self.stock.part(lot.part)?.number.clone(),
                last,
                judged,
            }),
            _ => Ok(()),
        }
    }

    /// What stands in the two line columns of the entry: job lines, or the order line on book in and first accept.
    fn entry_lines(&mut self, asked: &Move) -> Result<(Option<i64>, Option<i64>), Refusal> {
        let from_line = match (asked.movement, asked.order_line) {
            (Movement::BookIn, Some(order)) => {
                let line = self.stock.orders.get_mut(&order);
                line.ok_or(Refusal::Unread {
                    what: "order line",
                    id: order.0,
                })?
                .arrived += asked.qty;
                *self.stock.unaccepted.entry(asked.lot).or_default() += asked.qty;
                Some(order.0)
            }
            (Movement::Accept, Some(order)) => {
                let line = self.stock.orders.get_mut(&order);
                line.ok_or(Refusal::Unread {
                    what: "order line",
                    id: order.0,
                })?
                .accepted += asked.qty;
                *self.stock.unaccepted.entry(asked.lot).or_default() -= asked.qty;
                self.touched_orders.insert(order);
                Some(order.0)
            }
            _ => asked.from_line.map(|line| line.0),
        };
        Ok((from_line, asked.to_line.map(|line| line.0)))
    }

    /// What goes at what value from or to which layer.
    fn price(&mut self, asked: &Move) -> Result<Vec<Priced>, Refusal> {
        let shelf_from = asked.from.is(Kind::Shelf);
        let shelf_to = asked.to.is(Kind::Shelf);
        if shelf_from && shelf_to {
            return Ok(vec![(asked.qty, Money::ZERO, None)]);
        }
        if shelf_from {
            let draws = draw(&self.stock, asked.lot, asked.qty)?;
            return Ok(draws
                .into_iter()
                .map(|draw| (draw.qty, draw.value, Some(draw.layer)))
                .collect());
        }
        let value = self.value_off_shelf(asked)?;
        let layer = if shelf_to {
            Some(self.layer_to_feed(asked.lot)?)
        } else {
            None
        };
        Ok(vec![(asked.qty, value, layer)])
    }

    /// The value of goods that leave a place which is no shelf.
    fn value_off_shelf(&self, asked: &Move) -> Result<Money, Refusal> {
        let balance = self.stock.balance(asked.lot, asked.from);
        let lot = self.stock.lot(asked.lot)?;
        match asked.movement {
            Movement::BookIn | Movement::FittedEarly | Movement::BringForward => {
                let stated = asked.value.unwrap_or(Money::ZERO);
                if lot.owner.is_some() && !stated.is_zero() {
                    return Err(Refusal::OwnedValue {
                        lot: lot.number.clone(),
                    });
                }
                Ok(stated)
            }
            Movement::FoundFitted => Ok(Money::ZERO),
            Movement::TakeOff if asked.from.is(Kind::Customer) => Ok(Money::ZERO),
            Movement::PutBack if self.rest_stays_paid(asked)? => Ok(Money::ZERO),
            Movement::Open | Movement::MakeUp | Movement::Restate if asked.from.is(Kind::Making) => {
                Ok(asked.value.unwrap_or(Money::ZERO))
            }
            Movement::Gain if !balance.qty.is_positive() || balance.value.is_negative() => Ok(Money::ZERO),
            Movement::Gain => Ok(share(balance.value, balance.qty, asked.qty.min(balance.qty))),
            _ => Ok(share(balance.value, balance.qty, asked.qty)),
        }
    }

    /// Whether the job pays for whole packs and keeps some of this one: then the rest goes back at a stated nothing.
    fn rest_stays_paid(&self, asked: &Move) -> Result<bool, Refusal> {
        let whole_pack = self.stock.part_of(asked.lot)?.whole_pack;
        let all = asked.qty == self.stock.balance(asked.lot, asked.from).qty;
        Ok(whole_pack && !all && asked.value == Some(Money::ZERO))
    }

    /// The layer that goods of a lot feed as they come to a shelf.
    pub fn layer_to_feed(&mut self, lot: LotId) -> Result<LayerId, Refusal> {
        if let Some(layer) = lasting_layer(&self.stock, lot)? {
            return Ok(layer.id);
        }
        let part = self.stock.lot(lot)?.part;
        Ok(match pool_of(&self.stock, lot)? {
            Pool::Own => self.new_layer(part, Some(lot), false),
            Pool::ByAge => self.new_layer(part, Some(lot), true),
            Pool::Average => self.new_layer(part, None, true),
        })
    }
}
