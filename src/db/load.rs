//! Facts handed to the domain: a working set gathered from the books, whole for everything it names.

mod wide;

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::facts::{self, certificate_columns, lot_columns, part_columns};
use crate::db::value::values;
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::ids::{
    CertificateId, DocId, HoldId, JobId, LayerId, LineId, LotId, OrderLineId, PartId, PlaceId,
};
use crate::domain::stores::posting::{Held, Source};
use crate::domain::stores::stock::{Balance, LiveHold, Method, Person, Position, Stock};
use std::collections::BTreeSet;
use std::sync::Arc;

/// Gathers a working set.
pub struct Gather<'a, 'b> {
    books: &'a Open<'b>,
    stock: Stock,
    whole_lots: BTreeSet<LotId>,
    whole_lines: BTreeSet<LineId>,
}

impl<'a, 'b> Gather<'a, 'b> {
    /// Begins a working set for a document of this day, written on the day of the clock by this person.
    pub fn begin(books: &'a Open<'b>, day: Day, today: Day, person: Person) -> Result<Self, Error> {
        let word = books.setting("method")?.unwrap_or_default();
        let method = Method::from_word(&word).ok_or(Error::Strange {
            what: "method",
            found: word,
        })?;
        let mut stock = Stock::empty(day, today, method, person);
        let next = books.row(
            "SELECT (SELECT COALESCE(MAX(id), 0) FROM lot), (SELECT COALESCE(MAX(id), 0) + 1 FROM layer), \
             (SELECT COALESCE(MAX(id), 0) + 1 FROM hold), (SELECT COALESCE(MAX(id), 0) + 1 FROM document), \
             (SELECT COALESCE(MAX(id), 0) + 1 FROM certificate_lot)",
            &[],
        )?;
        if let Some(row) = next {
            stock.next.lot = crate::domain::measure::number::next_lot_serial(row.int(0)?);
            stock.next.layer = row.int(1)?;
            stock.next.hold = row.int(2)?;
            stock.next.document = row.int(3)?;
            stock.next.draw = row.int(4)?;
        }
        Ok(Gather {
            books,
            stock,
            whole_lots: BTreeSet::new(),
            whole_lines: BTreeSet::new(),
        })
    }

    /// The working set.
    pub fn done(self) -> Stock {
        self.stock
    }

    /// The working set so far.
    pub fn so_far(&self) -> &Stock {
        &self.stock
    }

    /// A part with its live layers.
    pub fn part(&mut self, id: PartId) -> Result<(), Error> {
        if self.stock.parts.contains_key(&id) {
            return Ok(());
        }
        let sql = concat!("SELECT ", part_columns!(), " FROM part p WHERE p.id = $1");
        if let Some(row) = self.books.row(sql, &values![id.0])? {
            self.stock.parts.insert(id, facts::part(&row)?);
        }
        // A lot's own layer comes with the lot; a part may have thousands of them.
        if self.stock.method != Method::Actual {
            self.layers(
                "SELECT id, part, lot, shared, qty, value FROM layer WHERE part = $1 AND shared = 1 AND qty > 0",
                id.0,
            )?;
        }
        self.layers(
            "SELECT id, part, lot, shared, qty, value FROM layer WHERE part = $1 AND shared = 1 AND lot IS NULL",
            id.0,
        )
    }

    fn layers(&mut self, sql: &str, id: i64) -> Result<(), Error> {
        for row in self.books.rows(sql, &values![id])? {
            let layer = facts::layer(&row)?;
            self.stock.layers.insert(layer);
        }
        Ok(())
    }

    /// One layer, empty or not.
    pub fn layer(&mut self, id: LayerId) -> Result<(), Error> {
        self.layers(
            "SELECT id, part, lot, shared, qty, value FROM layer WHERE id = $1",
            id.0,
        )
    }

    /// A certificate with its part.
    pub fn certificate(&mut self, id: CertificateId) -> Result<(), Error> {
        let sql = concat!(
            "SELECT ",
            certificate_columns!(),
            " FROM certificate c WHERE c.id = $1"
        );
        if let Some(row) = self.books.row(sql, &values![id.0])? {
            let certificate = facts::certificate(&row)?;
            if let Some(part) = certificate.part {
                self.part(part)?;
            }
            self.stock.certificates.insert(id, certificate);
        }
        Ok(())
    }

    /// A place with the live holds on it.
    pub fn place(&mut self, id: PlaceId) -> Result<(), Error> {
        if self.stock.places.contains_key(&id) {
            return Ok(());
        }
        let sql = "SELECT id, code, name, walk, owner, held FROM place WHERE id = $1";
        if let Some(row) = self.books.row(sql, &values![id.0])? {
            let place = facts::place(&row)?;
            let held = place.held;
            self.stock.places.insert(id, place);
            if held > 0 {
                self.holds(
                    "SELECT h.id, h.lot, h.place, h.cause, h.lifts, h.document FROM hold h WHERE h.place = $1 \
                     AND h.lifts IS NULL AND NOT EXISTS (SELECT 1 FROM hold x WHERE x.lifts = h.id)",
                    id.0,
                )?;
            }
        }
        Ok(())
    }

