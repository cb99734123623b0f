//! What waits to be inspected, and what an inspection decided.

use crate::domain::acceptance::rules::Point;
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{CertificateId, LotId, PlaceId};
use crate::domain::stores::law::Kind;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::record::{Datum, Table as Sort};
use crate::domain::stores::stock::Stock;
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::{count, measured};
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};

/// What is to be shown and looked at for one line before it is accepted.
#[derive(Clone, Debug, PartialEq)]
pub struct ToCheck {
    /// The line's number.
    pub n: i64,
    /// The class of its part.
    pub class: String,
    /// Which papers will do.
    pub papers: String,
    /// Whether one of them was drawn for all of it already.
    pub drawn: bool,
    /// What must be known of where it came from.
    pub source: String,
    /// What is looked at.
    pub points: Vec<Point>,
    /// What of its life was left when it came, in percent.
    pub life: Option<Decimal>,
    /// The least that is asked for, in percent.
    pub least: Option<Qty>,
}

/// What each line asks for, a row a thing.
fn list_of_checks(checks: &[ToCheck]) -> Table {
    let mut table = Table::new(
        "to check",
        &[("n", "no"), ("point", "point"), ("asks", "what is asked")],
    );
    for one in checks {
        let mut row = |point: &str, asks: String| {
            table.row(vec![Cell::Count(one.n), Cell::text(point), Cell::text(asks)]);
        };
        let drawn = if one.drawn { ", shown already" } else { "" };
        row("papers", format!("{}: {}{drawn}", one.class, one.papers));
        if one.source != "none" {
            row("source", one.source.clone());
        }
        if let Some(left) = one.life {
            let least = one
                .least
                .map(|least| format!(", at least {least} % is asked for"));
            row(
                "life left",
                format!("{left} % when it came{}", least.unwrap_or_default()),
            );
        }
        for point in &one.points {
            row(point.word(), point.asks().to_owned());
        }
    }
    table
}

/// What waits, numbered: of one note or lot, or everything.
pub fn waiting_list(
    stock: &Stock,
    rows: &[(i64, LotId, PlaceId)],
    said: &BTreeMap<LotId, String>,
    (what, checks): (Option<&str>, &[ToCheck]),
    mut paper: Paper,
) -> Result<Paper, Refusal> {
    let caged = rows
        .iter()
        .filter(|(_, _, place)| place.is(Kind::Quarantine))
        .count();
    let arrived = rows.len() - caged;
    paper.answer = match rows {
        [] => "nothing waits to be inspected".to_owned(),
        _ => format!(
            "{} waiting in receiving, {} in quarantine",
            count(arrived, "lot"),
            count(caged, "lot")
        ),
    };
    let mut table = Table::new(
        "to inspect",
        &[
            ("n", "no"),
            ("lot", "lot"),
            ("part", "part"),
            ("name", "name"),
            ("qty", "there"),
            ("place", "place"),
            ("batch", "batch"),
            ("expiry", "last day"),
            ("said", "said of it"),
        ],
    )
    .spare(&["name", "batch"])
    .quantities(&["qty"]);
    for (n, lot, place) in rows {
        let (goods, part) = (stock.lot(*lot)?, stock.part_of(*lot)?);
        let batch = goods.batch.clone().or_else(|| goods.serial.clone());
        table.row(vec![
            Cell::Count(*n),
            Cell::text(goods.number.clone()),
            Cell::text(part.number.clone()),
            Cell::text(part.name.clone()),
            Cell::Qty(stock.balance(*lot, *place).qty, part.unit.to_string()),
            Cell::text(stock.place(*place)?.code.clone()),
            Cell::text(batch.unwrap_or_default()),
            goods.expiry.map_or(Cell::Empty, Cell::Day),
            Cell::text(said.get(lot).cloned().unwrap_or_default()),
        ]);
    }
    paper.tables.push(table);
    let shown = if checks.is_empty() {
        ""
    } else {
        paper.tables.push(list_of_checks(checks));
        " --certificate NUMBER --checked all"
    };
    match (what, rows) {
        (_, []) => {}
        (Some(what), _) => paper.next.push(format!(
            "bincard inspect {what} LINE=QTY{shown} --by INITIALS   accepts what is good"
        )),
        (None, [(_, lot, _), ..]) => paper.next.push(format!(
            "bincard inspect {} QTY --by INITIALS   accepts what is good of it",
            stock.lot(*lot)?.number
        )),
    }
    Ok(paper)
}

