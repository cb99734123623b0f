//! The derived columns, each written once, net, by key; the CHECKs of the books judge them.

use crate::db::books::Open;
use crate::db::derive::{Deltas, changed};
use crate::db::error::Error;
use crate::db::value::{Value, values};
use crate::domain::measure::Qty;
use crate::domain::stores::ids::{LayerId, LotId, PlaceId};
use crate::domain::stores::lot::Lot;
use crate::domain::stores::posting::{Field, Posting};
use crate::domain::stores::record::{Datum, Table};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// New layers with what they are fed, then the others' net change.
pub(super) fn write_layers(books: &Open<'_>, posting: &Posting, deltas: &Deltas) -> Result<(), Error> {
    let rows = posting.layers.iter().map(|layer| {
        let (qty, value) = deltas.layers.get(&layer.id).copied().unwrap_or_default();
        values![
            layer.id.0,
            layer.part.0,
            layer.lot.map(|lot| lot.0),
            layer.shared,
            qty,
            value
        ]
    });
    books.run_each(
        "INSERT INTO layer (id, part, lot, shared, qty, value) VALUES ($1, $2, $3, $4, $5, $6)",
        rows,
    )?;
    let mut new: Vec<LayerId> = posting.layers.iter().map(|layer| layer.id).collect();
    new.sort_unstable();
    for (id, (qty, value)) in &deltas.layers {
        if new.binary_search(id).is_err() {
            books.run(
                "UPDATE layer SET qty = qty + $2, value = value + $3 WHERE id = $1",
                &values![id.0, *qty, *value],
            )?;
        }
    }
    Ok(())
}

/// Balances net, lot by lot, of each what falls first, or a serial would stand in two places for a moment.
pub(super) fn write_balances(books: &Open<'_>, posting: &Posting, deltas: &Deltas) -> Result<(), Error> {
    let new = Made::by(posting);
    // What is made by this posting never stood anywhere before, and what it is made of is looked at first.
    let (mut made, mut moved): (Vec<_>, Vec<_>) = deltas
        .balances
        .iter()
        .partition(|((lot, _), _)| new.whole(*lot).is_some());
    for rows in [&mut made, &mut moved] {
        rows.sort_by_key(|((lot, _), (qty, _))| (*lot, *qty >= Qty::ZERO));
    }
    for ((lot, place), (qty, value)) in moved {
        let changed = books.run(
            "UPDATE balance SET qty = qty + $3, value = value + $4 WHERE lot = $1 AND place = $2",
            &values![lot.0, place.0, *qty, *value],
        )?;
        if changed == 0 {
            let whole = is_whole(books, *lot)?;
            books.run(NEW_BALANCE, &values![lot.0, place.0, *qty, *value, whole])?;
        }
    }
    let made = made.into_iter().map(|((lot, place), (qty, value))| {
        let whole = new.whole(*lot).unwrap_or_default();
        values![lot.0, place.0, *qty, *value, whole]
    });
    books.run_each(NEW_BALANCE, made)
}

/// What a lot has where it never was before.
const NEW_BALANCE: &str = "INSERT INTO balance (lot, place, qty, value, whole) VALUES ($1, $2, $3, $4, $5)";

/// The lots that a posting makes, and whether each moves only whole.
struct Made(Vec<(LotId, bool)>);

impl Made {
    fn by(posting: &Posting) -> Made {
        let size = |lot: &Arc<Lot>| (lot.id, lot.size.is_some());
        let mut made: Vec<_> = posting.lots.iter().map(size).collect();
        made.sort_unstable();
        Made(made)
    }

    /// Whether a lot moves only whole; nothing for one that was there before.
    fn whole(&self, lot: LotId) -> Option<bool> {
        let at = self.0.binary_search_by_key(&lot, |(of, _)| *of).ok()?;
        self.0.get(at).map(|(_, whole)| *whole)
    }
}

