//! What lies of each part in the house.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::facts::{self, lot_columns, part_columns};
use crate::db::value::{Row, Value, values};
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::ids::PartId;
use crate::domain::stores::part::Part;
use crate::domain::stores::place::Place;
use crate::domain::stores::standing::{Lying, PartInHouse};
use crate::domain::stores::stock::Position;

/// Parts that can be looked for by these words, each in number, name or class; by part number.
pub fn parts_with(books: &Open<'_>, words: &[String]) -> Result<Vec<Part>, Error> {
    let sql = concat!(
        "SELECT ",
        part_columns!(),
        " FROM part p WHERE p.class NOT IN ('conversion', 'engine model', 'phantom') ORDER BY p.number"
    );
    let mut found = Vec::new();
    for row in books.rows(sql, &[])? {
        let part = facts::part(&row)?;
        let text = format!("{} {} {}", part.number, part.name, part.class).to_lowercase();
        if words.iter().all(|word| text.contains(&word.to_lowercase())) {
            found.push(part);
        }
    }
    Ok(found)
}

/// The part of exactly this number, however it is capitalised.
pub fn part_numbered(books: &Open<'_>, number: &str) -> Result<Option<Part>, Error> {
    let sql = concat!("SELECT ", part_columns!(), " FROM part p WHERE p.number = $1");
    let exact = books.row(sql, &values![number])?;
    let row = match exact {
        Some(row) => Some(row),
        None => books.row(sql, &values![number.to_uppercase()])?,
    };
    row.as_ref().map(facts::part).transpose()
}

/// What lies of a part in the house: first to expire first, no expiry last, then the older lot, then the walk.
pub fn in_house(books: &Open<'_>, part: Part) -> Result<PartInHouse, Error> {
    let rows = books.rows(
        concat!(
            "SELECT ",
            lot_columns!(),
            ", p.id, p.code, p.name, p.walk, p.owner, p.held, b.qty, o.pickable, o.reserved, o.held \
         FROM lot l JOIN balance b ON b.lot = l.id JOIN place p ON p.id = b.place JOIN lot_position o ON o.lot = l.id \
         WHERE l.part = $1 AND b.place < 20000000 AND b.qty > 0 \
         ORDER BY l.expiry IS NULL, l.expiry, l.id, p.walk, p.code"
        ),
        &values![part.id.0],
    )?;
    let lying: Result<Vec<Lying>, Error> = rows.iter().map(lying).collect();
    Ok(PartInHouse { part, lying: lying? })
}

fn lying(row: &Row) -> Result<Lying, Error> {
    let place: Vec<Value> = row.0.iter().skip(19).take(6).cloned().collect();
    let place: Place = facts::place(&Row(place))?;
    let position = Position {
        pickable: row.qty(26)?,
        reserved: row.qty(27)?,
        held: row.int(28)?,
    };
    Ok(Lying {
        lot: facts::lot(row)?,
        place,
        qty: row.qty(25)?,
        position,
    })
}

/// How much of a part is still to come on orders; what waits in receiving to be inspected has come.
pub fn on_order(books: &Open<'_>, part: PartId) -> Result<Qty, Error> {
    let sql = "SELECT o.ordered - o.closed - o.accepted, \
                 (SELECT COALESCE(SUM(b.qty), 0) FROM lot l JOIN balance b ON b.lot = l.id \
                   WHERE l.part = o.part AND l.order_line = o.id AND b.place / 1000000 = 1) \
               FROM order_line o WHERE o.part = $1";
    let rows = books.rows(sql, &values![part.0])?;
    let coming = |row: &Row| Ok((row.qty(0)? - row.qty(1)?).max(Qty::ZERO));
    rows.iter().map(coming).sum()
}

/// Everything on shelf and bench whose last day is no later than this, the earliest first.
pub fn expiring(books: &Open<'_>, last: Day) -> Result<Vec<(Part, Lying)>, Error> {
    let rows = books.rows(
        "SELECT DISTINCT l.part, p.number FROM lot l JOIN part p ON p.id = l.part WHERE l.expiry <= $1 ORDER BY p.number",
        &values![last],
    )?;
    let mut found = Vec::new();
    for row in rows {
        let Some(part) = part_numbered(books, &row.text(1)?)? else {
            continue;
        };
        let house = in_house(books, part)?;
        for lying in house.lying {
            if lying.place.id.pickable() && lying.lot.expiry.is_some_and(|day| day <= last) {
                found.push((house.part.clone(), lying));
            }
        }
    }
    found.sort_by_key(|(part, lying)| {
        (
            lying.lot.expiry,
            part.number.clone(),
            lying.lot.id,
            lying.place.id,
        )
    });
    Ok(found)
}
