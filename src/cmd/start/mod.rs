//! Getting started: a store made, its records taken on, its settings.

pub mod demo;
pub mod export;
pub mod import;
pub mod init;
pub mod people;
pub mod settings;
mod take_on;

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Shop};
use clap::Subcommand;

/// The commands of this room.
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    #[command(
        after_help = "examples:\n  bincard init --name \"Tern Slip\" --by HP\n  bincard --store ./stores.db init --name \"Tern Slip\" --method fifo --by HP"
    )]
    /// `init`.
    Init(init::Ask),
    #[command(after_help = "examples:\n  bincard demo\n  bincard demo --into ./walk")]
    /// `demo`.
    Demo(demo::Ask),
    #[command(
        after_help = "examples:\n  bincard import ./opening --by HP\n  bincard import orders.csv jobs.csv --by HP --dry-run\n  bincard import parts.csv prices.csv --update --by HP\n  bincard import - --kind parts --by HP < parts.csv"
    )]
    /// `import`.
    Import(import::Ask),
    #[command(
        after_help = "examples:\n  bincard export parts\n  bincard export stock --format json\n  bincard export --folder ./books"
    )]
    /// `export`.
    Export(export::Ask),
    /// Who may sign: list, show, add, change
    #[command(subcommand)]
    People(people::Command),
    #[command(
        after_help = "examples:\n  bincard settings\n  bincard settings --training-day 2026-11-25 --by HP\n  bincard settings --papers ask --by OQ"
    )]
    /// `settings`.
    Settings(settings::Ask),
}

/// Runs a command of this room.
pub fn run(shop: &mut Shop<'_, '_>, command: Command) -> Result<Done, Failure> {
    match command {
        Command::Init(ask) => init::run(shop, &ask),
        Command::Demo(_) => Err(Failure::usage("the demo runs by itself", "bincard demo")),
        Command::Import(ask) => import::run(shop, &ask),
        Command::Export(ask) => export::run(shop, &ask),
        Command::People(command) => people::run(shop, command),
        Command::Settings(ask) => settings::run(shop, &ask),
    }
}
