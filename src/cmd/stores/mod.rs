//! The counter: what stands on the shelf, on which card, until when.

mod as_of;
pub mod card;
pub mod certificate;
pub mod count;
pub mod expiry;
pub mod extend;
pub mod find;
pub mod goods_in;
pub mod hatch;
pub mod inspect;
pub mod label;
pub mod moves;
pub mod note;
pub mod open;
pub mod scan;
pub mod scrap;
pub mod stock;
pub mod today;

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Shop};
use clap::Subcommand;

/// The commands of this room.
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    /// `hatch`.
    #[command(after_help = "examples:\n  bincard hatch\n  bincard hatch --by TW")]
    Hatch(hatch::Ask),
    /// `today`.
    #[command(after_help = "examples:\n  bincard today\n  bincard today --format csv")]
    Today(today::Ask),
    /// `find`.
    #[command(
        after_help = "examples:\n  bincard find 2 mm spacer\n  bincard find X0618\n  bincard find spacer --size thickness=2.0..2.5mm"
    )]
    Find(find::Ask),
    /// `scan`.
    #[command(after_help = "examples:\n  bincard scan L000049H\n  bincard scan OR-18 --in B-1")]
    Scan(scan::Ask),
    #[command(
        after_help = "examples:\n  bincard stock SP-20\n  bincard stock sealant\n  bincard stock --format csv\n  bincard stock SE-50 --as-of 2026-11-02"
    )]
    /// `stock`.
    Stock(stock::Ask),
    /// `card`.
    #[command(after_help = "examples:\n  bincard card ST-160\n  bincard card A-1 --since 2026-11-01")]
    Card(card::Ask),
    /// Labels to print, for lots, bins, parts and the boxes of jobs
    #[command(subcommand)]
    Label(label::Command),
    /// `expiry`.
    #[command(
        after_help = "examples:\n  bincard expiry\n  bincard expiry --within 30 --format csv\n  bincard expiry --as-of 2026-11-12"
    )]
    Expiry(expiry::Ask),
    /// `extend`.
    #[command(
        after_help = "examples:\n  bincard extend L000048J --test TR-77 --by OQ\n  bincard extend X0551 --test \"Pellam TR-77\" --by OQ --dry-run"
    )]
    Extend(extend::Ask),
    /// `goods-in`.
    #[command(
        after_help = "examples:\n  bincard goods-in ORD-103\n  bincard goods-in ORD-103 1=3 --note 1=4 --by TW\n  bincard goods-in NU-10 50 --supplier QUO --cost 21.50 --batch M77 --by TW"
    )]
    GoodsIn(goods_in::Ask),
    /// `inspect`.
    #[command(
        after_help = "examples:\n  bincard inspect\n  bincard inspect GRN-000009 1=15 --cage 1=2 -w damaged in transit --certificate CS-90 --checked all --by OQ\n  bincard inspect L000040Z 1 --concession seen running on the bench --by OQ"
    )]
    Inspect(inspect::Ask),
    /// Certificates: what each covers, what is drawn on it, what is left
    #[command(subcommand)]
    Certificate(certificate::Command),
    /// `count`.
    #[command(
        after_help = "examples:\n  bincard count B-1\n  bincard count B-1 --blind\n  bincard count B-1 --list 4 1=17 --by TW -w dropped behind the rack\n  bincard count\n  bincard count --accuracy"
    )]
    Count(count::Ask),
    /// `note`.
    #[command(
        after_help = "examples:\n  bincard note\n  bincard note blue waits for one jet -j blue --by TW\n  bincard note --done 1 --by HP -w jet came"
    )]
    Note(note::Ask),
    /// `move`.
    #[command(
        after_help = "examples:\n  bincard move L0000302 --to A-1 --by TW\n  bincard move L000045P 4 --to A-2 --by TW"
    )]
    Move(moves::Ask),
    /// `open`.
    #[command(after_help = "examples:\n  bincard open L000049H --by TW\n  bincard open L000050V --by TW")]
    Open(open::Ask),
    /// `match`.
    #[command(
        after_help = "examples:\n  bincard match L000018V=4 --measured weight=512,513,511.5,512g --by TW\n  bincard match S20-11=4 --measured thickness=2.00,2.01,2.00,2.00mm --for-model W28 --by TW"
    )]
    Match(open::matched::Ask),
    /// `scrap`.
    #[command(
        after_help = "examples:\n  bincard scrap L000048J 50 --by TW -w expired\n  bincard scrap L000025X 1 --by TW -w thread damaged"
    )]
    Scrap(scrap::Ask),
    /// `quarantine`.
    #[command(
        after_help = "examples:\n  bincard quarantine L0000310 1 --by TW -w flattened in its bag\n  bincard quarantine FP-12 1 --to CAGE --by TW -w no papers\n  bincard quarantine FP-12 1 --found --by TW -w behind the rack"
    )]
    Quarantine(scrap::CageAsk),
}

/// Runs a command of this room.
pub fn run(shop: &mut Shop<'_, '_>, command: Command) -> Result<Done, Failure> {
    match command {
        Command::Hatch(_) => Err(Failure::usage("the hatch runs by itself", "bincard hatch")),
        Command::Today(ask) => today::run(shop, &ask),
        Command::Find(ask) => find::run(shop, &ask),
        Command::Scan(ask) => scan::run(shop, &ask),
        Command::Stock(ask) => stock::run(shop, &ask),
        Command::Card(ask) => card::run(shop, &ask),
        Command::Label(command) => label::run(shop, &command),
        Command::Expiry(ask) => expiry::run(shop, &ask),
        Command::Extend(ask) => extend::run(shop, &ask),
        Command::GoodsIn(ask) => goods_in::run(shop, &ask),
        Command::Inspect(ask) => inspect::run(shop, &ask),
        Command::Certificate(command) => certificate::run(shop, command),
        Command::Count(ask) => count::run(shop, &ask),
        Command::Note(ask) => note::run(shop, &ask),
        Command::Move(ask) => moves::run(shop, &ask),
        Command::Open(ask) => open::run(shop, &ask),
        Command::Match(ask) => open::matched::run(shop, &ask),
        Command::Scrap(ask) => scrap::run(shop, &ask),
        Command::Quarantine(ask) => scrap::cage(shop, &ask),
    }
}
