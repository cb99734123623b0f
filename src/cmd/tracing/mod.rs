//! Inspection: proof of the books, of each document, and the way back.

pub mod backup;
pub mod check;
pub mod explain;
pub mod hold;
pub mod log;
pub mod undo;

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Shop};
use clap::Subcommand;

/// The commands of this room.
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    /// `hold`.
    #[command(
        after_help = "examples:\n  bincard hold B-4 -w cannot be found --by TW\n  bincard hold --recalled 0391K -w recalled by the maker --by OQ\n  bincard hold F-1 --lay-since 2026-11-21 --lay-until 2026-11-23 -w it was off --by TW --dry-run\n  bincard hold B-4 --lift -w found behind the rack --by OQ\n  bincard hold"
    )]
    Hold(hold::Ask),
    /// `log`.
    #[command(after_help = "examples:\n  bincard log\n  bincard log --job blue\n  bincard log L49")]
    Log(log::Ask),
    /// `check`.
    #[command(after_help = "examples:\n  bincard check\n  bincard check --head 0a1b2c3d4e5f")]
    Check(check::Ask),
    /// Take a proved copy of the store, prove one, bring one back
    #[command(subcommand)]
    Backup(backup::Command),
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
        Command::Hold(ask) => hold::run(shop, &ask),
        Command::Log(ask) => log::run(shop, &ask),
        Command::Check(ask) => check::run(shop, &ask),
        Command::Backup(command) => backup::run(shop, command),
        Command::Undo(ask) => undo::run(shop, &ask),
        Command::Explain(ask) => explain::run(&ask),
    }
}