    fn holds(&mut self, sql: &str, id: i64) -> Result<(), Error> {
        for row in self.books.rows(sql, &values![id])? {
            let (hold, document) = (facts::hold(&row)?, DocId(row.int(5)?));
            if !self.stock.holds.iter().any(|live| live.id == hold.id) {
                self.stock.holds.push(LiveHold {
                    id: hold.id,
                    on: hold.on,
                    cause: hold.cause,
                    document,
                });
            }
        }
        Ok(())
    }

    /// The live hold of this number with what it lies on.
    pub fn hold(&mut self, id: HoldId) -> Result<(), Error> {
        self.holds(
            "SELECT h.id, h.lot, h.place, h.cause, h.lifts, h.document FROM hold h WHERE h.id = $1 \
             AND h.lifts IS NULL AND NOT EXISTS (SELECT 1 FROM hold x WHERE x.lifts = h.id)",
            id.0,
        )?;
        let on = self
            .stock
            .holds
            .iter()
            .find(|hold| hold.id == id)
            .map(|hold| hold.on);
        match on {
            Some(Held::Lot(lot)) => self.lot(lot),
            Some(Held::Place(place)) => self.place_with_lots(place),
            None => Ok(()),
        }
    }

    /// What is needed of a lot that only serves a line as well: its facts and position, no balances.
    fn lot_in_passing(&mut self, id: LotId) -> Result<(), Error> {
        if self.stock.lots.contains_key(&id) {
            return Ok(());
        }
        let sql = concat!("SELECT ", lot_columns!(), " FROM lot l WHERE l.id = $1");
        let Some(row) = self.books.row(sql, &values![id.0])? else {
            return Ok(());
        };
        let lot = facts::lot(&row)?;
        self.part(lot.part)?;
        if let Some(owner) = lot.owner {
            self.place(owner)?;
        }
        self.stock.lots.insert(id, Arc::new(lot));
        let sql = "SELECT pickable, reserved, held FROM lot_position WHERE lot = $1";
        if let Some(row) = self.books.row(sql, &values![id.0])? {
            let position = Position {
                pickable: row.qty(0)?,
                reserved: row.qty(1)?,
                held: row.int(2)?,
            };
            self.stock.positions.insert(id, position);
            if position.held > 0 {
                self.holds(
                    "SELECT h.id, h.lot, h.place, h.cause, h.lifts, h.document FROM hold h WHERE h.lot = $1 \
                     AND h.lifts IS NULL AND NOT EXISTS (SELECT 1 FROM hold x WHERE x.lifts = h.id)",
                    id.0,
                )?;
            }
        }
        Ok(())
    }

    /// A lot, whole: where it lies, who has claims on it, its layers, holds, order line and what was made of it.
    pub fn lot(&mut self, id: LotId) -> Result<(), Error> {
        if !self.whole_lots.insert(id) {
            return Ok(());
        }
        self.lot_in_passing(id)?;
        let sql = "SELECT place, qty, value FROM balance WHERE lot = $1";
        for row in self.books.rows(sql, &values![id.0])? {
            let place = PlaceId(row.int(0)?);
            self.place(place)?;
            self.stock.balances.insert(
                (id, place),
                Balance {
                    qty: row.qty(1)?,
                    value: row.money(2)?,
                },
            );
        }
        self.layers(
            "SELECT id, part, lot, shared, qty, value FROM layer WHERE lot = $1 AND shared = 0",
            id.0,
        )?;
        let sql = "SELECT line, SUM(qty) FROM claim WHERE lot = $1 GROUP BY line HAVING SUM(qty) <> 0";
        for row in self.books.rows(sql, &values![id.0])? {
            self.claim_line(LineId(row.int(0)?), Source::Lot(id), row.qty(1)?)?;
        }
        let order = self.stock.lots.get(&id).and_then(|lot| lot.order_line);
        if let Some(order) = order {
            self.order_line(order)?;
            self.unaccepted(id)?;
        }
        for row in self
            .books
            .rows("SELECT lot FROM lot_parent WHERE parent = $1", &values![id.0])?
        {
            let children = self.stock.children.entry(id).or_default();
            children.push(LotId(row.int(0)?));
        }
        Ok(())
    }

