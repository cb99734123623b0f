//! The papers of the sums: what was understood, the formula, the result, the cautions and what brought them up.

use crate::domain::estimating::compression::{
    PISTON_CAUTIONS, Ratio, SPACER_CAUTIONS, SpacerChoice, UNEQUAL_CAUTION,
};
use crate::domain::estimating::compression_sum::{Change, Cylinder, Outcome, Spaced, figured};
use crate::domain::estimating::units_sum::Converted;
use crate::domain::measure::rounding::{Rule, round};
use crate::print::cell::Cell;
use crate::print::paper::{Heading, Paper};
use crate::print::table::Table;
use rust_decimal::Decimal;

/// Stands under every sum.
pub const AUTHORITY: &str = "this sum computes, it does not approve; the approved manual rules";

/// A ratio as it is shown: four decimals, half away from zero, without needless zeros.
fn shown(ratio: Decimal) -> Decimal {
    round(ratio, Decimal::new(1, 4), Rule::HalfAway).normalize()
}

/// The paper of a sum under no store's heading.
fn paper(kind: &'static str, answer: String, table: Table) -> Paper {
    let mut paper = Paper::new(kind, answer, Heading::default());
    paper.tables.push(table);
    paper.notes.push(AUTHORITY.to_owned());
    paper
}

/// An empty table of a sum.
fn sum_table(title: &str) -> Table {
    Table::new(
        title,
        &[
            ("what", "what"),
            ("value", "value"),
            ("unit", "unit"),
            ("from", "from"),
        ],
    )
}

/// One line of a sum: what, how much, and what was typed or how it was worked out.
///
/// The figures are of different kinds: noughts that would line them up would feign a precision that none of them has.
fn line(table: &mut Table, what: &str, value: Decimal, unit: &str, from: &str) {
    table.row(vec![
        Cell::text(what),
        Cell::text(value.normalize().to_string()),
        Cell::text(unit),
        Cell::text(from),
    ]);
}

/// What was typed for a sum and how it was understood, in the order of the lines.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Typed {
    /// The name of each, its value, unit and echo.
    pub lines: Vec<(&'static str, Decimal, &'static str, String)>,
}

impl Typed {
    fn into_table(self, title: &str) -> Table {
        let mut table = sum_table(title);
        for (what, value, unit, echo) in self.lines {
            line(&mut table, what, value.normalize(), unit, &echo);
        }
        table
    }
}

/// What a change makes of an engine's compression.
pub fn compression_sheet(
    typed: Typed,
    engine: &Cylinder,
    cylinders: u32,
    change: &Change,
    outcome: &Outcome,
) -> Paper {
    let mut table = typed.into_table("compression");
    let swept_cm3 = engine.swept_cm3();
    line(
        &mut table,
        "swept, one cylinder",
        figured(swept_cm3, 3),
        "cm3",
        "pi/4 x bore^2 x stroke",
    );
    let all = swept_cm3 * f64::from(cylinders);
    line(
        &mut table,
        "swept, engine",
        figured(all, 3),
        "cm3",
        &format!("x {cylinders} cylinders"),
    );
    let clearance = figured(engine.clearance_cm3(), 3);
    line(&mut table, "clearance", clearance, "cm3", "swept / (ratio - 1)");
    let before = shown(engine.ratio.figure());
    line(
        &mut table,
        "ratio as it is",
        before,
        ":1",
        "(swept + clearance) / clearance",
    );
    let mut paper = paper("sums_compression", format!("{before}:1 as it is"), table);
    match outcome {
        Outcome::AsItIs => {}
        Outcome::Spacers(spaced) => spacers_told(&mut paper, before, change, spaced),
        Outcome::Pistons { added_cm3, ratio } => pistons_told(&mut paper, before, *added_cm3, *ratio),
    }
    paper
}

/// Adds a line to the first table of a paper.
fn more(paper: &mut Paper, what: &str, value: Decimal, unit: &str, from: &str) {
    if let Some(table) = paper.tables.first_mut() {
        line(table, what, value, unit, from);
    }
}

fn spacers_told(paper: &mut Paper, before: Decimal, change: &Change, spaced: &Spaced) {
    let formula = "(S + h + t) / (h + t), h = S / (ratio - 1)";
    let sizes: Vec<String> = change
        .spacers_mm
        .iter()
        .map(|mm| mm.normalize().to_string())
        .collect();
    let ratios = || spaced.each.ratios.iter().map(|ratio| ratio.figure());
    let (highest, lowest) = (
        ratios().max().unwrap_or_default(),
        ratios().min().unwrap_or_default(),
    );
    if let [_] = sizes.as_slice() {
        more(paper, "ratio with spacer", shown(highest), ":1", formula);
    } else {
        for (at, ratio) in ratios().enumerate() {
            more(
                paper,
                &format!("ratio, cylinder {}", at + 1),
                shown(ratio),
                ":1",
                formula,
            );
        }
    }
    let trigger = format!("spacer {} mm", sizes.join(", "));
    let spread = shown(spaced.each.spread);
    paper.answer = if spaced.each.spread.is_zero() {
        format!(
            "{}:1 with a {} mm spacer, {before}:1 without",
            shown(highest),
            sizes.first().map_or("", String::as_str)
        )
    } else {
        more(paper, "spread", spread, ":1", "highest - lowest");
        paper
            .cautions
            .push(format!("{trigger}: {UNEQUAL_CAUTION}; {spread} apart"));
        format!(
            "UNEQUAL: {}:1 to {}:1, {spread} apart; {before}:1 without",
            shown(lowest),
            shown(highest)
        )
    };
    if let Some((low, high)) = spaced.within {
        let (low, high) = (low.figure(), high.figure());
        let off = format!("spacers off by {} mm", change.tolerance_mm.normalize());
        more(
            paper,
            "lowest within tolerance",
            shown(low),
            ":1",
            "thickest + tolerance",
        );
        more(
            paper,
            "highest within tolerance",
            shown(high),
            ":1",
            "thinnest - tolerance",
        );
        let apart = shown(high - low);
        paper
            .cautions
            .push(format!("{off}: cylinders may lie {apart} apart"));
    }
    paper.cautions.extend(
        SPACER_CAUTIONS
            .iter()
            .map(|caution| format!("{trigger}: {caution}")),
    );
}

