//! Wider working sets: everything of a part, a place, a family of lots, all shelves.

use super::Gather;
use crate::db::error::Error;
use crate::db::value::values;
use crate::domain::stores::ids::{JobId, LotId, OrderId, OrderLineId, PartId, PlaceId};
use crate::domain::stores::law::Kind;

impl Gather<'_, '_> {
    /// The order lines of a part on which something is still to come.
    pub fn on_order(&mut self, part: PartId) -> Result<(), Error> {
        let sql = "SELECT id FROM order_line WHERE part = $1 AND ordered - closed > accepted ORDER BY id";
        for row in self.books.rows(sql, &values![part.0])? {
            self.order_line(OrderLineId(row.int(0)?))?;
        }
        Ok(())
    }

    /// The state of an order.
    pub fn supplier_order(&mut self, id: OrderId) -> Result<(), Error> {
        let sql = "SELECT state FROM supplier_order WHERE id = $1";
        if let Some(row) = self.books.row(sql, &values![id.0])? {
            self.stock.order_states.insert(id, row.text(0)?);
        }
        Ok(())
    }

    /// Every lot of a part that may be picked or lies in the house.
    pub fn lots_of_part(&mut self, part: PartId) -> Result<(), Error> {
        self.part(part)?;
        let sql = "SELECT l.id FROM lot l WHERE l.part = $1 AND EXISTS (SELECT 1 FROM balance b WHERE b.lot = l.id \
                   AND b.place < 20000000 AND b.qty > 0) ORDER BY l.id";
        for row in self.books.rows(sql, &values![part.0])? {
            self.lot(LotId(row.int(0)?))?;
        }
        Ok(())
    }

    /// A place with every lot that has anything there.
    pub fn place_with_lots(&mut self, place: PlaceId) -> Result<(), Error> {
        self.place(place)?;
        let sql = "SELECT lot FROM balance WHERE place = $1 AND (qty <> 0 OR value <> 0)";
        for row in self.books.rows(sql, &values![place.0])? {
            self.lot(LotId(row.int(0)?))?;
        }
        Ok(())
    }

    /// A lot with all that was made of it, and the jobs on whose engines any of it lies.
    pub fn family(&mut self, lot: LotId) -> Result<(), Error> {
        let mut queue = vec![lot];
        while let Some(member) = queue.pop() {
            self.lot(member)?;
            queue.extend(self.stock.children.get(&member).into_iter().flatten());
        }
        let engines: Vec<PlaceId> = self
            .stock
            .places
            .keys()
            .filter(|p| p.is(Kind::Engine))
            .copied()
            .collect();
        for engine in engines {
            for row in self
                .books
                .rows("SELECT id FROM job WHERE engine = $1", &values![engine.0])?
            {
                self.job(JobId(row.int(0)?))?;
            }
        }
        Ok(())
    }

    /// An engine with every lot on it and every job it is or was for.
    pub fn engine(&mut self, engine: PlaceId) -> Result<(), Error> {
        self.place_with_lots(engine)?;
        let sql = "SELECT id FROM job WHERE engine = $1";
        for row in self.books.rows(sql, &values![engine.0])? {
            self.job(JobId(row.int(0)?))?;
        }
        Ok(())
    }

    /// A job with its lines and everything in its kit, in its crate and on its engine.
    pub fn job_with_goods(&mut self, id: JobId) -> Result<(), Error> {
        self.job(id)?;
        let job = self.stock.jobs.get(&id);
        let places = job.map(|job| [Some(job.kit), job.crate_place, Some(job.engine)]);
        for place in places.into_iter().flatten().flatten() {
            self.place_with_lots(place)?;
        }
        Ok(())
    }

    /// The lots that were sent out for a job, from its kit or in a document of its own, back or not.
    pub fn sent_out_for(&mut self, job: JobId) -> Result<Vec<LotId>, Error> {
        // A document's lines are a range of numbers, and what left the kit lay in it: neither reads all cards.
        let sql = "SELECT e.lot FROM document d JOIN entry e ON e.id >= d.first_entry AND e.id < d.first_entry + d.entries \
                   WHERE d.job = $1 AND e.law / 10000 = 27 \
                   UNION SELECT e.lot FROM job j JOIN balance b ON b.place = j.kit JOIN entry e ON e.lot = b.lot \
                   JOIN job_line n ON n.id = e.from_line \
                   WHERE j.id = $1 AND n.job = $1 AND e.law / 10000 = 27 ORDER BY 1";
        let mut lots = Vec::new();
        for row in self.books.rows(sql, &values![job.0])? {
            let lot = LotId(row.int(0)?);
            self.lot(lot)?;
            lots.push(lot);
        }
        Ok(lots)
    }

    /// Every lot that lies on a shelf.
    pub fn shelves(&mut self) -> Result<(), Error> {
        let sql = "SELECT DISTINCT lot FROM balance WHERE place >= 2000000 AND place < 3000000 AND qty > 0";
        for row in self.books.rows(sql, &[])? {
            self.lot(LotId(row.int(0)?))?;
        }
        Ok(())
    }
}
