//! Rows of the books turned into the domain's records, each in one place.

use crate::db::error::Error;
use crate::db::value::Row;
use crate::domain::acceptance::certificate::{Certificate, Draw, PaperKind};
use crate::domain::keeping::shelf_life::ShelfLife;
use crate::domain::kitting::job::{Job, JobState, Line};
use crate::domain::measure::{Life, Unit};
use crate::domain::stores::ids::{
    BillId, CertificateId, DocId, HoldId, JobId, LayerId, LineId, LotId, OrderLineId, PartId, PlaceId,
};
use crate::domain::stores::law::Movement;
use crate::domain::stores::lot::Lot;
use crate::domain::stores::part::Part;
use crate::domain::stores::place::Place;
use crate::domain::stores::posting::{Change, Claim, Entry, Field, Held, HoldRow, Source, Why};
use crate::domain::stores::stock::Layer;
use crate::domain::stores::supply::OrderLine;

/// The columns of a part as [`part`] reads them, of a table that the statement calls `p`.
macro_rules! part_columns {
    () => {
        "p.id, p.number, p.name, p.class, p.unit, p.step, p.hand_out, p.opened_life_days, p.bench_stock, p.critical, \
         p.pack_policy, p.life, (SELECT z.text FROM part_size z WHERE z.part = p.id AND z.name = 'opened life')"
    };
}
pub(super) use part_columns;

/// The columns of a lot as [`lot`] reads them, of a table that the statement calls `l`.
macro_rules! lot_columns {
    () => {
        "l.id, l.number, l.part, l.child, l.pending, l.owner, l.size, l.specific, l.off_engine, l.batch, l.serial, \
         l.maker, l.condition, l.made, l.opened, l.expiry, l.expiry_how, l.order_line, l.document"
    };
}
pub(super) use lot_columns;

/// A part: the columns of [`part_columns`].
pub fn part(row: &Row) -> Result<Part, Error> {
    let unit = row.text(4)?;
    Ok(Part {
        id: PartId(row.int(0)?),
        number: row.text(1)?,
        name: row.text(2)?,
        class: row.text(3)?,
        unit: Unit::parse(&unit).map_err(|_| Error::Strange {
            what: "unit",
            found: unit,
        })?,
        step: row.qty(5)?,
        hand_out: row.maybe_qty(6)?,
        life: row.maybe_text(11)?.map(shelf_life).transpose()?,
        opened_life: opened_life(row)?,
        bench_stock: row.flag(8)?,
        critical: row.flag(9)?,
        whole_pack: row.text(10)? == "whole",
    })
}

/// How long an opened pack lasts: in days, or as a text that says months.
fn opened_life(row: &Row) -> Result<Option<Life>, Error> {
    match (row.maybe_int(7)?, row.maybe_text(12)?) {
        (_, Some(text)) => read_life(text).map(Some),
        (Some(days), None) => u32::try_from(days)
            .map(|days| Some(Life::Days(days)))
            .map_err(|_| Error::Strange {
                what: "opened life",
                found: days.to_string(),
            }),
        (None, None) => Ok(None),
    }
}

fn shelf_life(text: String) -> Result<ShelfLife, Error> {
    ShelfLife::parse(&text).map_err(|_| Error::Strange {
        what: "shelf life",
        found: text,
    })
}

fn read_life(text: String) -> Result<Life, Error> {
    Life::parse(&text).map_err(|_| Error::Strange {
        what: "life",
        found: text,
    })
}

/// A place: id, code, name, walk, owner, held.
pub fn place(row: &Row) -> Result<Place, Error> {
    Ok(Place {
        id: PlaceId(row.int(0)?),
        code: row.text(1)?,
        name: row.text(2)?,
        walk: row.maybe_int(3)?,
        owner: row.maybe_int(4)?.map(PlaceId),
        held: row.int(5)?,
    })
}

/// A lot: the columns of [`lot_columns`], every one of the table in order.
pub fn lot(row: &Row) -> Result<Lot, Error> {
    Ok(Lot {
        id: LotId(row.int(0)?),
        number: row.text(1)?,
        part: PartId(row.int(2)?),
        child: row.flag(3)?,
        pending: row.flag(4)?,
        owner: row.maybe_int(5)?.map(PlaceId),
        size: row.maybe_qty(6)?,
        specific: row.flag(7)?,
        off_engine: row.maybe_int(8)?.map(PlaceId),
        batch: row.maybe_text(9)?,
        serial: row.maybe_text(10)?,
        maker: row.maybe_text(11)?,
        condition: row.text(12)?,
        made: row.maybe_day(13)?,
        opened: row.maybe_day(14)?,
        expiry: row.maybe_day(15)?,
        expiry_how: row.maybe_text(16)?,
        order_line: row.maybe_int(17)?.map(OrderLineId),
        document: DocId(row.int(18)?),
    })
}

/// A job: id, number, bill, choices, tag, kit, crate, engine, customer, list, use_day, priority, state, document.
pub fn job(row: &Row) -> Result<Job, Error> {
    let state = row.text(12)?;
    Ok(Job {
        id: JobId(row.int(0)?),
        number: row.text(1)?,
        bill: row.maybe_int(2)?.map(BillId),
        choices: row.text(3)?,
        tag: row.maybe_text(4)?,
        kit: PlaceId(row.int(5)?),
        crate_place: row.maybe_int(6)?.map(PlaceId),
        engine: PlaceId(row.int(7)?),
        customer: row.maybe_int(8)?.map(PlaceId),
        list: row.int(9)?,
        use_day: row.day(10)?,
        priority: row.int(11)?,
        state: JobState::from_word(&state).ok_or(Error::Strange {
            what: "job state",
            found: state,
        })?,
        document: DocId(row.int(13)?),
    })
}

