//! A lot's whole life on paper, a line for each thing that was done to it.

use crate::domain::measure::Unit;
use crate::domain::tracing::deed::{Deed, What};
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::{count, measured};

/// Everything that was done to the lot `title`, the oldest first; the last `most` lines where no more are wanted.
pub fn lot_life(title: &str, unit: Unit, deeds: &[Deed], most: Option<usize>, mut paper: Paper) -> Paper {
    let mut documents: Vec<&str> = deeds.iter().map(|deed| deed.document.as_str()).collect();
    documents.dedup();
    paper.answer = format!("{title}: {}", count(documents.len(), "document"));
    let mut table = Table::new(
        format!("life of {title}"),
        &[
            ("document", "document"),
            ("day", "day"),
            ("by", "by"),
            ("kind", "what"),
            ("deed", "what it did to the lot"),
            ("undone", "undone by"),
        ],
    );
    let shown = most.unwrap_or(deeds.len()).min(deeds.len());
    for deed in deeds.iter().skip(deeds.len() - shown) {
        table.row(vec![
            Cell::text(deed.document.clone()),
            Cell::Day(deed.day),
            Cell::text(deed.by.clone()),
            Cell::text(deed.kind.clone()),
            Cell::text(told(&deed.what, unit)),
            Cell::text(deed.undone_by.clone().unwrap_or_default()),
        ]);
    }
    if shown < deeds.len() {
        paper
            .notes
            .push(format!("{} older lines are not shown", deeds.len() - shown));
    }
    paper.tables.push(table);
    paper
}

fn told(what: &What, unit: Unit) -> String {
    let or_nothing = |text: &Option<String>| text.clone().unwrap_or_else(|| "nothing".to_owned());
    match what {
        What::Moved {
            movement,
            qty,
            from,
            to,
        } if qty.is_zero() => {
            format!("{movement}: its value alone, {from} to {to}")
        }
        What::Moved {
            movement,
            qty,
            from,
            to,
        } => {
            format!("{movement} {}: {from} to {to}", measured(*qty, unit))
        }
        What::Promised { qty, job, .. } if qty.is_positive() => {
            format!("{} reserved for {job}", measured(*qty, unit))
        }
        What::Promised { qty, job, why } => {
            format!("{} no longer reserved for {job} ({why})", measured(-*qty, unit))
        }
        What::Stopped { cause } => format!("put on hold: {cause}"),
        What::Lifted { cause } => format!("hold lifted: {cause}"),
        What::Changed { field, old, new } => {
            format!(
                "{} changed from {} to {}",
                field.replace('_', " "),
                or_nothing(old),
                or_nothing(new)
            )
        }
        What::CameOf { lot } => format!("came of lot {lot}"),
        What::WentInto { lot } => format!("lot {lot} was made of it"),
        What::Noted { topic, text } => format!("noted, {topic}: {text}"),
    }
}