/// Whether a lot moves only whole.
fn is_whole(books: &Open<'_>, lot: LotId) -> Result<bool, Error> {
    let row = books.row("SELECT size FROM lot WHERE id = $1", &values![lot.0])?;
    let row = row.ok_or_else(|| Error::Strange {
        what: "lot",
        found: lot.to_string(),
    })?;
    Ok(row.maybe_int(0)?.is_some())
}

/// What may be picked of each lot, counted anew from its balances; what is reserved and held, net.
pub(super) fn write_positions(books: &Open<'_>, posting: &Posting, deltas: &Deltas) -> Result<(), Error> {
    let new = Made::by(posting);
    let mut lots: Vec<LotId> = deltas.balances.keys().map(|(lot, _)| *lot).collect();
    lots.extend(deltas.reserved.keys());
    lots.extend(deltas.held_lots.keys());
    lots.extend(new.0.iter().map(|(lot, _)| lot));
    for (place, step) in &deltas.held_places {
        books.run(
            "UPDATE place SET held = held + $2 WHERE id = $1",
            &values![place.0, *step],
        )?;
        for row in books.rows("SELECT lot FROM balance WHERE place = $1", &values![place.0])? {
            lots.push(LotId(row.int(0)?));
        }
    }
    lots.sort_unstable();
    lots.dedup();
    let held_places = if new.0.is_empty() {
        BTreeSet::new()
    } else {
        held_places(books)?
    };
    let mut made: Vec<[Value; 4]> = Vec::with_capacity(new.0.len());
    for lot in lots {
        let reserved = deltas.reserved.get(&lot).copied().unwrap_or_default();
        let held = deltas.held_lots.get(&lot).copied().unwrap_or_default();
        if new.whole(lot).is_some() {
            let free = |qty| if held > 0 { Qty::ZERO } else { qty };
            let pickable = free(lies_pickable(deltas, &held_places, lot));
            made.push(values![lot.0, pickable, reserved, held]);
            continue;
        }
        books.run(
            "UPDATE lot_position SET reserved = reserved + $2, held = held + $3, \
             pickable = CASE WHEN held + $3 > 0 THEN 0 ELSE COALESCE((SELECT SUM(b.qty) FROM balance b \
               JOIN place p ON p.id = b.place \
               WHERE b.lot = $1 AND b.place / 1000000 IN (2, 3) AND p.held = 0), 0) END \
             WHERE lot = $1",
            &values![lot.0, reserved, held],
        )?;
    }
    books.run_each(
        "INSERT INTO lot_position (lot, pickable, reserved, held) VALUES ($1, $2, $3, $4)",
        made.into_iter(),
    )
}

/// The places that are on hold now.
fn held_places(books: &Open<'_>) -> Result<BTreeSet<PlaceId>, Error> {
    let rows = books.rows(
        "SELECT id FROM place WHERE held > 0 AND id >= 2000000 AND id < 4000000",
        &[],
    )?;
    rows.iter().map(|row| Ok(PlaceId(row.int(0)?))).collect()
}

/// What may be picked of a lot that the posting makes: all of it stands in the posting.
fn lies_pickable(deltas: &Deltas, held: &BTreeSet<PlaceId>, lot: LotId) -> Qty {
    let (first, last) = ((lot, PlaceId(i64::MIN)), (lot, PlaceId(i64::MAX)));
    deltas
        .balances
        .range(first..=last)
        .filter(|((_, place), _)| place.pickable() && !held.contains(place))
        .map(|(_, (qty, _))| *qty)
        .sum()
}

/// A changed value as the books keep it: a number where the field is one.
fn number(text: Option<&Option<String>>) -> Result<Value<'static>, Error> {
    match text.and_then(Option::as_ref) {
        None => Ok(Value::Null),
        Some(text) => text.parse().map(Value::Int).map_err(|_| Error::Strange {
            what: "changed number",
            found: text.clone(),
        }),
    }
}

