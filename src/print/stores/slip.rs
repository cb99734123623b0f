//! The slip of goods that moved: what from where to where, what it made short, how the part stands now.

use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::LotId;
use crate::domain::stores::posting::{Claim, Entry, Posting, Source, Why};
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

/// The jobs that lost a reservation by it, a remark each; where other goods of the part took their place in the same
/// document, that is what is said.
pub fn made_short(stock: &Stock, posting: &Posting) -> Result<Vec<String>, Refusal> {
    let mut remarks = Vec::new();
    for claim in &posting.stripped {
        let line = stock.line(claim.line)?;
        let part = stock.part(line.part)?;
        let (job, qty) = (called(stock.job(line.job)?), measured(claim.qty, part.unit));
        remarks.push(match taken_instead(posting, claim) {
            Some(lot) => format!(
                "{job}: {} taken for {qty} of {} (job line {}) that were reserved elsewhere and are free again",
                posting_lot(stock, posting, lot)?,
                part.number,
                line.n
            ),
            None => format!(
                "SHORT {job}: {qty} of {} no longer reserved (job line {})",
                part.number, line.n
            ),
        });
    }
    Ok(remarks)
}

/// The lot that came onto a line beyond what was reserved for it there, where that makes up for a lost claim.
fn taken_instead(posting: &Posting, lost: &Claim) -> Option<LotId> {
    let onto = |entry: &&Entry| entry.to_line == Some(lost.line.0);
    let came: Qty = posting.entries.iter().filter(onto).map(|entry| entry.qty).sum();
    let own = posting.claims.iter();
    let own = own.filter(|claim| claim.line == lost.line && claim.why == Why::Pick);
    let ended: Qty = own.map(|claim| claim.qty).sum();
    if came + ended < lost.qty {
        return None;
    }
    let strange = |entry: &&Entry| onto(entry) && lost.source != Source::Lot(entry.lot);
    posting.entries.iter().find(strange).map(|entry| entry.lot)
}

/// The number of a lot that was there before, or that the document makes.
fn posting_lot(stock: &Stock, posting: &Posting, id: LotId) -> Result<String, Refusal> {
    let made = posting.lots.iter().find(|lot| lot.id == id);
    Ok(match made {
        Some(lot) => lot.number.clone(),
        None => stock.lot(id)?.number.clone(),
    })
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
