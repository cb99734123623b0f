//! What the estimator asks of the books: prices, rates, sizes, and what a job's lines took.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::facts;
use crate::db::stores::stock::{in_house, part_numbered};
use crate::db::value::{Row, values};
use crate::domain::estimating::price::{Exchange, Price};
use crate::domain::estimating::route::Sizes;
use crate::domain::estimating::start::Supply;
use crate::domain::measure::{Currency, Day, Money, Qty};
use crate::domain::stores::ids::{JobId, PartId, PlaceId};
use crate::domain::stores::part::Part;
use crate::domain::stores::posting::Entry;
use crate::domain::stores::standing::standing;

/// Every purchase price of a part.
pub fn prices_of(books: &Open<'_>, part: PartId) -> Result<Vec<Price>, Error> {
    let sql = "SELECT supplier, from_day, from_qty, amount, currency FROM price WHERE part = $1 AND basis = 'purchase'";
    let mut prices = Vec::new();
    for row in books.rows(sql, &values![part.0])? {
        prices.push(Price {
            part,
            supplier: row.maybe_int(0)?.map(PlaceId),
            from_day: row.day(1)?,
            from_qty: row.qty(2)?,
            amount: row.money(3)?,
            currency: currency(row.text(4)?)?,
            quoted: None,
        });
    }
    Ok(prices)
}

/// A currency by its code.
fn currency(code: String) -> Result<Currency, Error> {
    Currency::parse(&code).map_err(|_| Error::Strange {
        what: "currency",
        found: code,
    })
}

/// Every exchange rate in the books.
pub fn exchange_rates(books: &Open<'_>) -> Result<Vec<Exchange>, Error> {
    let sql = "SELECT name, from_day, amount FROM rate WHERE kind = 'exchange'";
    let rows = books.rows(sql, &[])?;
    let read = |row: &Row| {
        Ok(Exchange {
            currency: currency(row.text(0)?)?,
            from_day: row.day(1)?,
            rate: row.money(2)?,
        })
    };
    rows.iter().map(read).collect()
}

/// What an hour at the bench costs on a day, if a rate holds.
pub fn labour_rate(books: &Open<'_>, day: Day) -> Result<Option<Money>, Error> {
    let row = books.row(
        "SELECT amount FROM rate WHERE kind = 'labour' AND from_day <= $1 ORDER BY from_day DESC, name LIMIT 1",
        &values![day],
    )?;
    row.map(|row| row.money(0)).transpose()
}

/// The sizes of a part.
pub fn sizes_of(books: &Open<'_>, part: PartId) -> Result<Sizes, Error> {
    let mut sizes = Sizes::new();
    for row in books.rows(
        "SELECT name, value FROM part_size WHERE part = $1",
        &values![part.0],
    )? {
        if let Some(value) = row.maybe_qty(1)? {
            sizes.insert(row.text(0)?, value);
        }
    }
    Ok(sizes)
}

/// Every entry that gave to or took from a line of the job: found by the lots that were ever in its kit or on its
/// engine, whose balance rows stay.
pub fn entries_of_job(books: &Open<'_>, job: JobId) -> Result<Vec<Entry>, Error> {
    let rows = books.rows(
        "SELECT e.law, e.lot, e.from_place, e.to_place, e.from_line, e.to_line, e.qty, e.value, e.layer \
         FROM entry e WHERE e.lot IN (SELECT b.lot FROM balance b JOIN job j ON b.place IN (j.kit, j.engine) \
           WHERE j.id = $1) \
         AND ((e.to_place / 1000000 IN (6, 20) AND e.to_line IN (SELECT n.id FROM job_line n WHERE n.job = $1)) \
           OR (e.from_place / 1000000 IN (6, 20) AND e.from_line IN (SELECT n.id FROM job_line n WHERE n.job = $1))) \
         ORDER BY e.id",
        &values![job.0],
    )?;
    rows.iter().map(facts::entry).collect()
}

/// How a part can be had: free on the shelf on a day, still to come on orders, and at the lead time of suppliers.
pub fn supply_of(books: &Open<'_>, part: &Part, day: Day) -> Result<Supply, Error> {
    let house = in_house(books, part.clone())?;
    // A customer's own goods serve his own jobs only.
    let ours: Vec<_> = house
        .lying
        .into_iter()
        .filter(|lying| lying.lot.owner.is_none())
        .collect();
    let mut supply = Supply {
        free: standing(&ours, day).free,
        ..Supply::default()
    };
    let orders = "SELECT o.number, l.promised, l.ordered - l.closed - l.accepted - l.pegged FROM order_line l \
                  JOIN supplier_order o ON o.id = l.supplier_order WHERE l.part = $1 AND o.state = 'open' \
                  AND l.ordered - l.closed - l.accepted - l.pegged > 0 ORDER BY l.promised, l.id";
    for row in books.rows(orders, &values![part.id.0])? {
        supply.coming.push((row.text(0)?, row.maybe_day(1)?, row.qty(2)?));
    }
    let lead = "SELECT DISTINCT p.code, y.lead_days FROM price r JOIN place p ON p.id = r.supplier \
                JOIN party y ON y.place = r.supplier WHERE r.part = $1 AND r.from_day <= $2 AND y.lead_days IS NOT NULL \
                ORDER BY p.code";
    for row in books.rows(lead, &values![part.id.0, day])? {
        supply.lead.push((row.text(0)?, row.int(1)?));
    }
    Ok(supply)
}

/// Every spacer of this bore in the books with its thickness in mm, the thinnest first.
pub fn spacers(books: &Open<'_>, bore: Qty) -> Result<Vec<(Part, Qty)>, Error> {
    let sql = "SELECT p.number, t.value FROM part p JOIN part_size t ON t.part = p.id AND t.name = 'thickness' \
               JOIN part_size b ON b.part = p.id AND b.name = 'bore' WHERE b.value = $1 ORDER BY t.value, p.number";
    let mut found = Vec::new();
    for row in books.rows(sql, &values![bore])? {
        if let Some(part) = part_numbered(books, &row.text(0)?)? {
            found.push((part, row.qty(1)?));
        }
    }
    Ok(found)
}

/// By which method the books value what leaves the shelf: `actual`, `fifo` or `average`.
pub fn method_of(books: &Open<'_>) -> Result<String, Error> {
    Ok(books.setting("method")?.unwrap_or_default())
}
