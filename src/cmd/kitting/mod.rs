//! The kits: conversions, jobs, reserving, picking, issuing.

pub mod conversion;
pub mod free;
pub mod issue;
pub mod job;
pub mod pick;
pub mod reserve;
pub mod shorts;

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Shop};
use clap::Subcommand;

/// The commands of this room.
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    /// `conversion`.
    #[command(subcommand)]
    Conversion(conversion::Command),
    /// `job`.
    #[command(subcommand)]
    Job(job::Command),
    /// `reserve`.
    #[command(after_help = "examples:\n  bincard reserve blue --by TW\n  bincard reserve --by TW")]
    Reserve(reserve::Ask),
    /// `free`.
    #[command(after_help = "examples:\n  bincard free blue --by TW\n  bincard free blue 7 12 --by TW")]
    Free(free::Ask),
    /// `shorts`.
    #[command(after_help = "examples:\n  bincard shorts\n  bincard shorts blue")]
    Shorts(shorts::Ask),
    /// `pick`.
    #[command(
        after_help = "examples:\n  bincard pick blue\n  bincard pick blue --list 2 --as-listed --by TW"
    )]
    Pick(pick::Ask),
    /// `issue`.
    #[command(after_help = "examples:\n  bincard issue blue --by TW\n  bincard issue blue 7 12 --by TW")]
    Issue(issue::Ask),
}

/// Runs a command of this room.
pub fn run(shop: &mut Shop<'_, '_>, command: Command) -> Result<Done, Failure> {
    match command {
        Command::Conversion(command) => conversion::run(shop, &command),
        Command::Job(command) => job::run(shop, &command),
        Command::Reserve(ask) => reserve::run(shop, &ask),
        Command::Free(ask) => free::run(shop, &ask),
        Command::Shorts(ask) => shorts::run(shop, &ask),
        Command::Pick(ask) => pick::run(shop, &ask),
        Command::Issue(ask) => issue::run(shop, &ask),
    }
}