/// Job lines: counters, need and what it allows in one statement, because a CHECK sees them together.
pub(super) fn write_lines(books: &Open<'_>, posting: &Posting, deltas: &Deltas) -> Result<(), Error> {
    for (line, delta) in &deltas.lines {
        let field = |field| changed(posting, field, line.0);
        books.run(
            "UPDATE job_line SET reserved = reserved + $2, pegged = pegged + $3, kitted = kitted + $4, \
             fitted = fitted + $5, need = COALESCE($6, need), most = COALESCE($7, most), \
             allows = COALESCE($8, allows), dropped = COALESCE($9, dropped) WHERE id = $1",
            &[
                Value::Int(line.0),
                delta.reserved.into(),
                delta.pegged.into(),
                delta.kitted.into(),
                delta.fitted.into(),
                number(field(Field::LineNeed))?,
                number(field(Field::LineMost))?,
                field(Field::LineAllows).cloned().flatten().into(),
                number(field(Field::LineDropped))?,
            ],
        )?;
    }
    Ok(())
}

/// Order lines: counters and what was closed short.
pub(super) fn write_orders(books: &Open<'_>, posting: &Posting, deltas: &Deltas) -> Result<(), Error> {
    for (line, delta) in &deltas.orders {
        books.run(
            "UPDATE order_line SET arrived = arrived + $2, accepted = accepted + $3, pegged = pegged + $4, \
             closed = COALESCE($5, closed) WHERE id = $1",
            &[
                Value::Int(line.0),
                delta.arrived.into(),
                delta.accepted.into(),
                delta.pegged.into(),
                number(changed(posting, Field::OrderClosed, line.0))?,
            ],
        )?;
    }
    Ok(())
}

/// The other fields that a posting changes.
pub(super) fn write_changes(books: &Open<'_>, posting: &Posting) -> Result<(), Error> {
    for change in &posting.changes {
        let (sql, numeric) = match change.field {
            Field::JobUseDay => ("UPDATE job SET use_day = $2 WHERE id = $1", false),
            Field::JobState => ("UPDATE job SET state = $2 WHERE id = $1", false),
            Field::JobChoices => ("UPDATE job SET choices = $2 WHERE id = $1", false),
            Field::JobTag => ("UPDATE job SET tag = $2 WHERE id = $1", false),
            Field::JobPriority => ("UPDATE job SET priority = $2 WHERE id = $1", true),
            Field::JobEngine => ("UPDATE job SET engine = $2 WHERE id = $1", true),
            Field::LotExpiry => ("UPDATE lot SET expiry = $2 WHERE id = $1", false),
            Field::LotExpiryHow => ("UPDATE lot SET expiry_how = $2 WHERE id = $1", false),
            Field::LotCondition => ("UPDATE lot SET condition = $2 WHERE id = $1", false),
            Field::LotOwner => ("UPDATE lot SET owner = $2 WHERE id = $1", true),
            Field::LotPending => ("UPDATE lot SET pending = $2 WHERE id = $1", true),
            Field::OrderState => ("UPDATE supplier_order SET state = $2 WHERE id = $1", false),
            Field::Method | Field::Training | Field::Papers => {
                books.set_setting(change.field.column(), change.new.as_deref().unwrap_or_default())?;
                continue;
            }
            // The counters of lines and orders are written together; a record's own fields stand in a list of their own.
            other => match record_update(other) {
                Some(update) => update,
                None => continue,
            },
        };
        let new = if numeric {
            number(Some(&change.new))?
        } else {
            Value::from(change.new.clone())
        };
        books.run(sql, &[Value::Int(change.id), new])?;
    }
    Ok(())
}

