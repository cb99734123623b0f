//! `conversion`: what there is, and one expanded for an engine by one choice.

use crate::cmd::bench::{bill_called, choices, expanded_for};
use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::kitting::bills::conversions;
use crate::print::kitting::bill_sheet;
use clap::{Args, Subcommand};

/// Show conversions, or one expanded by its choices
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    /// `show`.
    #[command(after_help = "examples:\n  bincard conversion show\n  bincard conversion show --format json")]
    Show(Show),
    /// `expand`.
    #[command(
        after_help = "examples:\n  bincard conversion expand TC-W -c route=spacer\n  bincard conversion expand TC-L -c route=piston"
    )]
    Expand(Expand),
}

/// The conversions there are, and what each leaves open
#[derive(Args, Debug)]
pub struct Show {}

/// What one engine needs by one choice, with the sum behind each quantity
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
    let paper = scene.paper("conversion", "");
    Ok(Done::yes(bill_sheet::expanded(
        &bill, &chosen, &model, &expanded, paper,
    )))
}
