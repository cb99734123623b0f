//! An order to a supplier: its six quantities a line, what it owes still, and what to write to the supplier.

use crate::domain::measure::{Currency, Day, Money, Qty};
use crate::domain::stores::part::Part;
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::{count, measured, printed_sum};

/// A line of an order.
pub struct SheetLine {
    /// Its number on the order.
    pub n: i64,
    /// Which part.
    pub part: Part,
    /// How much was ordered.
    pub ordered: Qty,
    /// What the delivery notes said came; nothing where nobody said.
    pub on_note: Option<Qty>,
    /// How much was counted in.
    pub counted: Qty,
    /// How much was accepted.
    pub accepted: Qty,
    /// How much was looked at and not accepted.
    pub rejected: Qty,
    /// How much waits to be inspected.
    pub waiting: Qty,
    /// How much was closed short.
    pub closed: Qty,
    /// What the order still owes.
    pub owed: Qty,
    /// When it was promised.
    pub promised: Option<Day>,
    /// What all of it costs.
    pub value: Money,
}

/// An order.
pub struct OrderSheet<'a> {
    /// Its number.
    pub number: &'a str,
    /// What the supplier is called.
    pub supplier: &'a str,
    /// Whether it is open.
    pub open: bool,
    /// Its lines.
    pub lines: &'a [SheetLine],
    /// The store's own currency.
    pub currency: Currency,
    /// The day it is asked on.
    pub day: Day,
    /// Whether the reader counts first and is told what was ordered afterwards.
    pub blind: bool,
    /// Whether money stands on it: not on a paper for the floor.
    pub priced: bool,
}

/// The order with its lines, to be answered by their numbers.
pub fn order_sheet(sheet: &OrderSheet<'_>, mut paper: Paper) -> Paper {
    paper.answer = answer(sheet);
    paper.tables.push(if sheet.blind {
        to_be_counted(sheet)
    } else {
        quantities(sheet)
    });
    if !sheet.blind {
        paper
            .notes
            .extend(sheet.lines.iter().filter_map(|line| claim(sheet, line)));
    }
    if sheet.open && sheet.lines.iter().any(|line| line.owed.is_positive()) {
        paper.next.push(format!(
            "bincard goods-in {} LINE=QTY --by INITIALS   books in what came",
            sheet.number
        ));
    }
    paper
}

/// "ORD-101, Quoin: 2 lines still to come, 1 late; 441.00 GBP".
fn answer(sheet: &OrderSheet<'_>) -> String {
    let head = format!("{}, {}", sheet.number, sheet.supplier);
    if sheet.blind {
        return format!("{head}: {} to be counted", count(sheet.lines.len(), "line"));
    }
    if !sheet.open {
        return format!("{head}: closed");
    }
    let owed = sheet.lines.iter().filter(|line| line.owed.is_positive());
    let late = owed.clone().filter(|line| is_late(line, sheet.day)).count();
    let late = if late > 0 {
        format!(", {late} late")
    } else {
        String::new()
    };
    let come = format!("{head}: {} still to come{late}", count(owed.count(), "line"));
    if !sheet.priced {
        return come;
    }
    let value = printed_sum(sheet.lines.iter().map(|line| line.value), sheet.currency);
    format!("{come}; {} {}", value.in_minor(sheet.currency), sheet.currency)
}

/// Whether a line should have come before a day.
pub fn is_late(line: &SheetLine, day: Day) -> bool {
    line.owed.is_positive() && line.promised.is_some_and(|promised| promised < day)
}

/// The six quantities kept apart.
fn quantities(sheet: &OrderSheet<'_>) -> Table {
    let mut columns = vec![
        ("n", "no"),
        ("part", "part"),
        ("name", "name"),
        ("ordered", "ordered"),
        ("on_note", "on note"),
        ("counted", "counted"),
        ("accepted", "accepted"),
        ("rejected", "rejected"),
        ("open", "open"),
        ("promised", "promised"),
    ];
    if sheet.priced {
        columns.push(("value", "value"));
    }
    let mut table = Table::new(format!("order {}", sheet.number), &columns)
        .spare(&["name", "promised"])
        .quantities(&["ordered", "on_note", "counted", "accepted", "rejected", "open"]);
    if sheet.priced {
        table = table.amounts(&["value"]).spare(&["name", "promised", "value"]);
    }
    for line in sheet.lines {
        let qty = |qty: Qty| Cell::Qty(qty, line.part.unit.to_string());
        let mut row = vec![
            Cell::Count(line.n),
            Cell::text(line.part.number.clone()),
            Cell::text(line.part.name.clone()),
            qty(line.ordered),
            line.on_note.map_or(Cell::Empty, qty),
            qty(line.counted),
            qty(line.accepted),
            qty(line.rejected),
            qty(line.owed),
            line.promised.map_or(Cell::Empty, Cell::Day),
        ];
        if sheet.priced {
            row.push(Cell::Money(line.value, sheet.currency));
        }
        table.row(row);
    }
    table
}

