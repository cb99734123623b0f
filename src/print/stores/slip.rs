//! The slip of goods that moved: what from where to where, what it made short, how the part stands now.

use crate::domain::measure::Day;
use crate::domain::refusal::Refusal;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::standing::{PartInHouse, standing};
use crate::domain::stores::stock::Stock;
use crate::print::cell::Cell;
use crate::print::kitting::job_sheet::called;
use crate::print::table::Table;
use crate::print::words::measured;

/// What a document moved, a line each.
pub fn lines(stock: &Stock, posting: &Posting, title: &str) -> Result<Table, Refusal> {
    let mut table = Table::new(
        title.to_owned(),
        &[
            ("lot", "lot"),
            ("part", "part"),
            ("qty", "qty"),
            ("from", "from"),
            ("to", "to"),
        ],
    )
    .quantities(&["qty"]);
    for entry in &posting.entries {
        let part = stock.part_of(entry.lot)?;
        table.row(vec![
            Cell::text(stock.lot(entry.lot)?.number.clone()),
            Cell::text(part.number.clone()),
            Cell::Qty(entry.qty, part.unit.to_string()),
            Cell::text(stock.place(entry.from)?.code.clone()),
            Cell::text(stock.place(entry.to)?.code.clone()),
        ]);
    }
    Ok(table)
}

/// The jobs that lost a reservation by it, a remark each.
pub fn made_short(stock: &Stock, posting: &Posting) -> Result<Vec<String>, Refusal> {
    let mut remarks = Vec::new();
    for claim in &posting.stripped {
        let line = stock.line(claim.line)?;
        let part = stock.part(line.part)?;
        remarks.push(format!(
            "SHORT {} line {}: {} of {} no longer reserved",
            called(stock.job(line.job)?),
            line.n,
            measured(claim.qty, part.unit),
            part.number
        ));
    }
    Ok(remarks)
}

/// How a part stands, in one line.
pub fn stands(house: &PartInHouse, day: Day) -> String {
    let (sum, unit) = (standing(&house.lying, day), house.part.unit);
    let mut told = vec![
        format!("{} on the shelf", measured(sum.on_the_shelf, unit)),
        format!("{} reserved", measured(sum.reserved, unit)),
    ];
    for (qty, word) in [(sum.on_hold, "on hold"), (sum.dead, "dead")] {
        if qty.is_positive() {
            told.push(format!("{} {word}", measured(qty, unit)));
        }
    }
    told.push(format!("{} free", measured(sum.free, unit)));
    for (qty, word) in [(sum.receiving, "in receiving"), (sum.quarantine, "in quarantine")] {
        if qty.is_positive() {
            told.push(format!("{} {word}", measured(qty, unit)));
        }
    }
    format!("{}: {}", house.part.number, told.join(", "))
}
