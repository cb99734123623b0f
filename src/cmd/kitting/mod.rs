//! The kits: conversions, jobs, reserving, picking, issuing.

pub mod conversion;
pub mod free;
pub mod give;
pub mod issue;
pub mod job;
pub mod pick;
pub mod reserve;
pub mod returns;
pub mod shorts;

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Shop};
use clap::Subcommand;

/// The commands of this room.
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    /// The kits: what a conversion takes, level by level, and the faults of its bills
    #[command(subcommand)]
    Conversion(conversion::Command),
    /// Jobs: raised, listed, shown line by line, changed, given up, closed
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
        after_help = "examples:\n  bincard pick blue\n  bincard pick blue --list 2 --as-listed --by TW\n  bincard pick blue --list 2 7=1 4=8:T160-4 12=later --by TW"
    )]
    Pick(pick::Ask),
    /// `issue`.
    #[command(after_help = "examples:\n  bincard issue blue --by TW\n  bincard issue blue 7 12 --by TW")]
    Issue(issue::Ask),
    /// `return`.
    #[command(
        after_help = "examples:\n  bincard return blue 12=2:unused 7=1:burr --by TW\n  bincard return W28-0417 16=6:used --by TW"
    )]
    Return(returns::Ask),
    /// `put-back`.
    #[command(
        after_help = "examples:\n  bincard put-back blue 22=4 --by TW\n  bincard put-back blue 24=2:T160-4 --to A-1 --by TW"
    )]
    PutBack(returns::PutBackAsk),
    /// `give`.
    #[command(
        after_help = "examples:\n  bincard give ST-160 1 -j blue --by TW -w sheared\n  bincard give NU-10 2 -j blue --more --by TW"
    )]
    Give(give::Ask),
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
        Command::Return(ask) => returns::run(shop, &ask),
        Command::PutBack(ask) => returns::back(shop, &ask),
        Command::Give(ask) => give::run(shop, &ask),
    }
}