/// The statement that changes a field of a record, and whether the field is a number.
fn record_update(field: Field) -> Option<(&'static str, bool)> {
    Some(match field {
        Field::PersonName => ("UPDATE person SET name = $2 WHERE id = $1", false),
        Field::PersonRoles => ("UPDATE person SET roles = $2 WHERE id = $1", false),
        Field::PersonFrom => ("UPDATE person SET authorised_from = $2 WHERE id = $1", false),
        Field::PersonUntil => ("UPDATE person SET authorised_until = $2 WHERE id = $1", false),
        Field::PlaceName => ("UPDATE place SET name = $2 WHERE id = $1", false),
        Field::PlaceParent => ("UPDATE place SET parent = $2 WHERE id = $1", true),
        Field::PlaceOneLot => ("UPDATE place SET one_lot = $2 WHERE id = $1", true),
        Field::PlaceLimits => ("UPDATE place SET limits = $2 WHERE id = $1", false),
        Field::PlaceWalk => ("UPDATE place SET walk = $2 WHERE id = $1", true),
        Field::PlaceOwner => ("UPDATE place SET owner = $2 WHERE id = $1", true),
        Field::PartyCurrency => ("UPDATE party SET currency = $2 WHERE place = $1", false),
        Field::PartyLeadDays => ("UPDATE party SET lead_days = $2 WHERE place = $1", true),
        Field::PartyFrom => ("UPDATE party SET approved_from = $2 WHERE place = $1", false),
        Field::PartyUntil => ("UPDATE party SET approved_until = $2 WHERE place = $1", false),
        Field::PartyScope => ("UPDATE party SET scope = $2 WHERE place = $1", false),
        Field::PartName => ("UPDATE part SET name = $2 WHERE id = $1", false),
        Field::PartClass => ("UPDATE part SET class = $2 WHERE id = $1", false),
        Field::PartUnit => ("UPDATE part SET unit = $2 WHERE id = $1", false),
        Field::PartStep => ("UPDATE part SET step = $2 WHERE id = $1", true),
        Field::PartHandOut => ("UPDATE part SET hand_out = $2 WHERE id = $1", true),
        Field::PartBenchStock => ("UPDATE part SET bench_stock = $2 WHERE id = $1", true),
        Field::PartLife => ("UPDATE part SET life = $2 WHERE id = $1", false),
        Field::PartOpenedLife => ("UPDATE part SET opened_life_days = $2 WHERE id = $1", true),
        Field::PartPackPolicy => ("UPDATE part SET pack_policy = $2 WHERE id = $1", false),
        Field::PartCritical => ("UPDATE part SET critical = $2 WHERE id = $1", true),
        Field::PartMaker => ("UPDATE part SET maker = $2 WHERE id = $1", false),
        Field::PartIssue => ("UPDATE part SET issue = $2 WHERE id = $1", false),
        Field::PartGrams => ("UPDATE part SET grams_per_unit = $2 WHERE id = $1", true),
        Field::BillFrom => ("UPDATE bill SET from_day = $2 WHERE id = $1", false),
        Field::BillUntil => ("UPDATE bill SET until_day = $2 WHERE id = $1", false),
        Field::BillFits => ("UPDATE bill SET fits = $2 WHERE id = $1", false),
        Field::BillSource => ("UPDATE bill SET data_source = $2 WHERE id = $1", false),
        Field::BillLineKind => ("UPDATE bill_line SET kind = $2 WHERE id = $1", false),
        Field::BillLinePart => ("UPDATE bill_line SET part = $2 WHERE id = $1", true),
        Field::BillLineQty => ("UPDATE bill_line SET qty = $2 WHERE id = $1", false),
        Field::BillLinePer => ("UPDATE bill_line SET per = $2 WHERE id = $1", false),
        Field::BillLineGroup => ("UPDATE bill_line SET choice_group = $2 WHERE id = $1", false),
        Field::BillLineChoice => ("UPDATE bill_line SET choice = $2 WHERE id = $1", false),
        Field::BillLineText => ("UPDATE bill_line SET text = $2 WHERE id = $1", false),
        Field::BillLineWaste => ("UPDATE bill_line SET waste = $2 WHERE id = $1", true),
        Field::OrderOrdered => ("UPDATE order_line SET ordered = $2 WHERE id = $1", true),
        Field::OrderValue => ("UPDATE order_line SET value = $2 WHERE id = $1", true),
        Field::OrderPromised => ("UPDATE order_line SET promised = $2 WHERE id = $1", false),
        Field::PriceAmount => ("UPDATE price SET amount = $2 WHERE id = $1", true),
        Field::PriceCurrency => ("UPDATE price SET currency = $2 WHERE id = $1", false),
        Field::RuleText => ("UPDATE class_rule SET text = $2 WHERE id = $1", false),
        Field::StandInBounds => ("UPDATE stand_in SET bounds = $2 WHERE id = $1", false),
        Field::StandInAuthority => ("UPDATE stand_in SET authority = $2 WHERE id = $1", false),
        Field::StandInFrom => ("UPDATE stand_in SET from_day = $2 WHERE id = $1", false),
        Field::StandInUntil => ("UPDATE stand_in SET until_day = $2 WHERE id = $1", false),
        Field::CertificateCovers => ("UPDATE certificate SET covers = $2 WHERE id = $1", true),
        Field::CertificateDay => ("UPDATE certificate SET day = $2 WHERE id = $1", false),
        Field::CertificateFile => ("UPDATE certificate SET file = $2 WHERE id = $1", false),
        Field::CertificateDigest => ("UPDATE certificate SET digest = $2 WHERE id = $1", false),
        _ => return None,
    })
}

