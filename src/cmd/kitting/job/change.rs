//! `job change`, `job cancel`, `job close`: what a job needs changed, given up, or done with.

mod instead;

use crate::cmd::answers::answers;
use crate::cmd::error::{Failure, exit};
use crate::cmd::shelf::quantity;
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::kitting::jobs::{gather_jobs, job_called, jobs};
use crate::domain::kitting::alter::{Alter, alter, cancel};
use crate::domain::kitting::close::close;
use crate::domain::kitting::job::Job;
use crate::domain::kitting::returns::line_numbered;
use crate::domain::measure::Day;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::LotId;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::print::kitting::job_sheet::called;
use crate::print::stores::slip::made_short;
use crate::print::words::count;
use clap::Args;

/// Change a job: its day of use, tag, priority, or what a line needs; what no longer lasts is given up and named
#[derive(Args, Debug)]
pub struct Ask {
    /// Its tag, number or engine serial
    #[arg(value_name = "JOB")]
    job: String,
    /// The day its parts are fitted
    #[arg(long, value_name = "DATE")]
    use_day: Option<String>,
    /// The colour of its box
    #[arg(long, value_name = "COLOUR")]
    tag: Option<String>,
    /// Which job goes first on the same day; 1 is first
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(i64).range(1..=9))]
    priority: Option<i64>,
    /// What a line needs from now on
    #[arg(long, value_name = "LINE=QTY")]
    need: Vec<String>,
    /// A part that stands in for what a line still wants, by the authority on record; `LINE=PART:QTY` for some of it
    #[arg(long, value_name = "LINE=PART")]
    instead: Vec<String>,
    /// Why
    #[arg(short = 'w', long, value_name = "REASON", num_args = 1..)]
    why: Vec<String>,
}

/// Give a job up: what it had reserved is free again
#[derive(Args, Debug)]
pub struct CancelAsk {
    /// Its tag, number or engine serial
    #[arg(value_name = "JOB")]
    job: String,
    /// Why
    #[arg(short = 'w', long, value_name = "REASON", num_args = 1..)]
    why: Vec<String>,
}

/// Close a job: everything is accounted for, its engine goes to the customer
#[derive(Args, Debug)]
pub struct CloseAsk {
    /// Its tag, number or engine serial
    #[arg(value_name = "JOB")]
    job: String,
}

/// Changes.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let parse = |text: &String| {
        Day::parse(text)
            .map_err(|fault| Failure::usage(fault.to_string(), "give a day: `--use-day 2026-12-02`"))
    };
    let day = ask.use_day.as_ref().map(parse).transpose()?;
    shop.change(|scene| change(scene, ask, day))
}

/// Gives up.
pub fn give_up(shop: &mut Shop<'_, '_>, ask: &CancelAsk) -> Result<Done, Failure> {
    shop.change(|scene| {
        let (job, stock) = gathered(scene, &ask.job)?;
        let mut head = scene.head(DocKind::Change);
        head.reason = (!ask.why.is_empty()).then(|| ask.why.join(" "));
        let posting = cancel(&stock, head, job.id)?;
        let freed = count(posting.stripped.len(), "reservation");
        let answer = format!("{} is given up, {freed} free again", called(&job));
        let paper = scene.paper("job", answer);
        Ok(Decision::post(posting, exit::DONE, move |_| Ok(paper)))
    })
}

/// Closes.
pub fn done(shop: &mut Shop<'_, '_>, ask: &CloseAsk) -> Result<Done, Failure> {
    shop.change(|scene| {
        let (job, stock, away) = with_goods(scene, &ask.job)?;
        let posting = close(&stock, scene.head(DocKind::Close), job.id, &away)?;
        let mut paper = scene.paper("job", format!("{} is closed", called(&job)));
        let name = job.number.clone();
        paper
            .next
            .push(format!("bincard cost {name}   shows what it took"));
        Ok(Decision::post(posting, exit::DONE, move |_| Ok(paper)))
    })
}

/// The job with everything that could serve it.
fn gathered(scene: &Scene<'_, '_>, called: &str) -> Result<(Job, Stock), Failure> {
    let job = job_called::<Failure>(scene.books, called)?;
    let mut facts = scene.gather()?;
    gather_jobs(&mut facts, &[job.id])?;
    Ok((job, facts.done()))
}

