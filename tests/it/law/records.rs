//! The records of the workshop: places of every kind, four parts, two jobs of four lines each, one order.

use super::world::{BLUE, NUT, PARTS, RED, SEALANT, TURBO, WIRE, at, line, today};
use bincard::domain::measure::Qty;
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::ids::{JobId, PartId, PlaceId};
use bincard::domain::stores::law::{KINDS, Kind};
use bincard::domain::stores::posting::Posting;
use bincard::domain::stores::record::{Datum, Record, Table};

/// Every place with its code; an engine has its customer.
pub fn places() -> impl Iterator<Item = (PlaceId, String)> {
    let of = |kind: Kind| (1..=3).map(move |n| (at(kind, n), format!("{}-{n}", kind.code())));
    KINDS.into_iter().flat_map(of)
}

fn none() -> Datum {
    Datum::Nothing
}

pub fn records() -> Posting {
    let mut posting = Posting::new(Head::new(DocKind::Import, today(), "HP"));
    let mut add = |table: Table, data: Vec<Datum>| posting.records.push(Record { table, data });
    for (place, code) in places() {
        let code: Datum = code.into();
        add(
            Table::Place,
            vec![
                place.0.into(),
                code.clone(),
                code,
                none(),
                none(),
                false.into(),
                none(),
                none(),
            ],
        );
    }
    for part in PARTS {
        add(Table::Part, part_row(part));
    }
    for (job, n) in [(RED, 1), (BLUE, 2)] {
        add(Table::Job, job_row(job, n));
        for part in PARTS {
            add(Table::JobLine, line_row(job, part));
        }
    }
    let order = vec![
        1.into(),
        "PO-1".into(),
        at(Kind::Supplier, 1).0.into(),
        today().into(),
        "GBP".into(),
        "open".into(),
    ];
    add(Table::SupplierOrder, order);
    let order_line = vec![
        1.into(),
        1.into(),
        1.into(),
        NUT.0.into(),
        Qty::whole(100).into(),
        0.into(),
        none(),
        0.into(),
    ];
    add(Table::OrderLine, order_line);
    posting
}

/// A nut; sealant in 50 ml tubes; lockwire, bench stock; a turbocharger.
fn part_row(part: PartId) -> Vec<Datum> {
    let (number, unit) = match part {
        NUT => ("NUT", "each"),
        SEALANT => ("SEALANT", "ml"),
        WIRE => ("WIRE", "each"),
        _ => ("TURBO", "each"),
    };
    let hand_out = (part == SEALANT).then_some(Qty::whole(50));
    vec![
        part.0.into(),
        number.into(),
        number.into(),
        "standard part".into(),
        unit.into(),
        Qty::whole(1).into(),
        none(),
        none(),
        (part == WIRE).into(),
        false.into(),
        "measure".into(),
        hand_out.into(),
        none(),
        none(),
        none(),
        "live".into(),
    ]
}

fn job_row(job: JobId, n: i64) -> Vec<Datum> {
    vec![
        job.0.into(),
        format!("J-{n}").into(),
        none(),
        "".into(),
        if n == 1 { "red" } else { "blue" }.into(),
        at(Kind::Kit, n).0.into(),
        at(Kind::Crate, n).0.into(),
        at(Kind::Engine, n).0.into(),
        at(Kind::Customer, n).0.into(),
        if n == 1 { "2026-12-01" } else { "2026-12-15" }.into(),
        5.into(),
        "open".into(),
        none(),
    ]
}

/// Ten nuts, 12 ml of sealant, two pieces of wire, one turbocharger.
fn line_row(job: JobId, part: PartId) -> Vec<Datum> {
    let need = match part {
        NUT => 10,
        SEALANT => 12,
        WIRE => 2,
        TURBO => 1,
        _ => 0,
    };
    let need = Qty::whole(need);
    // Law 4.2: a millionth less than one hand-out unit over.
    let most = if part == SEALANT {
        need + Qty::from_millionths(49_999_999)
    } else {
        need
    };
    vec![
        line(job, part).0.into(),
        job.0.into(),
        part.0.into(),
        part.0.into(),
        none(),
        none(),
        ",new,".into(),
        false.into(),
        need.into(),
        most.into(),
    ]
}
