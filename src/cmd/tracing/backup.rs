//! `backup`: a copy taken while others work, proved, and brought back under a new name; never over anything.

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Shop};
use crate::db::books::{Books, Open};
use crate::db::check::{Findings, check, standing_at};
use crate::db::sqlite::Purpose;
use crate::domain::refusal::Refusal;
use crate::print::paper::{Heading, Paper};
use crate::print::words::count;
use clap::{Args, Subcommand};
use std::path::{Path, PathBuf};

/// Take a proved copy of the store, prove one, bring one back
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    /// `take`.
    #[command(after_help = "examples:\n  bincard backup take /media/stick\n  bincard backup take friday.db")]
    Take(TakeAsk),
    /// `prove`.
    #[command(
        after_help = "examples:\n  bincard backup prove friday.db\n  bincard backup prove friday.db --format json"
    )]
    Prove(ProveAsk),
    /// `restore`.
    #[command(
        after_help = "examples:\n  bincard backup restore friday.db --store new.db\n  bincard backup restore /media/stick/friday.db --store back.db"
    )]
    Restore(RestoreAsk),
}

/// Take a copy of the store as it stands; others may go on working
#[derive(Args, Debug)]
pub struct TakeAsk {
    /// The new file, or a folder in which it gets a name of its own
    #[arg(value_name = "FILE|FOLDER")]
    target: PathBuf,
}

/// Prove a copy: every sum worked out anew, every document's digest; nothing is written to it
#[derive(Args, Debug)]
pub struct ProveAsk {
    /// The copy
    #[arg(value_name = "FILE")]
    copy: PathBuf,
}

/// Bring a copy back as a new store, named with --store; it is proved first and never put over another
#[derive(Args, Debug)]
pub struct RestoreAsk {
    /// The copy
    #[arg(value_name = "FILE")]
    copy: PathBuf,
}

/// Takes, proves or restores.
pub fn run(shop: &mut Shop<'_, '_>, command: Command) -> Result<Done, Failure> {
    if shop.globals.dry_run {
        return Err(Failure::usage(
            "a copy cannot be made on trial",
            "leave `--dry-run` out",
        ));
    }
    match command {
        Command::Take(ask) => take(shop, &ask.target),
        Command::Prove(ask) => prove(&ask.copy),
        Command::Restore(ask) => restore(shop, &ask.copy),
    }
}

/// Copies the store; the copy must hold, and its last document must stand in the store's own chain.
fn take(shop: &mut Shop<'_, '_>, target: &Path) -> Result<Done, Failure> {
    let books = shop.open(Purpose::Read)?;
    let named = |open: &Open<'_>| -> Result<String, Failure> {
        let found = open.setting("head")?.unwrap_or_default();
        Ok(found.chars().take(12).collect())
    };
    let file = match target.is_dir() {
        true => {
            let day = shop.moment()?.day;
            target.join(format!("bincard-{day}-{}.db", books.read(named)?))
        }
        false => target.to_owned(),
    };
    let (found, heading) = books.copy_to(&file, shop.waiting(), holds)?;
    let stands = books.read(|open| standing_at(open, &found.head).map_err(Failure::from))?;
    let (Some(_), true) = (stands, found.faults.is_empty()) else {
        return Err(not_holding(&file, &found));
    };
    let mut paper = Paper::new(
        "backup",
        format!("backup taken and proved: {}", told(&found)),
        heading,
    );
    paper.notes.push(format!("it lies at {}", file.display()));
    paper
        .notes
        .push("write the head down outside the store: a cut-off end shows against it".to_owned());
    paper.next.push(format!(
        "bincard backup restore {} --store NEW   brings it back",
        file.display()
    ));
    Ok(Done::yes(paper))
}

/// Proves a copy where it lies, without writing to it.
fn prove(copy: &Path) -> Result<Done, Failure> {
    let books = Books::open_copy(copy)?;
    if !books.is_of_today()? {
        return Err(Refusal::Impossible {
            what: copy.display().to_string(),
            because: "it is of an older version of the books, and proving it would change it; \
                      restore it under a new name, which brings it up and proves it"
                .to_owned(),
        }
        .into());
    }
    let (found, heading) = books.read(proved)?;
    if !found.faults.is_empty() {
        return Err(not_holding(copy, &found));
    }
    let answer = format!("the backup holds: {}", told(&found));
    Ok(Done::yes(Paper::new("backup", answer, heading)))
}

/// Brings a copy back under a name that nothing bears.
fn restore(shop: &mut Shop<'_, '_>, copy: &Path) -> Result<Done, Failure> {
    let path = shop.path()?;
    let books = Books::open_copy(copy)?;
    let (found, heading) = books.copy_to(&path, shop.waiting(), holds)?;
    let mut paper = Paper::new(
        "backup",
        format!("restored and proved: {}", told(&found)),
        heading,
    );
    paper.notes.push(format!("the store lies at {}", path.display()));
    paper.notes.push(
        "compare the head with the newest paper that bears one: what came later is not in it".to_owned(),
    );
    paper.next.push(format!(
        "bincard check --head HEX --store {}   looks for an older paper's head",
        path.display()
    ));
    Ok(Done::yes(paper))
}

/// A copy that does not hold is refused, so that it never bears its name.
fn holds(open: &Open<'_>) -> Result<(Findings, Heading), Failure> {
    let (found, heading) = proved(open)?;
    if found.faults.is_empty() {
        return Ok((found, heading));
    }
    Err(not_holding(Path::new("the copy"), &found))
}

fn proved(open: &Open<'_>) -> Result<(Findings, Heading), Failure> {
    let heading = Heading {
        store: open.setting("name")?.unwrap_or_default(),
        ..Heading::default()
    };
    Ok((check(open)?, heading))
}

fn told(found: &Findings) -> String {
    let documents = count(usize::try_from(found.documents).unwrap_or(usize::MAX), "document");
    format!("{documents} and {} entries, head {}", found.entries, found.head)
}

fn not_holding(copy: &Path, found: &Findings) -> Failure {
    let first = found.faults.first().map_or_else(
        || "its last document is none of the store's".to_owned(),
        |fault| {
            format!(
                "{}: {} is {}, should be {}",
                fault.invariant, fault.about, fault.is, fault.should_be
            )
        },
    );
    let more = match found.faults.len() {
        0 | 1 => String::new(),
        many => format!(" (and {} more)", many - 1),
    };
    Refusal::Impossible {
        what: copy.display().to_string(),
        because: format!("the books in it do NOT hold: {first}{more}"),
    }
    .into()
}