/// The job with everything in its kit, in its crate, on its engine and away for it.
fn with_goods(scene: &Scene<'_, '_>, called: &str) -> Result<(Job, Stock, Vec<LotId>), Failure> {
    let job = job_called::<Failure>(scene.books, called)?;
    let mut facts = scene.gather()?;
    facts.job_with_goods(job.id)?;
    let away = facts.sent_out_for(job.id)?;
    Ok((job, facts.done(), away))
}

fn change(scene: &Scene<'_, '_>, ask: &Ask, use_day: Option<Day>) -> Result<Decision<'static>, Failure> {
    let (job, mut stock) = gathered(scene, &ask.job)?;
    let mut changes = Vec::new();
    if let Some(day) = use_day.filter(|day| *day != job.use_day) {
        changes.push(Alter::UseDay(day));
    }
    if let Some(tag) = ask.tag.as_ref().filter(|tag| job.tag.as_ref() != Some(*tag)) {
        let taken = jobs(scene.books, false)?.iter().any(|other| {
            other.id != job.id && other.tag.as_ref().is_some_and(|t| t.eq_ignore_ascii_case(tag))
        });
        if taken {
            return Err(Refusal::Doubled {
                what: "open job with the tag",
                name: tag.clone(),
            }
            .into());
        }
        changes.push(Alter::Tag(tag.clone()));
    }
    if let Some(priority) = ask.priority.filter(|priority| *priority != job.priority) {
        changes.push(Alter::Priority(priority));
    }
    for (n, amount) in answers(&ask.need, "--need 7=3")? {
        let line = line_numbered(&stock, job.id, n)?;
        let need = quantity(scene, amount, stock.part(line.part)?)?;
        if need != line.need {
            changes.push(Alter::Need(line.id, need));
        }
    }
    changes.extend(instead::instead(scene, ask, &job, &mut stock)?);
    if changes.is_empty() {
        let answer = format!("{} is so already; nothing was changed", called(&job));
        return Ok(Decision::nothing(exit::DONE, scene.paper("job", answer)));
    }
    let mut head = scene.head(DocKind::Change);
    head.reason = (!ask.why.is_empty()).then(|| ask.why.join(" "));
    let posting = alter(&stock, head, job.id, &changes)?;
    let short = lost(&stock, &posting)?;
    let answer = format!(
        "{}: {} changed{}",
        called(&job),
        count(changes.len(), "thing"),
        if short.is_empty() {
            ", nothing lost by it".to_owned()
        } else {
            format!(", {} lost by it", count(short.len(), "reservation"))
        }
    );
    let mut paper = scene.paper("job", answer);
    let name = ask.tag.clone().or(job.tag.clone()).unwrap_or(job.number.clone());
    if !short.is_empty() {
        paper
            .next
            .push(format!("bincard reserve {name} --by INITIALS   finds other lots"));
    }
    paper.notes.extend(short);
    paper.notes.extend(instead::told(&changes));
    paper.notes.extend(in_the_box(&stock, &job, use_day)?);
    Ok(Decision::post(posting, exit::DONE, move |_| Ok(paper)))
}

/// The reservations that the change gave up.
fn lost(stock: &Stock, posting: &Posting) -> Result<Vec<String>, Refusal> {
    made_short(stock, posting)
}

/// What lies in the kit and is dead by the new day of use.
fn in_the_box(stock: &Stock, job: &Job, use_day: Option<Day>) -> Result<Vec<String>, Refusal> {
    let Some(day) = use_day else {
        return Ok(Vec::new());
    };
    let mut told = Vec::new();
    for ((lot, place), balance) in &stock.balances {
        let goods = stock.lot(*lot)?;
        if *place == job.kit && balance.qty.is_positive() && !goods.usable_on(day) {
            let part = stock.part(goods.part)?;
            let last = goods.expiry.map_or_else(String::new, |day| day.to_string());
            told.push(format!(
                "IN THE BOX AND DEAD BY THEN: {} {} of {} lot {}, last day {last}; scrap it and give another",
                balance.qty, part.unit, part.number, goods.number
            ));
        }
    }
    Ok(told)
}
