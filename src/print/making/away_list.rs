//! What is away with others: an outworker's work, a loan, a tool; what is due first first.

use crate::domain::making::away::OutWith;
use crate::domain::measure::Day;
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::count;

/// The list of what is away.
pub fn away_list(out: &[OutWith], day: Day, mut paper: Paper) -> Paper {
    let late = out
        .iter()
        .filter(|one| one.due.is_some_and(|due| due < day))
        .count();
    paper.answer = match (out.len(), late) {
        (0, _) => "nothing is away".to_owned(),
        (all, 0) => format!("{} away, none overdue", count(all, "lot")),
        (all, late) => format!("{} away, {late} overdue", count(all, "lot")),
    };
    if out.is_empty() {
        return paper;
    }
    let mut table = Table::new(
        "away",
        &[
            ("lot", "lot"),
            ("part", "part"),
            ("qty", "qty"),
            ("with", "with"),
            ("due", "due"),
            ("state", "state"),
            ("why", "why"),
        ],
    )
    .quantities(&["qty"]);
    for one in out {
        table.row(vec![
            Cell::text(one.lot.clone()),
            Cell::text(one.part.clone()),
            Cell::Qty(one.qty, one.unit.to_string()),
            Cell::text(one.place.clone()),
            one.due.map_or(Cell::Empty, Cell::Day),
            Cell::Alert(due_in_words(one.due, day)),
            Cell::text(one.why.clone()),
        ]);
    }
    paper.tables.push(table);
    paper
        .next
        .push("bincard away LOT --back --by INITIALS   books it in when it comes".to_owned());
    paper
}

/// How a due day stands: `OVERDUE by 3 days`, `DUE today`, `in 5 days`.
pub fn due_in_words(due: Option<Day>, day: Day) -> String {
    let Some(due) = due else {
        return "NO DUE DAY".to_owned();
    };
    match day.days_until(due) {
        0 => "DUE today".to_owned(),
        left if left > 0 => format!("in {}", days(left)),
        late => format!("OVERDUE by {}", days(-late)),
    }
}

fn days(many: i64) -> String {
    count(usize::try_from(many).unwrap_or(0), "day")
}
