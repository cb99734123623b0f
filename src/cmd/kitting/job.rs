//! `job`: raised, listed, shown.

mod change;

use crate::cmd::bench::{bill_called, choices, expanded_for};
use crate::cmd::error::{Failure, exit};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::kitting::jobs::{engine, engine_serial, job_called, jobs};
use crate::db::names::Names;
use crate::domain::kitting::raise::{JobNumbers, Raise, raise};
use crate::domain::kitting::turn::lines_of;
use crate::domain::measure::Day;
use crate::domain::measure::number::job_number;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::JobId;
use crate::domain::stores::law::Kind;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::record::Table;
use crate::print::kitting::job_sheet::{job_list, job_sheet};
use clap::{Args, Subcommand};

/// Raise a job, list the jobs, show one, change, give up or close it
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    /// `raise`.
    #[command(
        after_help = "examples:\n  bincard job raise TC-W --engine W28-0417 -c route=spacer --tag blue --use-day 2026-12-02 --by TW\n  bincard job raise TC-L --engine L32-0098 -c route=piston --use-day 2026-12-09 --by TW --dry-run"
    )]
    Raise(RaiseAsk),
    /// `list`.
    #[command(after_help = "examples:\n  bincard job list\n  bincard job list --all")]
    List(List),
    /// `show`.
    #[command(after_help = "examples:\n  bincard job show blue\n  bincard job show J-0001")]
    Show(Show),
    /// `change`.
    #[command(
        after_help = "examples:\n  bincard job change blue --use-day 2026-12-09 --by TW\n  bincard job change blue --need 16=18 --by TW -w two studs more"
    )]
    Change(change::Ask),
    /// `cancel`.
    #[command(
        after_help = "examples:\n  bincard job cancel green --by DA -w engine sold\n  bincard job cancel J-0003 --by DA --dry-run"
    )]
    Cancel(change::CancelAsk),
    /// `close`.
    #[command(
        after_help = "examples:\n  bincard job close amber --by DA\n  bincard job close amber --by DA --dry-run"
    )]
    Close(change::CloseAsk),
}

/// Raise a job: its bill is frozen, its kit gets a box
#[derive(Args, Debug)]
pub struct RaiseAsk {
    /// The conversion
    #[arg(value_name = "CONVERSION")]
    conversion: String,
    /// The engine's serial
    #[arg(long, value_name = "SERIAL")]
    engine: String,
    /// A choice of the bill
    #[arg(short = 'c', long = "choice", value_name = "GROUP=CHOICE")]
    choices: Vec<String>,
    /// The colour of its box
    #[arg(long, value_name = "COLOUR")]
    tag: Option<String>,
    /// The day its parts are fitted
    #[arg(long, value_name = "DATE")]
    use_day: String,
    /// Which job goes first on the same day; 1 is first
    #[arg(long, value_name = "N", default_value_t = 5, value_parser = clap::value_parser!(i64).range(1..=9))]
    priority: i64,
}

/// The jobs in order of need
#[derive(Args, Debug)]
pub struct List {
    /// What is done with too
    #[arg(long)]
    all: bool,
}

/// One job with its lines
#[derive(Args, Debug)]
pub struct Show {
    /// Its tag, number or engine serial
    #[arg(value_name = "JOB")]
    job: String,
}

/// Runs `job`.
pub fn run(shop: &mut Shop<'_, '_>, command: &Command) -> Result<Done, Failure> {
    match command {
        Command::Raise(ask) => {
            let day = Day::parse(&ask.use_day)
                .map_err(|fault| Failure::usage(fault.to_string(), "give a day: `--use-day 2026-12-02`"))?;
            shop.change(|scene| raise_job(scene, ask, day))
        }
        Command::List(ask) => shop.read(|scene| list(scene, ask)),
        Command::Show(ask) => shop.read(|scene| show(scene, &ask.job)),
        Command::Change(ask) => change::run(shop, ask),
        Command::Cancel(ask) => change::give_up(shop, ask),
        Command::Close(ask) => change::done(shop, ask),
    }
}

fn raise_job(scene: &Scene<'_, '_>, ask: &RaiseAsk, use_day: Day) -> Result<Decision<'static>, Failure> {
    let bill = bill_called(scene, &ask.conversion)?;
    let chosen = bill.choose(&choices(&ask.choices)?)?;
    let unknown = || Refusal::Unknown {
        what: "engine",
        asked: ask.engine.clone(),
        near: vec![],
    };
    let (place, model, customer) = engine(scene.books, &ask.engine)?.ok_or_else(unknown)?;
    let expanded = expanded_for(scene, &bill, &chosen, &model)?;
    if let Some(tag) = &ask.tag
        && jobs(scene.books, false)?
            .iter()
            .any(|job| job.tag.as_ref().is_some_and(|t| t.eq_ignore_ascii_case(tag)))
    {
        return Err(Refusal::Doubled {
            what: "open job with the tag",
            name: tag.clone(),
        }
        .into());
    }
    let mut names = Names::read(scene.books)?;
    let numbers = JobNumbers {
        job: JobId(names.next(Table::Job)),
        kit: names.next_place(Kind::Kit),
        crate_place: names.next_place(Kind::Crate),
        first_line: names.next(Table::JobLine),
    };
    let raised = Raise {
        bill: &bill,
        choices: &chosen,
        expanded: &expanded,
        engine: place,
        customer,
        tag: ask.tag.clone(),
        use_day,
        priority: ask.priority,
    };
    let mut posting = Posting::new(scene.head(DocKind::Job));
    posting.head.job = Some(numbers.job);
    posting.records = raise(&raised, numbers);
    let called = ask.tag.clone().unwrap_or_else(|| job_number(numbers.job.0));
    Ok(Decision::post(posting, exit::DONE, move |scene| {
        let mut paper = job_paper(scene, &job_number(numbers.job.0))?;
        paper.next.push(format!(
            "bincard reserve {called} --by INITIALS   reserves its kit"
        ));
        Ok(paper)
    }))
}

fn list(scene: &Scene<'_, '_>, ask: &List) -> Result<Done, Failure> {
    let mut found = Vec::new();
    for job in jobs(scene.books, ask.all)? {
        let engine = engine_serial(scene.books, job.engine)?.unwrap_or_default();
        found.push((job, engine));
    }
    Ok(Done::yes(job_list(&found, scene.paper("jobs", ""))))
}

fn show(scene: &Scene<'_, '_>, called: &str) -> Result<Done, Failure> {
    Ok(Done::yes(job_paper(scene, called)?))
}

/// The sheet of a job as the books have it.
fn job_paper(scene: &Scene<'_, '_>, called: &str) -> Result<crate::print::paper::Paper, Failure> {
    let job = job_called::<Failure>(scene.books, called)?;
    let mut facts = scene.gather()?;
    facts.job(job.id)?;
    let stock = facts.done();
    let engine = engine_serial(scene.books, job.engine)?.unwrap_or_default();
    Ok(job_sheet(
        &stock,
        &job,
        &engine,
        &lines_of(&stock, job.id),
        scene.paper("job", ""),
    )?)
}
