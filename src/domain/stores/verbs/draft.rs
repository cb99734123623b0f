//! A document being drawn up: the facts as they stand after what it has written so far, and the posting itself.

use crate::domain::measure::{Money, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{HoldId, LayerId, LineId, LotId, OrderLineId, PartId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::lot::{Lot, NEW, NewLot};
use crate::domain::stores::posting::{Claim, Entry, Held, HoldRow, NewLayer, Posting, Source, Why};
use crate::domain::stores::stock::{Layer, Position, Stock};
use std::collections::BTreeSet;
use std::sync::Arc;

/// A document being drawn up.
pub struct Draft {
    /// The facts as they stand after what was written so far.
    pub stock: Stock,
    /// What was written so far.
    pub posting: Posting,
    /// Lots whose claims must be looked at before the document is done.
    pub touched_lots: BTreeSet<LotId>,
    /// Lines whose claims must be looked at.
    pub touched_lines: BTreeSet<LineId>,
    /// Order lines whose pegs must be looked at.
    pub touched_orders: BTreeSet<OrderLineId>,
    /// Lots that a chosen movement left, so that claims on them refuse the document instead of being stripped.
    pub chosen_lots: BTreeSet<LotId>,
}

impl Draft {
    /// A document that writes nothing yet, on these facts.
    pub fn new(stock: &Stock, head: Head) -> Draft {
        Draft::over(stock.clone(), head)
    }

    /// The same on facts that nobody else needs as they were.
    pub fn over(stock: Stock, head: Head) -> Draft {
        Draft {
            stock,
            posting: Posting::new(head),
            touched_lots: BTreeSet::new(),
            touched_lines: BTreeSet::new(),
            touched_orders: BTreeSet::new(),
            chosen_lots: BTreeSet::new(),
        }
    }

    /// Makes a lot and gives it its number.
    pub fn new_lot(&mut self, part: PartId, new: NewLot, child: bool) -> Result<LotId, Refusal> {
        // A serial is one thing and moves only whole, though nobody said so.
        let size = new.size.or(new.serial.as_ref().map(|_| Qty::whole(1)));
        let serial = self.stock.next.lot;
        let number = crate::domain::measure::number::lot_number(serial).ok_or(Refusal::Unread {
            what: "lot number",
            id: serial,
        })?;
        self.stock.next.lot = crate::domain::measure::number::next_lot_serial(serial);
        let specific = child
            || new.owner.is_some()
            || size.is_some()
            || new.opened.is_some()
            || new.off_engine.is_some();
        let id = LotId(serial);
        let lot = Arc::new(Lot {
            id,
            number,
            part,
            child,
            pending: new.pending,
            owner: new.owner,
            size,
            specific,
            off_engine: new.off_engine,
            batch: new.batch,
            serial: new.serial,
            maker: new.maker,
            condition: if new.condition.is_empty() {
                NEW.to_owned()
            } else {
                new.condition
            },
            made: new.made,
            opened: new.opened,
            expiry: new.expiry,
            expiry_how: new.expiry_how,
            order_line: new.order_line,
            document: crate::domain::stores::ids::DocId(self.stock.next.document),
        });
        self.stock.part(part)?;
        self.stock.lots.insert(id, Arc::clone(&lot));
        self.stock.positions.insert(id, Position::default());
        self.stock.unaccepted.insert(id, Qty::ZERO);
        self.posting.lots.push(lot);
        Ok(id)
    }

    /// Opens a cost layer.
    pub fn new_layer(&mut self, part: PartId, lot: Option<LotId>, shared: bool) -> LayerId {
        let id = LayerId(self.stock.next.layer);
        self.stock.next.layer += 1;
        let layer = Layer {
            id,
            part,
            lot,
            shared,
            qty: Qty::ZERO,
            value: Money::ZERO,
        };
        self.stock.layers.insert(layer);
        self.posting.layers.push(NewLayer {
            id,
            part,
            lot,
            shared,
        });
        id
    }

    /// Writes one line of a bin card and carries it into balances, positions, layers and line counters.
    pub fn shift(&mut self, entry: Entry) -> Result<(), Refusal> {
        self.carry(entry.lot, entry.from, -entry.qty, -entry.value)?;
        self.carry(entry.lot, entry.to, entry.qty, entry.value)?;
        if let Some(id) = entry.layer {
            let into = entry.to.is(Kind::Shelf);
            let (qty, value) = if into {
                (entry.qty, entry.value)
            } else {
                (-entry.qty, -entry.value)
            };
            if !self.stock.layers.add(id, qty, value) {
                return Err(Refusal::Unread {
                    what: "cost layer",
                    id: id.0,
                });
            }
        }
        if entry.movement != Movement::LateCost && entry.movement != Movement::Sold {
            self.count_on_line(entry.from, entry.from_line, -entry.qty)?;
            self.count_on_line(entry.to, entry.to_line, entry.qty)?;
        }
        self.touched_lots.insert(entry.lot);
        self.posting.entries.push(entry);
        Ok(())
    }

    /// Carries a quantity and a value into what a lot has at a place.
    fn carry(&mut self, lot: LotId, place: PlaceId, qty: Qty, value: Money) -> Result<(), Refusal> {
        let counts = self.stock.counts_as_pickable(lot, place);
        let balance = self.stock.balances.entry((lot, place)).or_default();
        balance.qty += qty;
        if !place.is(Kind::Shelf) {
            balance.value += value;
        }
        if counts {
            let position = self.stock.positions.get_mut(&lot);
            position
                .ok_or(Refusal::Unread {
                    what: "position of lot",
                    id: lot.0,
                })?
                .pickable += qty;
        }
        Ok(())
    }

    /// Carries a quantity into the counters of a job line.
    fn count_on_line(&mut self, place: PlaceId, line: Option<i64>, qty: Qty) -> Result<(), Refusal> {
        let (Some(id), true) = (line, Entry::counts_on_line(place)) else {
            return Ok(());
        };
        let line = self
            .stock
            .lines
            .get_mut(&LineId(id))
            .ok_or(Refusal::Unread { what: "job line", id })?;
        let counter = if place.is(Kind::Kit) {
            &mut line.kitted
        } else {
            &mut line.fitted
        };
        *counter += qty;
        if *counter < Qty::ZERO {
            let (n, job) = (line.n, line.job);
            return Err(Refusal::UnderLine {
                job: self.stock.job(job)?.number.clone(),
                n,
            });
        }
        self.touched_lines.insert(LineId(id));
        Ok(())
    }

    /// Makes (+) or ends (−) a claim.
    pub fn claim(&mut self, line: LineId, source: Source, qty: Qty, why: Why) -> Result<(), Refusal> {
        if qty.is_zero() {
            return Ok(());
        }
        self.stock.claims.add(line, source, qty);
        let counters = self.stock.lines.get_mut(&line).ok_or(Refusal::Unread {
            what: "job line",
            id: line.0,
        })?;
        match source {
            Source::Lot(lot) => {
                counters.reserved += qty;
                let position = self.stock.positions.get_mut(&lot);
                position
                    .ok_or(Refusal::Unread {
                        what: "position of lot",
                        id: lot.0,
                    })?
                    .reserved += qty;
                self.touched_lots.insert(lot);
            }
            Source::Order(order) => {
                counters.pegged += qty;
                let pegged = self.stock.orders.get_mut(&order);
                pegged
                    .ok_or(Refusal::Unread {
                        what: "order line",
                        id: order.0,
                    })?
                    .pegged += qty;
                self.touched_orders.insert(order);
            }
        }
        self.touched_lines.insert(line);
        self.posting.claims.push(Claim {
            line,
            source,
            qty,
            why,
        });
        Ok(())
    }

    /// Puts a hold on, or lifts one, and carries it into what may be picked.
    pub fn hold_row(&mut self, on: Held, cause: &str, lifts: Option<HoldId>) -> Result<HoldId, Refusal> {
        let id = HoldId(self.stock.next.hold);
        self.stock.next.hold += 1;
        let step = if lifts.is_none() { 1 } else { -1 };
        match on {
            Held::Lot(lot) => {
                let position = self.stock.positions.get_mut(&lot);
                position
                    .ok_or(Refusal::Unread {
                        what: "position of lot",
                        id: lot.0,
                    })?
                    .held += step;
                self.count_pickable(lot)?;
            }
            Held::Place(place) => {
                let found = self.stock.places.get_mut(&place);
                found
                    .ok_or(Refusal::Unread {
                        what: "place",
                        id: place.0,
                    })?
                    .held += step;
                let lots: Vec<LotId> = self
                    .stock
                    .balances
                    .keys()
                    .filter(|(_, p)| *p == place)
                    .map(|(lot, _)| *lot)
                    .collect();
                for lot in lots {
                    self.count_pickable(lot)?;
                }
            }
        }
        match lifts {
            None => self.stock.holds.push(crate::domain::stores::stock::LiveHold {
                id,
                on,
                cause: cause.to_owned(),
                document: crate::domain::stores::ids::DocId(self.stock.next.document),
            }),
            Some(lifted) => self.stock.holds.retain(|hold| hold.id != lifted),
        }
        self.posting.holds.push(HoldRow {
            id,
            on,
            cause: cause.to_owned(),
            lifts,
        });
        Ok(id)
    }

    /// Counts anew what of a lot may be picked.
    fn count_pickable(&mut self, lot: LotId) -> Result<(), Refusal> {
        let pickable = self
            .stock
            .places_of(lot)
            .filter(|(place, _)| self.stock.counts_as_pickable(lot, *place))
            .map(|(_, balance)| balance.qty)
            .sum();
        let position = self.stock.positions.get_mut(&lot);
        position
            .ok_or(Refusal::Unread {
                what: "position of lot",
                id: lot.0,
            })?
            .pickable = pickable;
        self.touched_lots.insert(lot);
        Ok(())
    }
}