/// What was accepted where, and what went into the cage: the answer and remarks.
pub fn accepted(stock: &Stock, posting: &Posting) -> Result<(String, Vec<String>), Refusal> {
    let to = |kinds: &[Kind]| {
        let of = |place: PlaceId| kinds.iter().any(|kind| place.is(*kind));
        posting
            .entries
            .iter()
            .filter(move |entry| of(entry.to))
            .collect::<Vec<_>>()
    };
    let (good, bad) = (to(&[Kind::Shelf, Kind::Bench]), to(&[Kind::Quarantine]));
    let lots: BTreeSet<LotId> = posting.entries.iter().map(|entry| entry.lot).collect();
    let sum = |entries: &[&crate::domain::stores::posting::Entry]| {
        entries.iter().map(|entry| entry.qty).sum::<Qty>()
    };
    let answer = match lots.iter().collect::<Vec<_>>().as_slice() {
        [lot] => {
            let part = stock.part_of(**lot)?;
            let place = good.first().map(|entry| stock.place(entry.to)).transpose()?;
            let shelf = place.map_or(String::new(), |place| format!(" into {}", place.code));
            format!(
                "{}: {} accepted{shelf}{}",
                part.number,
                measured(sum(&good), part.unit),
                if bad.is_empty() {
                    String::new()
                } else {
                    format!(", {} into the cage", measured(sum(&bad), part.unit))
                }
            )
        }
        several => {
            let all_good = several
                .iter()
                .filter(|lot| !bad.iter().any(|entry| entry.lot == ***lot))
                .count();
            format!(
                "{} inspected: {all_good} good, {} with bad ones in the cage",
                count(several.len(), "lot"),
                several.len() - all_good
            )
        }
    };
    let arrived = posting
        .claims
        .iter()
        .filter(|claim| claim.why == crate::domain::stores::posting::Why::Arrive && claim.qty.is_positive());
    let remarks: Result<Vec<String>, Refusal> = arrived
        .map(|claim| {
            let line = stock.line(claim.line)?;
            let part = stock.part(line.part)?;
            Ok(format!(
                "{} waited for it: {} of {} now reserved on line {}",
                crate::print::kitting::job_sheet::called(stock.job(line.job)?),
                measured(claim.qty, part.unit),
                part.number,
                line.n
            ))
        })
        .collect();
    Ok((answer, remarks?))
}

/// What the document draws on each certificate, and what is left on it; the facts are those before the document.
pub fn drawn(stock: &Stock, posting: &Posting) -> Result<Vec<String>, Refusal> {
    let mut told: BTreeMap<i64, Qty> = BTreeMap::new();
    for record in posting
        .records
        .iter()
        .filter(|of| of.table == Sort::CertificateLot)
    {
        if let [_, Datum::Whole(certificate), _, Datum::Whole(qty)] = record.data.as_slice() {
            *told.entry(*certificate).or_default() += Qty::from_millionths(*qty);
        }
    }
    let line = |(id, qty): (i64, Qty)| {
        let one = stock.certificate(CertificateId(id))?;
        let unit = one.part.map(|part| stock.part(part)).transpose()?;
        let unit = unit.map_or_else(String::new, |part| format!(" {}", part.unit));
        Ok(format!(
            "{qty}{unit} drawn on {} {}: {}{unit} left",
            one.kind.word(),
            one.number,
            one.left() - qty
        ))
    };
    told.into_iter().map(line).collect()
}
