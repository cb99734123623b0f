//! What becomes of stock besides going into kits: used in the workshop, weighed back, made up, sent out.

pub mod using;
pub mod weigh;

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
    /// `weigh`.
    #[command(
        after_help = "examples:\n  bincard weigh U31 --gross 0.47kg --tare 70g --by TW\n  bincard weigh U31 --gross 452g --tare 70g --by TW -w used without a slip"
    )]
    Weigh(weigh::Ask),
}

/// Runs a command of this room.
pub fn run(shop: &mut Shop<'_, '_>, command: Command) -> Result<Done, Failure> {
    match command {
        Command::Use(ask) => using::run(shop, &ask),
        Command::Weigh(ask) => weigh::run(shop, &ask),
    }
}
