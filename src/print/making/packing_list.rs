//! The packing list of a parcel: each lot with its life left and the certificates that belong to it.

use crate::domain::making::hazard::Hazard;
use crate::domain::measure::{Day, Qty, Unit};
use crate::print::cell::Cell;
use crate::print::table::Table;

/// A lot in a parcel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InParcel {
    /// Its number.
    pub lot: String,
    /// The number of its part.
    pub part: String,
    /// The name of its part.
    pub name: String,
    /// The unit it is kept in.
    pub unit: Unit,
    /// How much of it.
    pub qty: Qty,
    /// The maker's batch or serial.
    pub batch: Option<String>,
    /// Its last day.
    pub last: Option<Day>,
    /// The certificates drawn for it, and how many lots besides it each covers.
    pub certificates: Vec<(String, i64)>,
    /// What it may do.
    pub hazards: Vec<Hazard>,
}

/// The list, and the remarks under it.
pub fn packing_list(rows: &[InParcel], day: Day, marked: Option<&str>) -> (Table, Vec<String>) {
    let mut table = Table::new(
        "packing list",
        &[
            ("lot", "lot"),
            ("part", "part"),
            ("qty", "qty"),
            ("batch", "batch"),
            ("last_day", "last day"),
            ("days_left", "days left"),
            ("certificates", "certificates"),
            ("name", "name"),
        ],
    )
    .quantities(&["qty"]);
    let mut remarks = Vec::new();
    for row in rows {
        let papers: Vec<&str> = row
            .certificates
            .iter()
            .map(|(number, _)| number.as_str())
            .collect();
        table.row(vec![
            Cell::text(row.lot.clone()),
            Cell::text(row.part.clone()),
            Cell::Qty(row.qty, row.unit.to_string()),
            row.batch.clone().map_or(Cell::Empty, Cell::text),
            row.last.map_or(Cell::Empty, Cell::Day),
            row.last
                .map_or(Cell::Empty, |last| Cell::Count(day.days_until(last))),
            Cell::text(papers.join(", ")),
            Cell::text(row.name.clone()),
        ]);
        for (number, others) in row.certificates.iter().filter(|(_, others)| *others > 0) {
            remarks.push(format!(
                "{number}: send a copy; it covers {others} more lots that are not {}",
                row.lot
            ));
        }
        for hazard in &row.hazards {
            remarks.push(format!("{} {}: {}", row.part, row.lot, hazard.words()));
        }
    }
    if let Some(marked) = marked {
        remarks.push(format!("DANGEROUS GOODS, marked: {marked}"));
    }
    (table, remarks)
}
