//! The counter: what stands on the shelf, on which card, until when.

pub mod card;
pub mod expiry;
pub mod stock;

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Shop};
use clap::Subcommand;

/// The commands of this room.
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    #[command(
        after_help = "examples:\n  bincard stock SP-20\n  bincard stock sealant\n  bincard stock --format csv"
    )]
    /// `stock`.
    Stock(stock::Ask),
    /// `card`.
    #[command(after_help = "examples:\n  bincard card ST-160\n  bincard card A-1 --since 2026-11-01")]
    Card(card::Ask),
    /// `expiry`.
    #[command(after_help = "examples:\n  bincard expiry\n  bincard expiry --within 30 --format csv")]
    Expiry(expiry::Ask),
}

/// Runs a command of this room.
pub fn run(shop: &mut Shop<'_, '_>, command: Command) -> Result<Done, Failure> {
    match command {
        Command::Stock(ask) => stock::run(shop, &ask),
        Command::Card(ask) => card::run(shop, &ask),
        Command::Expiry(ask) => expiry::run(shop, &ask),
    }
}
