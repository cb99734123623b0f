//! Getting started: a store made, its records taken on, its settings.

pub mod demo;
pub mod import;
pub mod init;
pub mod settings;
mod take_on;

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Shop};
use clap::Subcommand;

/// The commands of this room.
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    /// Make a store where there is none
    #[command(
        after_help = "examples:\n  bincard init --name \"Tern Slip\" --by HP\n  bincard --store ./stores.db init --name \"Tern Slip\" --method fifo --by HP"
    )]
    Init(init::Ask),
    /// Walk through the whole job in a store that is thrown away
    #[command(after_help = "examples:\n  bincard demo\n  bincard demo --into ./walk")]
    Demo(demo::Ask),
    /// Take on records, opening stock, orders and jobs from CSV files: all of it or nothing
    #[command(
        after_help = "examples:\n  bincard import ./opening --by HP\n  bincard import orders.csv jobs.csv --by HP --dry-run"
    )]
    Import(import::Ask),
    /// Show the store's settings, or move a training store to another day
    #[command(
        after_help = "examples:\n  bincard settings\n  bincard settings --training-day 2026-11-25 --by HP"
    )]
    Settings(settings::Ask),
}

/// Runs a command of this room.
pub fn run(shop: &mut Shop<'_, '_>, command: Command) -> Result<Done, Failure> {
    match command {
        Command::Init(ask) => init::run(shop, &ask),
        Command::Demo(_) => Err(Failure::usage("the demo runs by itself", "bincard demo")),
        Command::Import(ask) => import::run(shop, &ask),
        Command::Settings(ask) => settings::run(shop, &ask),
    }
}
