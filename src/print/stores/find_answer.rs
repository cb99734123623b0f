//! What is found: a part, a lot, a bin, or several of them a line each; the first line is the answer.

use crate::domain::measure::{Day, Qty};
use crate::domain::stores::lot::Lot;
use crate::domain::stores::part::Part;
use crate::domain::stores::place::Place;
use crate::domain::stores::standing::{Lying, PartInHouse, standing};
use crate::domain::stores::verdict::{Verdict, dead_if_opened_before, first_to_give, free_to_give, verdict};
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::stores::stock_list::one_part;
use crate::print::table::Table;
use crate::print::words::{count, measured, until};

/// One part: where it is, which lot to give first, its last day, how many are free.
///
/// `instead` says what may stand in for it, a line each.
pub fn part_found(
    found: &PartInHouse,
    on_order: Qty,
    (day, instead): (Day, &[String]),
    paper: Paper,
) -> Paper {
    let mut paper = one_part(found, on_order, day, paper);
    let (part, all_free) = (&found.part, free_to_give(&found.lying, day));
    paper.answer = match first_to_give(&found.lying, day) {
        Some(first) => {
            let free = first.position.free();
            let (some, all) = match free == all_free {
                true => (String::new(), ""),
                false => (format!(" ({free})"), " in all"),
            };
            format!(
                "{} in {}: give {} first{some}, {}; {} free{all}",
                part.number,
                first.place.code,
                first.lot.number,
                last_day(first.lot.expiry),
                measured(all_free, part.unit)
            )
        }
        None => match instead
            .iter()
            .find_map(|line| line.split_once(" may stand in for "))
        {
            Some((other, _)) => format!(
                "{}: none to give; {other} may stand in, by the authority below",
                part.number
            ),
            None => format!(
                "{}: none to give; {}",
                part.number,
                why_none(found, on_order, day)
            ),
        },
    };
    paper.notes.extend_from_slice(instead);
    if instead.is_empty() && first_to_give(&found.lying, day).is_none() {
        paper.notes.push(
            "no substitute is on record; another part than the bill's is for the manager to allow".into(),
        );
    }
    paper
}

/// What there is of a part of which none can be given.
fn why_none(found: &PartInHouse, on_order: Qty, day: Day) -> String {
    let sum = standing(&found.lying, day);
    let parts = [
        ("reserved", sum.reserved),
        ("on hold", sum.on_hold),
        ("dead", sum.dead),
        ("not for everybody", sum.free),
        ("in receiving", sum.receiving),
        ("in quarantine", sum.quarantine),
        ("on order", on_order),
    ];
    let told: Vec<String> = parts
        .iter()
        .filter(|(_, qty)| qty.is_positive())
        .map(|(what, qty)| format!("{} {what}", measured(*qty, found.part.unit)))
        .collect();
    if told.is_empty() {
        return "nothing in the house, none on order".to_owned();
    }
    told.join(", ")
}

fn last_day(last: Option<Day>) -> String {
    last.map_or_else(|| "no last day".to_owned(), |day| format!("until {day}"))
}

/// Everything that is told of one lot.
pub struct LotFacts<'a> {
    /// The lot.
    pub lot: &'a Lot,
    /// Its part.
    pub part: &'a Part,
    /// What of it lies in the house.
    pub lying: &'a [Lying],
    /// Where it lies outside.
    pub outside: Vec<(Place, Qty)>,
    /// For whom it is reserved, by tag or number.
    pub reserved: Vec<(String, Qty)>,
    /// Why it is held.
    pub held: Vec<String>,
    /// Whose it is where it is not the house's.
    pub owner: Option<String>,
}

/// One lot: any good or not, until when, how much is left and where; then how that was worked out.
pub fn lot_found(facts: &LotFacts<'_>, day: Day, mut paper: Paper) -> Paper {
    paper.answer = lot_answer(facts, day);
    paper.tables.push(lot_table(facts, day));
    let (lot, part) = (facts.lot, facts.part);
    paper.notes.push(worked_out(lot, day));
    let before = dead_if_opened_before(part, lot, day).filter(|_| !facts.lying.is_empty());
    if let (Some(before), Some(life)) = (before, part.opened_life) {
        paper.notes.push(format!(
            "not noted as opened; open it lasts {life}: opened before {before}, it is dead"
        ));
    }
    for (job, qty) in &facts.reserved {
        let qty = measured(*qty, part.unit);
        paper.notes.push(format!("{qty} reserved for {job}"));
    }
    paper
        .notes
        .extend(facts.held.iter().map(|cause| format!("held: {cause}")));
    if let Some(owner) = &facts.owner {
        paper.notes.push(format!("it belongs to {owner}"));
    }
    paper
}