/// The lines alone: who counts is not told what to find.
fn to_be_counted(sheet: &OrderSheet<'_>) -> Table {
    let title = format!("count, then `bincard goods-in {} LINE=QTY`", sheet.number);
    let mut table = Table::new(
        title,
        &[("n", "no"), ("part", "part"), ("name", "name"), ("unit", "unit")],
    );
    for line in sheet.lines {
        table.row(vec![
            Cell::Count(line.n),
            Cell::text(line.part.number.clone()),
            Cell::text(line.part.name.clone()),
            Cell::text(line.part.unit.to_string()),
        ]);
    }
    table
}

/// What a line has to say to the supplier: short or over against his note, and what was rejected.
fn claim(sheet: &OrderSheet<'_>, line: &SheetLine) -> Option<String> {
    let said = |qty: Qty| measured(qty, line.part.unit);
    let mut told = Vec::new();
    if let Some(on_note) = line.on_note.filter(|on_note| *on_note != line.counted) {
        let (word, by) = if on_note > line.counted {
            ("SHORT", on_note - line.counted)
        } else {
            ("OVER", line.counted - on_note)
        };
        told.push(format!(
            "{word} by {}: the note says {on_note}, {} counted",
            said(by),
            line.counted
        ));
    }
    if line.rejected.is_positive() {
        told.push(format!("REJECTED {}", said(line.rejected)));
    }
    if line.waiting.is_positive() {
        told.push(format!("{} to be inspected", said(line.waiting)));
    }
    if line.closed.is_positive() {
        told.push(format!("{} closed short", said(line.closed)));
    }
    if is_late(line, sheet.day) {
        told.push("LATE".to_owned());
    }
    (!told.is_empty()).then(|| format!("line {} {}: {}", line.n, line.part.number, told.join("; ")))
}

/// `open`, `closed`, or `done` where an open one owes nothing and nothing of it waits to be inspected.
fn state(sheet: &OrderSheet<'_>) -> &'static str {
    match sheet.open {
        false => "closed",
        true if is_done(sheet) => "done",
        true => "open",
    }
}

/// Whether nothing is owed any more and nothing waits to be inspected.
pub fn is_done(sheet: &OrderSheet<'_>) -> bool {
    let at_rest = |line: &SheetLine| !line.owed.is_positive() && !line.waiting.is_positive();
    sheet.lines.iter().all(at_rest)
}

/// Orders, a line each, with what they owe.
pub fn order_list(sheets: &[OrderSheet<'_>], mut paper: Paper) -> Paper {
    let late = |sheet: &OrderSheet<'_>| sheet.lines.iter().filter(|line| is_late(line, sheet.day)).count();
    let lates = sheets
        .iter()
        .filter(|sheet| sheet.open && late(sheet) > 0)
        .count();
    paper.answer = match lates {
        0 => count(sheets.len(), "order"),
        lates => format!("{}, {lates} late", count(sheets.len(), "order")),
    };
    let mut table = Table::new(
        "orders",
        &[
            ("order", "order"),
            ("supplier", "supplier"),
            ("state", "state"),
            ("lines", "lines"),
            ("open", "open"),
            ("next", "next"),
            ("value", "value"),
        ],
    )
    .spare(&["lines"])
    .amounts(&["value"]);
    for sheet in sheets {
        let owed = sheet.lines.iter().filter(|line| line.owed.is_positive());
        let next = owed.clone().filter_map(|line| line.promised).min();
        let value = printed_sum(sheet.lines.iter().map(|line| line.value), sheet.currency);
        table.row(vec![
            Cell::text(sheet.number),
            Cell::text(sheet.supplier),
            match late(sheet) {
                late if sheet.open && late > 0 => Cell::Alert(format!("LATE {late}")),
                _ => Cell::text(state(sheet)),
            },
            Cell::Count(i64::try_from(sheet.lines.len()).unwrap_or(i64::MAX)),
            Cell::Count(i64::try_from(owed.count()).unwrap_or(i64::MAX)),
            next.map_or(Cell::Empty, Cell::Day),
            Cell::Money(value, sheet.currency),
        ]);
    }
    paper.tables.push(table);
    paper
}
