//! What becomes of stock besides going into kits: used in the workshop, weighed back, made up, sent out.

pub mod using;

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Shop};
use clap::Subcommand;

/// The commands of this room.
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    /// `use`.
    #[command(
        after_help = "examples:\n  bincard use WI-08 1.5 --by TW -w locking the test stand\n  bincard use L000055T 2 --from BENCH --by TW -w assembly of the pump"
    )]
    Use(using::Ask),
}

/// Runs a command of this room.
pub fn run(shop: &mut Shop<'_, '_>, command: Command) -> Result<Done, Failure> {
    match command {
        Command::Use(ask) => using::run(shop, &ask),
    }
}