fn lot_answer(facts: &LotFacts<'_>, day: Day) -> String {
    let (lot, part) = (facts.lot, facts.part);
    let there: Qty = facts.lying.iter().map(|line| line.qty).sum();
    let mut bins: Vec<&str> = facts.lying.iter().map(|line| line.place.code.as_str()).collect();
    bins.dedup();
    let bins = match bins.as_slice() {
        [one] => format!("in {one}"),
        several => format!("in {}", count(several.len(), "bin")),
    };
    let what = format!(
        "{} of {} {bins} ({})",
        measured(there, part.unit),
        part.number,
        lot.number
    );
    let free = facts.lying.first().map_or(Qty::ZERO, |line| line.position.free());
    match verdict(lot, facts.lying, day) {
        Verdict::Usable => {
            let whose = facts.owner.as_ref();
            let whose = whose.map_or(String::new(), |owner| format!(", {owner}'s"));
            format!("good, {}: {what}, {free} free{whose}", last_day(lot.expiry))
        }
        Verdict::Dead(last) => format!("NO GOOD since {last} went by: {what}"),
        Verdict::OnHold => format!("NOT to be used, ON HOLD: {what}"),
        Verdict::Elsewhere(kind) => format!("NOT to be given, it lies in {kind}: {what}"),
        Verdict::Gone => {
            let gone: Vec<String> = facts
                .outside
                .iter()
                .map(|(place, qty)| format!("{qty} to {}", place.code))
                .collect();
            let gone = if gone.is_empty() {
                "all gone".to_owned()
            } else {
                gone.join(", ")
            };
            format!("NONE left of {} {}: {gone}", part.number, lot.number)
        }
    }
}

/// How the last day of a lot came about: the inspector's question.
pub fn worked_out(lot: &Lot, day: Day) -> String {
    let Some(last) = lot.expiry else {
        return "no last day stands on its record".to_owned();
    };
    let left = until(Some(last), day);
    match (&lot.expiry_how, lot.made) {
        (Some(how), _) => format!("last day {last}, {left}; worked out: {how}"),
        (None, Some(made)) => format!("last day {last}, {left}; as taken on from the pack, made {made}"),
        (None, None) => format!("last day {last}, {left}; as taken on from the pack"),
    }
}

fn lot_table(facts: &LotFacts<'_>, day: Day) -> Table {
    let unit = facts.part.unit.to_string();
    let mut table = Table::new(
        facts.part.name.clone(),
        &[
            ("lot", "lot"),
            ("bin", "bin"),
            ("qty", "there"),
            ("expiry", "last day"),
            ("usable", "usable"),
            ("batch", "batch"),
            ("maker", "maker"),
        ],
    )
    .spare(&["batch", "maker"])
    .quantities(&["qty"]);
    let batch = facts.lot.batch.clone().or(facts.lot.serial.clone());
    let inside = facts.lying.iter().map(|line| (&line.place, line.qty));
    let outside = facts.outside.iter().map(|(place, qty)| (place, *qty));
    for (place, qty) in inside.chain(outside) {
        let usable = place.id.pickable() && verdict(facts.lot, facts.lying, day) == Verdict::Usable;
        table.row(vec![
            Cell::text(facts.lot.number.clone()),
            Cell::text(place.code.clone()),
            Cell::Qty(qty, unit.clone()),
            facts.lot.expiry.map_or(Cell::Empty, Cell::Day),
            Cell::text(if usable { "yes" } else { "no" }),
            Cell::text(batch.clone().unwrap_or_default()),
            Cell::text(facts.lot.maker.clone().unwrap_or_default()),
        ]);
    }
    table
}

