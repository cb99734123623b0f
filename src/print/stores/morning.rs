//! The morning page: what is due, what is short, what waits, what dies; nothing to do says so.

use crate::domain::measure::Day;
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::count;

/// One thing to look after today.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToDo {
    /// Which sort.
    pub sort: Sort,
    /// What it is about: an order, a job, a lot.
    pub about: String,
    /// More of it: a part and how much, an engine, a bin.
    pub what: String,
    /// Its day: promised, of use, the last.
    pub day: Option<Day>,
    /// How it stands.
    pub state: String,
}

/// The sorts of things to look after, in the order of the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sort {
    /// Goods that should come today or should have come.
    DueIn,
    /// A job whose parts are fitted within a week, or should have been, with lines short.
    Short,
    /// Such a job whose short lines are all free on the shelf.
    ToReserve,
    /// Such a job with nothing short.
    Job,
    /// A kit that is picked and waits for its engine.
    Kit,
    /// A job whose parts are all on the engine.
    ToClose,
    /// A lot on the shelf past its last day.
    Dead,
    /// A lot on the shelf that dies within a week.
    Dying,
    /// Goods in receiving that wait to be inspected.
    Waiting,
    /// Goods in the cage that wait for the inspector's word.
    Caged,
    /// Goods with an outworker, on loan or with a fitter that should be back.
    Away,
    /// A supplier's approval that ends within a month.
    Approval,
    /// A note of the last shift.
    Note,
}

const SORTS: [(Sort, &str); 13] = [
    (Sort::DueIn, "due in"),
    (Sort::Short, "job short"),
    (Sort::ToReserve, "job"),
    (Sort::Job, "job"),
    (Sort::Kit, "kit picked"),
    (Sort::ToClose, "to close"),
    (Sort::Dead, "dead"),
    (Sort::Dying, "dying"),
    (Sort::Waiting, "to inspect"),
    (Sort::Caged, "in the cage"),
    (Sort::Away, "away"),
    (Sort::Approval, "approval"),
    (Sort::Note, "note"),
];

impl Sort {
    /// The word on the page.
    fn word(self) -> &'static str {
        SORTS
            .iter()
            .find(|(sort, _)| *sort == self)
            .map_or("", |(_, word)| word)
    }

    /// So many of the sort, as the first line says it.
    fn counted(self, many: usize) -> String {
        let s = if many == 1 { "" } else { "s" };
        match self {
            Sort::DueIn => format!("{many} due in"),
            Sort::Short => format!("{many} job{s} short"),
            Sort::ToReserve => format!("{many} job{s} to reserve"),
            Sort::Job => format!("{many} job{s} whole"),
            Sort::Kit => format!("{many} kit{s} waiting"),
            Sort::ToClose => format!("{many} to close"),
            Sort::Dead => format!("{many} dead"),
            Sort::Dying => format!("{many} dying"),
            Sort::Waiting => format!("{many} to inspect"),
            Sort::Caged => format!("{many} in the cage"),
            Sort::Away => format!("{many} away and due"),
            Sort::Approval => format!("{} ending", count(many, "approval")),
            Sort::Note => count(many, "note"),
        }
    }
}

/// The page.
pub fn morning(todo: &[ToDo], mut paper: Paper) -> Paper {
    let told: Vec<String> = SORTS
        .iter()
        .map(|(sort, _)| (sort, todo.iter().filter(|one| one.sort == *sort).count()))
        .filter(|(_, many)| *many > 0)
        .map(|(sort, many)| sort.counted(many))
        .collect();
    if told.is_empty() {
        paper.answer = "nothing to do: nothing due, short, waiting or dying".to_owned();
        return paper;
    }
    paper.answer = told.join(", ");
    let mut table = Table::new(
        "today",
        &[
            ("what", "what"),
            ("about", "about"),
            ("day", "day"),
            ("state", "state"),
            ("more", "more"),
        ],
    );
    // What lies in the cage may lie there for months: it is counted, and listed where it is decided on.
    for one in todo.iter().filter(|one| one.sort != Sort::Caged) {
        table.row(vec![
            Cell::text(one.sort.word()),
            Cell::text(one.about.clone()),
            one.day.map_or(Cell::Empty, Cell::Day),
            Cell::Alert(one.state.clone()),
            Cell::text(one.what.clone()),
        ]);
    }
    paper.tables.push(table);
    let next = [
        (
            Sort::DueIn,
            "bincard goods-in ORDER   books in what the van brought",
        ),
        (Sort::Short, "bincard shorts   every short line with its reason"),
        (
            Sort::ToReserve,
            "bincard reserve --by INITIALS   reserves in order of need",
        ),
        (
            Sort::Kit,
            "bincard issue JOB --by INITIALS   a kit goes to its engine",
        ),
        (
            Sort::ToClose,
            "bincard job close JOB --by INITIALS   a job that has all its parts",
        ),
        (
            Sort::Dead,
            "bincard scrap LOT QTY --by INITIALS -w expired   clears the dead",
        ),
        (
            Sort::Away,
            "bincard away LOT --back --by INITIALS   books it in when it comes",
        ),
        (
            Sort::Waiting,
            "bincard inspect   what waits in receiving, lot by lot",
        ),
        (Sort::Caged, "bincard inspect   what lies in the cage, lot by lot"),
    ];
    for (sort, step) in next {
        if todo.iter().any(|one| one.sort == sort) {
            paper.next.push(step.to_owned());
        }
    }
    paper
}
