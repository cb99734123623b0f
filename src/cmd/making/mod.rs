//! What becomes of stock besides going into kits: used in the workshop, weighed back, made up, sent out.

pub mod away;
pub mod dispatch;
pub mod make;
pub mod send_back;
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
    /// `away`.
    #[command(
        after_help = "examples:\n  bincard away\n  bincard away L000014N 2 --to PLATE --due 2026-12-05 --by TW -w nickel plating\n  bincard away S20-11 --to OUT --due 2026-12-01 --by TW -w shown to the agent"
    )]
    Away(away::Ask),
    /// `send-back`.
    #[command(
        after_help = "examples:\n  bincard send-back S20-12 4 --to OSTRE --by TW -w out of parallel\n  bincard send-back J6318 2 --to QUO --from IN --by TW -w scratched"
    )]
    SendBack(send_back::Ask),
    /// `dispatch`.
    #[command(
        after_help = "examples:\n  bincard dispatch S20-11=2 --to BRACK --by TW\n  bincard dispatch S20-11=2 J6102=4 --to TOW --by TW -w spares for the winter"
    )]
    Dispatch(dispatch::Ask),
    /// `make`.
    #[command(
        after_help = "examples:\n  bincard make SP-15 2 --of S20-11=2 --by TW -w ground to 1.5 mm\n  bincard make SP-10 2 --of S20-11=2 --by TW -w ground to 1.0 mm"
    )]
    Make(make::Ask),
}

/// Runs a command of this room.
pub fn run(shop: &mut Shop<'_, '_>, command: Command) -> Result<Done, Failure> {
    match command {
        Command::Use(ask) => using::run(shop, &ask),
        Command::Away(ask) => away::run(shop, &ask),
        Command::SendBack(ask) => send_back::run(shop, &ask),
        Command::Dispatch(ask) => dispatch::run(shop, &ask),
        Command::Make(ask) => make::run(shop, &ask),
        Command::Weigh(ask) => weigh::run(shop, &ask),
    }
}
