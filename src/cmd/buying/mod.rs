//! Buying: orders to suppliers.

pub mod order;

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Shop};
use clap::Subcommand;

/// The commands of this room.
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    /// Orders to suppliers: raised, listed, shown with what they owe, closed short
    #[command(subcommand)]
    Order(order::Command),
}

/// Runs a command of this room.
pub fn run(shop: &mut Shop<'_, '_>, command: Command) -> Result<Done, Failure> {
    match command {
        Command::Order(command) => order::run(shop, &command),
    }
}