/// A job line: id, job, n, part, allows, dropped, need, most, reserved, pegged, kitted, fitted, document.
pub fn line(row: &Row) -> Result<Line, Error> {
    Ok(Line {
        id: LineId(row.int(0)?),
        job: JobId(row.int(1)?),
        n: row.int(2)?,
        part: PartId(row.int(3)?),
        allows: row.text(4)?,
        dropped: row.flag(5)?,
        need: row.qty(6)?,
        most: row.qty(7)?,
        reserved: row.qty(8)?,
        pegged: row.qty(9)?,
        kitted: row.qty(10)?,
        fitted: row.qty(11)?,
        document: DocId(row.int(12)?),
    })
}

/// An order line: id, number of the order, part, ordered, closed, arrived, accepted, pegged, promised.
pub fn order_line(row: &Row) -> Result<OrderLine, Error> {
    Ok(OrderLine {
        id: OrderLineId(row.int(0)?),
        order: row.text(1)?,
        part: PartId(row.int(2)?),
        ordered: row.qty(3)?,
        closed: row.qty(4)?,
        arrived: row.qty(5)?,
        accepted: row.qty(6)?,
        pegged: row.qty(7)?,
        promised: row.maybe_day(8)?,
    })
}

/// A layer: id, part, lot, shared, qty, value.
pub fn layer(row: &Row) -> Result<Layer, Error> {
    Ok(Layer {
        id: LayerId(row.int(0)?),
        part: PartId(row.int(1)?),
        lot: row.maybe_int(2)?.map(LotId),
        shared: row.flag(3)?,
        qty: row.qty(4)?,
        value: row.money(5)?,
    })
}

/// An entry: law, lot, from_place, to_place, from_line, to_line, qty, value, layer.
pub fn entry(row: &Row) -> Result<Entry, Error> {
    let law = row.int(0)?;
    let movement = Movement::from_code(law / 10_000);
    Ok(Entry {
        movement: movement.ok_or(Error::Strange {
            what: "law",
            found: law.to_string(),
        })?,
        lot: LotId(row.int(1)?),
        from: PlaceId(row.int(2)?),
        to: PlaceId(row.int(3)?),
        from_line: row.maybe_int(4)?,
        to_line: row.maybe_int(5)?,
        qty: row.qty(6)?,
        value: row.money(7)?,
        layer: row.maybe_int(8)?.map(LayerId),
    })
}

/// A claim: line, lot, order_line, qty, why.
pub fn claim(row: &Row) -> Result<Claim, Error> {
    let why = row.text(4)?;
    Ok(Claim {
        line: LineId(row.int(0)?),
        source: source(row.maybe_int(1)?, row.maybe_int(2)?)?,
        qty: row.qty(3)?,
        why: Why::from_word(&why).ok_or(Error::Strange {
            what: "claim",
            found: why,
        })?,
    })
}

/// What a claim is on: a lot, or an order line.
pub fn source(lot: Option<i64>, order: Option<i64>) -> Result<Source, Error> {
    match (lot, order) {
        (Some(lot), None) => Ok(Source::Lot(LotId(lot))),
        (None, Some(order)) => Ok(Source::Order(OrderLineId(order))),
        other => Err(Error::Strange {
            what: "claim",
            found: format!("{other:?}"),
        }),
    }
}

/// A hold: id, lot, place, cause, lifts.
pub fn hold(row: &Row) -> Result<HoldRow, Error> {
    let on = match (row.maybe_int(1)?, row.maybe_int(2)?) {
        (Some(lot), None) => Held::Lot(LotId(lot)),
        (None, Some(place)) => Held::Place(PlaceId(place)),
        other => {
            return Err(Error::Strange {
                what: "hold",
                found: format!("{other:?}"),
            });
        }
    };
    Ok(HoldRow {
        id: HoldId(row.int(0)?),
        on,
        cause: row.text(3)?,
        lifts: row.maybe_int(4)?.map(HoldId),
    })
}

/// A change: what, what_id, field, old, new; none where no rule of ours reads the field.
pub fn change(row: &Row) -> Result<Option<Change>, Error> {
    let field = Field::from_names(&row.text(0)?, &row.text(2)?);
    let (id, old, new) = (row.int(1)?, row.maybe_text(3)?, row.maybe_text(4)?);
    Ok(field.map(|field| Change { field, id, old, new }))
}

/// The columns of a certificate as [`certificate`] reads them, of a table that the statement calls `c`.
macro_rules! certificate_columns {
    () => {
        "c.id, c.number, c.kind, c.issuer, c.day, c.part, c.covers, c.drawn, c.file, c.digest"
    };
}
pub(super) use certificate_columns;

/// A certificate: the columns of [`certificate_columns`].
pub fn certificate(row: &Row) -> Result<Certificate, Error> {
    let kind = row.text(2)?;
    Ok(Certificate {
        id: CertificateId(row.int(0)?),
        number: row.text(1)?,
        kind: PaperKind::from_word(&kind).ok_or(Error::Strange {
            what: "sort of certificate",
            found: kind,
        })?,
        issuer: row.text(3)?,
        day: row.day(4)?,
        part: row.maybe_int(5)?.map(PartId),
        covers: row.qty(6)?,
        drawn: row.qty(7)?,
        file: row.maybe_text(8)?,
        digest: row.maybe_text(9)?,
    })
}

/// A draw: certificate, lot, quantity.
pub fn draw(row: &Row) -> Result<Draw, Error> {
    Ok(Draw {
        certificate: CertificateId(row.int(0)?),
        lot: LotId(row.int(1)?),
        qty: row.qty(2)?,
    })
}
