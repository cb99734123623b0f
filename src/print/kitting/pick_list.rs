//! The pick list: numbered, in walking order, no money on it; and the slip of what was picked or issued.

use crate::domain::kitting::job::Job;
use crate::domain::kitting::pick::PickLine;
use crate::domain::kitting::shorts::Short;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::PartId;
use crate::domain::stores::lot::NEW;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::print::cell::Cell;
use crate::print::kitting::job_sheet::called;
use crate::print::paper::Paper;
use crate::print::stores::slip::lines;
use crate::print::table::Table;
use crate::print::words::{count, measured};

/// The list as it goes out to the shelves.
pub fn pick_list(
    stock: &Stock,
    job: &Job,
    listed: &[PickLine],
    shorts: &[Short],
    data_source: &str,
    mut paper: Paper,
) -> Result<Paper, Refusal> {
    paper.answer = format!(
        "list {} of {}: {} to pick, {} short",
        job.list,
        called(job),
        count(listed.len(), "line"),
        shorts.len()
    );
    let mut table = Table::new(
        format!("list {}", job.list),
        &[
            ("n", "no"),
            ("tick", "[ ]"),
            ("bin", "bin"),
            ("part", "part"),
            ("name", "name"),
            ("lot", "lot"),
            ("qty", "qty"),
            ("expiry", "last day"),
        ],
    )
    .spare(&["name"])
    .quantities(&["qty"]);
    for line in listed {
        let goods = stock.lot(line.lot)?;
        let part = stock.part(goods.part)?;
        table.row(vec![
            Cell::Count(line.n),
            Cell::text(if part.critical { "[ ]!" } else { "[ ]" }),
            Cell::text(stock.place(line.place)?.code.clone()),
            Cell::text(part.number.clone()),
            Cell::text(part.name.clone()),
            Cell::text(goods.number.clone()),
            Cell::Qty(line.qty, part.unit.to_string()),
            goods.expiry.map_or(Cell::Empty, Cell::Day),
        ]);
        paper.cautions.extend(cautions(stock, line)?);
    }
    paper.tables.push(table);
    for short in shorts {
        let line = stock.line(short.line)?;
        let part = stock.part(line.part)?;
        let coming = short
            .on_order
            .iter()
            .find_map(|(order, _, when)| when.map(|day| format!("{order} due {day}")));
        let coming = coming.unwrap_or_else(|| "nothing on order".to_owned());
        paper.notes.push(format!(
            "SHORT {} {}: {coming}",
            measured(short.short, part.unit),
            part.number
        ));
    }
    if listed
        .iter()
        .any(|line| stock.part_of(line.lot).is_ok_and(|part| part.critical))
    {
        paper.notes.push("! a second person checks it".to_owned());
    }
    paper
        .notes
        .push(format!("data from {data_source}; this list does not approve"));
    Ok(paper)
}

/// What a clerk must mind about the lot of a line.
fn cautions(stock: &Stock, line: &PickLine) -> Result<Vec<String>, Refusal> {
    let goods = stock.lot(line.lot)?;
    let mut minded = Vec::new();
    if line.dead.is_some() {
        minded.push("is dead, do not pick it; reserve again".to_owned());
    }
    if let Some(opened) = goods.opened {
        minded.push(format!("is an opened pack, open since {opened}"));
    }
    if let Some(owner) = goods.owner {
        minded.push(format!("belongs to {}", stock.place(owner)?.name));
    }
    if goods.condition != NEW {
        minded.push(format!("is {}, not new", goods.condition));
    }
    let lead = format!("line {}: lot {}", line.n, goods.number);
    Ok(minded.iter().map(|mind| format!("{lead} {mind}")).collect())
}

/// A word beside the parts of a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// The part it is about; none is the whole kit.
    pub part: Option<PartId>,
    /// What is said.
    pub text: String,
}

/// Puts what is said on the list: beside the lines of the part it is about, else at the foot; what is about a part that
/// is not on the list is left out.
pub fn said_beside(
    stock: &Stock,
    listed: &[PickLine],
    said: &[Said],
    paper: &mut Paper,
) -> Result<(), Refusal> {
    for line in listed {
        let part = stock.lot(line.lot)?.part;
        for Said { text, .. } in said.iter().filter(|said| said.part == Some(part)) {
            paper.notes.push(format!("line {}: {text}", line.n));
        }
    }
    let whole = said.iter().filter(|said| said.part.is_none());
    paper.notes.extend(whole.map(|said| said.text.clone()));
    Ok(())
}

/// What a document moved, a line each.
pub fn moved(stock: &Stock, posting: &Posting, title: &str, mut paper: Paper) -> Result<Paper, Refusal> {
    paper.tables.push(lines(stock, posting, title)?);
    Ok(paper)
}