/// One of several things found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hit {
    /// `part`, `lot`, `bin` or `job`.
    pub what: &'static str,
    /// Its number or code.
    pub number: String,
    /// What people call it.
    pub name: String,
    /// Where it lies, where one place can be named.
    pub bin: String,
    /// The lot to be given first.
    pub lot: String,
    /// The last day of that lot.
    pub expiry: Option<Day>,
    /// How much is free, and the unit; none where that makes no sense.
    pub free: Option<(Qty, String)>,
}

/// A part as one hit of several.
pub fn part_hit(found: &PartInHouse, day: Day) -> Hit {
    let first = first_to_give(&found.lying, day);
    Hit {
        what: "part",
        number: found.part.number.clone(),
        name: found.part.name.clone(),
        bin: first.map(|line| line.place.code.clone()).unwrap_or_default(),
        lot: first.map(|line| line.lot.number.clone()).unwrap_or_default(),
        expiry: first.and_then(|line| line.lot.expiry),
        free: Some((free_to_give(&found.lying, day), found.part.unit.to_string())),
    }
}

/// How many hits are shown; who sees more than this has said too little.
pub const MOST: usize = 20;

/// Several things found, a line each.
pub fn several_found(asked: &str, hits: &[Hit], mut paper: Paper) -> Paper {
    let kinds: std::collections::BTreeSet<&str> = hits.iter().map(|hit| hit.what).collect();
    let one = match (kinds.len(), kinds.first()) {
        (1, Some(what)) => what,
        _ => "thing",
    };
    let asked: String = asked.chars().take(40).collect();
    paper.answer = format!("{} for {asked}; say more to find one", count(hits.len(), one));
    let mut table = Table::new(
        "found",
        &[
            ("what", "what"),
            ("number", "number"),
            ("bin", "bin"),
            ("lot", "lot"),
            ("expiry", "last day"),
            ("free", "free"),
            ("name", "name"),
        ],
    )
    .spare(&["name"])
    .quantities(&["free"]);
    for hit in hits.iter().take(MOST) {
        table.row(vec![
            Cell::text(hit.what),
            Cell::text(hit.number.clone()),
            Cell::text(hit.bin.clone()),
            Cell::text(hit.lot.clone()),
            hit.expiry.map_or(Cell::Empty, Cell::Day),
            hit.free
                .clone()
                .map_or(Cell::Empty, |(qty, unit)| Cell::Qty(qty, unit)),
            Cell::text(hit.name.clone()),
        ]);
    }
    if hits.len() > MOST {
        paper.notes.push(format!("and {} more", hits.len() - MOST));
    }
    paper.tables.push(table);
    paper
}

/// What lies in a bin, by part and lot: part, lot, how much, its unit.
pub fn bin_found(place: &Place, there: &[(String, Lot, Qty, String)], day: Day, mut paper: Paper) -> Paper {
    let parts: std::collections::BTreeSet<&str> = there.iter().map(|line| line.0.as_str()).collect();
    let kind = place
        .id
        .kind()
        .map_or("place", crate::domain::stores::law::Kind::word);
    let name: String = place.name.chars().take(40).collect();
    paper.answer = format!(
        "{} ({kind}, {name}): {} of {}",
        place.code,
        count(there.len(), "lot"),
        count(parts.len(), "part")
    );
    let mut table = Table::new(
        place.code.clone(),
        &[
            ("part", "part"),
            ("lot", "lot"),
            ("qty", "there"),
            ("expiry", "last day"),
            ("left", "left"),
            ("batch", "batch"),
        ],
    )
    .spare(&["left", "batch"])
    .quantities(&["qty"]);
    for (part, lot, qty, unit) in there {
        let left = until(lot.expiry, day);
        let left = if lot.usable_on(day) {
            left
        } else {
            left.replace("expired", "EXPIRED")
        };
        table.row(vec![
            Cell::text(part.clone()),
            Cell::text(lot.number.clone()),
            Cell::Qty(*qty, unit.clone()),
            lot.expiry.map_or(Cell::Empty, Cell::Day),
            Cell::Alert(left),
            Cell::text(lot.batch.clone().or(lot.serial.clone()).unwrap_or_default()),
        ]);
    }
    if !there.is_empty() {
        paper.tables.push(table);
    }
    paper
}