    /// How much of what was booked in of a lot was never accepted.
    fn unaccepted(&mut self, id: LotId) -> Result<(), Error> {
        let row = self.books.row(
            "SELECT COALESCE(SUM(CASE WHEN law / 10000 = 1 THEN qty WHEN law / 10000 = 3 THEN -qty \
               WHEN to_place >= 30000000 THEN -qty ELSE qty END), 0) FROM entry \
             WHERE lot = $1 AND ((law / 10000 IN (1, 3) AND from_line IS NOT NULL) \
               OR (law / 10000 = 90 AND to_line IS NOT NULL AND to_place / 1000000 NOT IN (6, 20)))",
            &values![id.0],
        )?;
        let never = row.map_or(Ok(Qty::ZERO), |row| row.qty(0))?;
        self.stock.unaccepted.insert(id, never);
        Ok(())
    }

    /// Notes a claim that stands, with the line it serves.
    fn claim_line(&mut self, line: LineId, source: Source, qty: Qty) -> Result<(), Error> {
        self.line_in_passing(line)?;
        let known = self.stock.claims.of(line, source);
        self.stock.claims.add(line, source, qty - known);
        Ok(())
    }

    /// What is needed of a line that shares a lot: its facts and its job's.
    fn line_in_passing(&mut self, id: LineId) -> Result<(), Error> {
        if self.stock.lines.contains_key(&id) {
            return Ok(());
        }
        let sql = "SELECT id, job, n, part, allows, dropped, need, most, reserved, pegged, kitted, fitted, document \
                   FROM job_line WHERE id = $1";
        let Some(row) = self.books.row(sql, &values![id.0])? else {
            return Ok(());
        };
        let line = facts::line(&row)?;
        self.part(line.part)?;
        self.job_in_passing(line.job)?;
        self.stock.lines.insert(id, line);
        Ok(())
    }

    fn job_in_passing(&mut self, id: JobId) -> Result<(), Error> {
        if self.stock.jobs.contains_key(&id) {
            return Ok(());
        }
        let sql = "SELECT id, number, bill, choices, tag, kit, crate, engine, customer, list, use_day, priority, \
                   state, document FROM job WHERE id = $1";
        let Some(row) = self.books.row(sql, &values![id.0])? else {
            return Ok(());
        };
        let job = facts::job(&row)?;
        for place in [Some(job.kit), job.crate_place, Some(job.engine), job.customer]
            .into_iter()
            .flatten()
        {
            self.place(place)?;
        }
        self.stock.jobs.insert(id, job);
        Ok(())
    }

    /// A job line, whole: with every claim it has.
    pub fn line(&mut self, id: LineId) -> Result<(), Error> {
        if !self.whole_lines.insert(id) {
            return Ok(());
        }
        self.line_in_passing(id)?;
        let sql = "SELECT lot, order_line, SUM(qty) FROM claim WHERE line = $1 GROUP BY lot, order_line \
                   HAVING SUM(qty) <> 0";
        for row in self.books.rows(sql, &values![id.0])? {
            let source = facts::source(row.maybe_int(0)?, row.maybe_int(1)?)?;
            match source {
                Source::Lot(lot) => self.lot_in_passing(lot)?,
                Source::Order(order) => self.order_in_passing(order)?,
            }
            self.claim_line(id, source, row.qty(2)?)?;
        }
        Ok(())
    }

    /// A job with all its lines.
    pub fn job(&mut self, id: JobId) -> Result<(), Error> {
        self.job_in_passing(id)?;
        for row in self.books.rows(
            "SELECT id FROM job_line WHERE job = $1 ORDER BY n",
            &values![id.0],
        )? {
            self.line(LineId(row.int(0)?))?;
        }
        Ok(())
    }

    fn order_in_passing(&mut self, id: OrderLineId) -> Result<(), Error> {
        if self.stock.orders.contains_key(&id) {
            return Ok(());
        }
        let sql = "SELECT l.id, o.number, l.part, l.ordered, l.closed, l.arrived, l.accepted, l.pegged, l.promised \
                   FROM order_line l JOIN supplier_order o ON o.id = l.supplier_order WHERE l.id = $1";
        if let Some(row) = self.books.row(sql, &values![id.0])? {
            let line = facts::order_line(&row)?;
            self.part(line.part)?;
            self.stock.orders.insert(id, line);
        }
        Ok(())
    }

    /// An order line, whole: with every promise on it.
    pub fn order_line(&mut self, id: OrderLineId) -> Result<(), Error> {
        self.order_in_passing(id)?;
        let sql = "SELECT line, SUM(qty) FROM claim WHERE order_line = $1 GROUP BY line HAVING SUM(qty) <> 0";
        for row in self.books.rows(sql, &values![id.0])? {
            self.claim_line(LineId(row.int(0)?), Source::Order(id), row.qty(1)?)?;
        }
        Ok(())
    }
}
