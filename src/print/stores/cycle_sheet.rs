//! What is to be counted today, and how often the record was right.

use crate::domain::measure::Day;
use crate::domain::measure::rounding::{Rule, round};
use crate::domain::stores::counting::cycle::{Class, CountRule, accuracy_percent, limits};
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::count;
use rust_decimal::Decimal;

/// A bin in which something is due.
pub struct BinDue {
    /// Its code.
    pub code: String,
    /// How many lots are due.
    pub lines: usize,
    /// The highest class of what is due.
    pub class: Class,
    /// When the longest not counted was counted; nothing where it never was.
    pub last: Option<Day>,
    /// Since when it is due.
    pub due: Day,
}

/// What is to be counted today.
pub struct Today<'a> {
    /// The bins, the most pressing first.
    pub bins: &'a [BinDue],
    /// How many lines a day the rules ask for.
    pub a_day: Decimal,
    /// How each class is counted.
    pub rules: [(Class, CountRule); 3],
    /// Whether the classes go by what was used, or by what lies there.
    pub by_use: bool,
    /// The day it is asked on.
    pub day: Day,
}

/// How many bins the first line names.
const NAMED: usize = 3;

/// The bins to be counted today.
pub fn today_sheet(today: &Today<'_>, mut paper: Paper) -> Paper {
    let lines: usize = today.bins.iter().map(|bin| bin.lines).sum();
    let named: Vec<&str> = today
        .bins
        .iter()
        .take(NAMED)
        .map(|bin| bin.code.as_str())
        .collect();
    let more = if today.bins.len() > NAMED { " …" } else { "" };
    paper.answer = match today.bins {
        [] => "nothing is due to be counted".to_owned(),
        bins => format!(
            "{} due in {}: {}{more}",
            count(lines, "line"),
            count(bins.len(), "bin"),
            named.join(", ")
        ),
    };
    let mut table = Table::new(
        "to be counted",
        &[
            ("bin", "bin"),
            ("lines", "lines"),
            ("class", "class"),
            ("last", "counted last"),
            ("due", "due"),
        ],
    );
    for bin in today.bins {
        table.row(vec![
            Cell::text(bin.code.clone()),
            Cell::Count(i64::try_from(bin.lines).unwrap_or(i64::MAX)),
            Cell::text(bin.class.letter()),
            bin.last.map_or(Cell::text("never"), Cell::Day),
            Cell::Day(bin.due),
        ]);
    }
    paper.tables.push(table);
    paper.notes.push(rules(today));
    if let Some(first) = today.bins.first() {
        paper.next.push(format!(
            "bincard count {} --blind   prints the list of that bin",
            first.code
        ));
    }
    paper
}

/// "A every 20 days, B every 60, C every 120: 2.4 lines a day; classes by what was used in a year".
fn rules(today: &Today<'_>) -> String {
    let told: Vec<String> = today
        .rules
        .iter()
        .map(|(class, rule)| {
            let tolerance = rule.tolerance_percent.map_or(String::new(), |percent| {
                format!(" within {} %", percent.normalize())
            });
            format!("{} every {} days{tolerance}", class.letter(), rule.days)
        })
        .collect();
    let by = if today.by_use {
        "what was used in a year"
    } else {
        "what lies there, for nothing was used yet"
    };
    let a_day = round(today.a_day, Decimal::new(1, 1), Rule::Up);
    format!("{}: {a_day} lines a day; classes by {by}", told.join(", "))
}

/// The lines counted in a month.
#[derive(Default)]
pub struct Month {
    /// How many.
    pub counted: usize,
    /// How many of them were right.
    pub right: usize,
}

/// Month by month how many lines were right, and which month is beyond chance.
pub fn accuracy_sheet(months: &[(String, Month)], mut paper: Paper) -> Paper {
    let counted: usize = months.iter().map(|(_, month)| month.counted).sum();
    let right: usize = months.iter().map(|(_, month)| month.right).sum();
    paper.answer = match accuracy_percent(right, counted) {
        None => "nothing was counted in the last year".to_owned(),
        Some(percent) => format!(
            "record right in {percent} %: {right} of {}",
            count(counted, "line")
        ),
    };
    let mut table = Table::new(
        "month by month",
        &[
            ("month", "month"),
            ("lines", "lines"),
            ("right", "right"),
            ("percent", "%"),
            ("beyond", "beyond chance"),
        ],
    );
    let wrong = Decimal::from(counted - right).checked_div(Decimal::from(counted));
    for (name, month) in months {
        let share = Decimal::from(month.counted - month.right).checked_div(Decimal::from(month.counted));
        let upper = wrong
            .and_then(|wrong| limits(wrong, month.counted))
            .map(|(_, upper)| upper);
        let beyond = share.zip(upper).is_some_and(|(share, upper)| share > upper);
        table.row(vec![
            Cell::text(name.clone()),
            Cell::Count(i64::try_from(month.counted).unwrap_or(i64::MAX)),
            Cell::Count(i64::try_from(month.right).unwrap_or(i64::MAX)),
            accuracy_percent(month.right, month.counted).map_or(Cell::Empty, Cell::Number),
            if beyond {
                Cell::Alert("LOOK FOR THE CAUSE".to_owned())
            } else {
                Cell::Empty
            },
        ]);
    }
    paper.tables.push(table);
    if counted > 0 {
        paper.notes.push(
            "beyond chance: more lines wrong than three standard deviations above the year's share (a p chart)".to_owned(),
        );
    }
    paper
}