fn pistons_told(paper: &mut Paper, before: Decimal, added_cm3: f64, ratio: f64) {
    let added = figured(added_cm3, 3);
    more(
        paper,
        "added clearance",
        added,
        "cm3",
        "dish + pi/4 x bore^2 x height cut",
    );
    let after = figured(ratio, 4).normalize();
    more(
        paper,
        "ratio with piston",
        after,
        ":1",
        "(swept + clearance + added) / (clearance + added)",
    );
    paper.answer = format!("{after}:1 with the other piston, {before}:1 without");
    let trigger = format!("piston adding {} cm3", added.normalize());
    paper.cautions.extend(
        PISTON_CAUTIONS
            .iter()
            .map(|caution| format!("{trigger}: {caution}")),
    );
}

/// What a spacer must be to keep the limits, or that it need not be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SpacerAnswer {
    /// The engine keeps the limits without one.
    NotNeeded,
    /// No sizes were given: the least that keeps the maximum, and the most that keeps the minimum, in mm.
    Wanted(Decimal, Option<Decimal>),
    /// The stocked size to take.
    Take(SpacerChoice),
    /// No size serves, and why.
    None {
        /// The answer in one line.
        answer: String,
        /// The least thickness that keeps the maximum, in mm, where one was found.
        wanted_mm: Option<Decimal>,
    },
}

/// The spacer that keeps a limit; what was asked stands above it.
pub fn spacer_sheet(typed: Typed, max: Ratio, answer: &SpacerAnswer) -> Paper {
    let formula = "S / (max - 1) - S / (ratio - 1), rounded up";
    let least = |mm: Decimal| round(mm, Decimal::new(1, 4), Rule::Up).normalize();
    let limit = max.figure().normalize();
    let mut paper = paper("sums_spacer", String::new(), typed.into_table("spacer"));
    match answer {
        SpacerAnswer::NotNeeded => paper.answer = format!("no spacer is needed: the ratio keeps {limit}:1"),
        SpacerAnswer::Wanted(wanted_mm, most_mm) => {
            more(&mut paper, "least thickness", least(*wanted_mm), "mm", formula);
            let to = most_mm.map(|mm| round(mm, Decimal::new(1, 4), Rule::Down).normalize());
            if let Some(mm) = to {
                more(
                    &mut paper,
                    "most thickness",
                    mm,
                    "mm",
                    "S / (min - 1) - S / (ratio - 1), rounded down",
                );
            }
            let most = to.map_or(String::new(), |mm| format!(", at most {mm} mm"));
            paper.answer = format!("{} mm or more{most} keeps {limit}:1", least(*wanted_mm));
        }
        SpacerAnswer::Take(choice) => choice_told(&mut paper, limit, choice, formula),
        SpacerAnswer::None { answer, wanted_mm } => {
            if let Some(mm) = wanted_mm {
                more(&mut paper, "least thickness", least(*mm), "mm", formula);
            }
            paper.answer.clone_from(answer);
        }
    }
    if *answer != SpacerAnswer::NotNeeded {
        let trigger = format!("maximum {limit}:1 by spacer");
        paper.cautions.extend(
            SPACER_CAUTIONS
                .iter()
                .map(|caution| format!("{trigger}: {caution}")),
        );
    }
    paper
}

/// The size to take, and why not the next thinner one.
fn choice_told(paper: &mut Paper, limit: Decimal, choice: &SpacerChoice, formula: &str) {
    let wanted_mm = round(choice.wanted_mm, Decimal::new(1, 4), Rule::Up).normalize();
    more(paper, "least thickness", wanted_mm, "mm", formula);
    more(
        paper,
        "stocked size",
        choice.thickness_mm.normalize(),
        "mm",
        "the next size up, never two",
    );
    more(
        paper,
        "ratio with it",
        shown(choice.ratio.figure()),
        ":1",
        "(S + h + t) / (h + t)",
    );
    if let Some((mm, ratio)) = choice.next_thinner {
        let from = format!("{} mm breaks the maximum", mm.normalize());
        more(paper, "ratio, next thinner", shown(ratio.figure()), ":1", &from);
    }
    paper.answer = format!(
        "take the {} mm spacer: {}:1, the maximum is {limit}:1",
        choice.thickness_mm.normalize(),
        shown(choice.ratio.figure())
    );
}

/// One figure in another unit.
pub fn units_sheet(figure: Decimal, converted: &Converted) -> Paper {
    let mut table = sum_table("units");
    line(
        &mut table,
        "given",
        figure.normalize(),
        converted.from,
        "as typed",
    );
    let how = if converted.exact {
        "exact"
    } else {
        "rounded to 9 decimals"
    };
    let from = format!("{}, {how}", converted.formula);
    line(&mut table, "comes to", converted.figure, converted.to, &from);
    let sign = if converted.exact { "=" } else { "is about" };
    let answer = format!(
        "{} {} {sign} {} {}",
        figure.normalize(),
        converted.from,
        converted.figure,
        converted.to
    );
    paper("sums_units", answer, table)
}
