//! Estimating: one route against the other, and what a job cost.

pub mod compare;
pub mod cost;
pub mod sums;

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Shop};
use clap::Subcommand;

/// The commands of this room.
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    /// `compare`.
    #[command(after_help = "examples:\n  bincard compare TC-W\n  bincard compare TC-L --max 7.4")]
    Compare(compare::Ask),
    /// `cost`.
    #[command(after_help = "examples:\n  bincard cost blue\n  bincard cost J-0001 --format csv")]
    Cost(cost::Ask),
    /// Sums of the bench, with units, formula and inputs: no store needed
    #[command(subcommand)]
    Sums(sums::Command),
}

/// Runs a command of this room.
pub fn run(shop: &mut Shop<'_, '_>, command: Command) -> Result<Done, Failure> {
    match command {
        Command::Compare(ask) => compare::run(shop, &ask),
        Command::Cost(ask) => cost::run(shop, &ask),
        // The sums need no store and leave it shut.
        Command::Sums(command) => sums::run(&command),
    }
}