/// A job's list rises by one with every document that changes it, its lines or its claims; a line added later counts.
pub(super) fn write_lists(books: &Open<'_>, posting: &Posting, deltas: &Deltas) -> Result<(), Error> {
    let mut jobs: Vec<i64> = deltas.raised_jobs.iter().map(|job| job.0).collect();
    for line in &deltas.raised_lines {
        let row = books.row("SELECT job FROM job_line WHERE id = $1", &values![line.0])?;
        jobs.push(
            row.ok_or_else(|| Error::Strange {
                what: "job line",
                found: line.to_string(),
            })?
            .int(0)?,
        );
    }
    jobs.extend(added_to(posting));
    jobs.sort_unstable();
    jobs.dedup();
    for job in jobs {
        books.run("UPDATE job SET list = list + 1 WHERE id = $1", &values![job])?;
    }
    Ok(())
}

/// What is drawn on each certificate, net.
pub(super) fn write_draws(books: &Open<'_>, posting: &Posting) -> Result<(), Error> {
    let mut drawn: BTreeMap<i64, i64> = BTreeMap::new();
    for record in &posting.records {
        if record.table != Table::CertificateLot {
            continue;
        }
        let [_, Datum::Whole(certificate), _, Datum::Whole(qty)] = record.data.as_slice() else {
            return Err(Error::Fault(format!("a draw of {:?}", record.data)));
        };
        *drawn.entry(*certificate).or_default() += qty;
    }
    for (certificate, qty) in drawn {
        books.run(
            "UPDATE certificate SET drawn = drawn + $2 WHERE id = $1",
            &values![certificate, qty],
        )?;
    }
    Ok(())
}

/// The jobs that the posting adds a line to without raising them itself.
fn added_to(posting: &Posting) -> Vec<i64> {
    let whole = |data: &[Datum], at: usize| match data.get(at) {
        Some(Datum::Whole(whole)) => Some(*whole),
        _ => None,
    };
    let of = |table: Table| posting.records.iter().filter(move |record| record.table == table);
    let raised: BTreeSet<i64> = of(Table::Job)
        .filter_map(|record| whole(&record.data, 0))
        .collect();
    of(Table::JobLine)
        .filter_map(|record| whole(&record.data, 1))
        .filter(|job| !raised.contains(job))
        .collect()
}
