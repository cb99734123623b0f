//! `conversion`: what there is, one expanded for an engine by one choice, and the faults of their bills.

use crate::cmd::bench::{bill_called, choices, expanded_for};
use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::kitting::bills::{bill_facts, bills_on, conversions};
use crate::domain::kitting::bill_faults::bill_faults;
use crate::domain::refusal::Refusal;
use crate::print::kitting::bill_sheet;
use clap::{Args, Subcommand};

/// Show conversions, one expanded by its choices, or the faults of their bills
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    /// `show`.
    #[command(after_help = "examples:\n  bincard conversion show\n  bincard conversion show --format json")]
    Show(Show),
    /// `expand`.
    #[command(
        after_help = "examples:\n  bincard conversion expand TC-W -c route=spacer\n  bincard conversion expand TC-L -c route=piston --sums"
    )]
    Expand(Expand),
    /// `check`.
    #[command(
        after_help = "examples:\n  bincard conversion check\n  bincard conversion check TC-W --format csv"
    )]
    Check(Check),
}

/// The conversions there are, and what each leaves open
#[derive(Args, Debug)]
pub struct Show {}

/// What one engine needs by one choice, level by level and summed for each part
#[derive(Args, Debug)]
pub struct Expand {
    /// The conversion
    #[arg(value_name = "CONVERSION")]
    conversion: String,
    /// A choice of the bill
    #[arg(short = 'c', long = "choice", value_name = "GROUP=CHOICE")]
    choices: Vec<String>,
    /// The engine model, where the bill fits several
    #[arg(long, value_name = "MODEL")]
    model: Option<String>,
    /// The sum behind each quantity, from the line to the step and the hand-out unit
    #[arg(long)]
    sums: bool,
}

/// Every fault of the bills that hold on the day: loops, missing parts, quantities, choices, doubled lines
#[derive(Args, Debug)]
pub struct Check {
    /// The conversion, or another part with a bill; without one, all of them
    #[arg(value_name = "CONVERSION")]
    conversion: Option<String>,
}

/// Runs `conversion`.
pub fn run(shop: &mut Shop<'_, '_>, command: &Command) -> Result<Done, Failure> {
    match command {
        Command::Show(_) => shop.read(|scene| {
            let bills = conversions(scene.books, scene.day)?;
            Ok(Done::yes(bill_sheet::conversions(
                &bills,
                scene.paper("conversions", ""),
            )))
        }),
        Command::Expand(ask) => shop.read(|scene| expand(scene, ask)),
        Command::Check(ask) => shop.read(|scene| check(scene, ask)),
    }
}

fn expand(scene: &Scene<'_, '_>, ask: &Expand) -> Result<Done, Failure> {
    let bill = bill_called(scene, &ask.conversion)?;
    let chosen = bill.choose(&choices(&ask.choices)?)?;
    let model = ask
        .model
        .clone()
        .or_else(|| bill.fits.first().cloned())
        .unwrap_or_default();
    let expanded = expanded_for(scene, &bill, &chosen, &model)?;
    let sheet = bill_sheet::Sheet {
        bill: &bill,
        choices: &chosen,
        model: &model,
        expanded: &expanded,
        sums: ask.sums,
    };
    Ok(Done::yes(bill_sheet::expanded(
        &sheet,
        scene.paper("conversion", ""),
    )))
}

/// The faults of one bill and those below it, or of all; the exit says whether there are any.
fn check(scene: &Scene<'_, '_>, ask: &Check) -> Result<Done, Failure> {
    let all = bills_on(scene.books, scene.day)?;
    let facts = bill_facts(scene.books, &all)?;
    let asked: Vec<_> = match &ask.conversion {
        None => all.clone(),
        Some(called) => all
            .iter()
            .filter(|bill| bill.number.eq_ignore_ascii_case(called))
            .cloned()
            .collect(),
    };
    if let Some(called) = ask.conversion.as_ref().filter(|_| asked.is_empty()) {
        return Err(Refusal::Unknown {
            what: "part with a bill",
            asked: called.clone(),
            near: all.iter().map(|bill| bill.number.clone()).collect(),
        }
        .into());
    }
    let faults = bill_faults(&asked, &facts);
    let paper = bill_sheet::faults(&asked, &faults, scene.paper("bill_faults", ""));
    Ok(if faults.is_empty() {
        Done::yes(paper)
    } else {
        Done::no(paper)
    })
}
