//! Inspection: proof of the books, of each document, and the way back.

pub mod explain;
pub mod undo;

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Shop};
use clap::Subcommand;

/// The commands of this room.
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    #[command(after_help = "examples:\n  bincard undo --by TW\n  bincard undo PCK-000045 --by TW")]
    /// `undo`.
    Undo(undo::Ask),
    #[command(after_help = "examples:\n  bincard explain 206\n  bincard explain")]
    /// `explain`.
    Explain(explain::Ask),
}

/// Runs a command of this room.
pub fn run(shop: &mut Shop<'_, '_>, command: Command) -> Result<Done, Failure> {
    match command {
        Command::Undo(ask) => undo::run(shop, &ask),
        Command::Explain(ask) => explain::run(&ask),
    }
}
