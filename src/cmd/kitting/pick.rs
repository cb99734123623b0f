//! `pick`: the numbered list in walking order, and its confirmation as listed.

use crate::cmd::error::{Failure, exit};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::kitting::bills::bill;
use crate::db::kitting::jobs::{gather_jobs, job_called};
use crate::db::kitting::picked::picked_from_list;
use crate::domain::kitting::job::Job;
use crate::domain::kitting::pick::{Confirmation, pick_as_listed, pick_list};
use crate::domain::kitting::shorts::shorts;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::law::Movement;
use crate::domain::stores::stock::Stock;
use crate::print::kitting::job_sheet::called;
use crate::print::kitting::pick_list as paper;
use crate::print::words::count;
use clap::Args;

/// Print the pick list of a kit, or book it as listed
#[derive(Args, Debug)]
pub struct Ask {
    /// Its tag, number or engine serial
    #[arg(value_name = "JOB")]
    job: String,
    /// The number of the list that is answered
    #[arg(long, value_name = "N", requires = "as_listed")]
    list: Option<i64>,
    /// Book the list as it was printed
    #[arg(long, requires = "list")]
    as_listed: bool,
}

/// Prints the list, or books it.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    match ask.list {
        Some(list) if ask.as_listed => shop.change(|scene| book(scene, ask, list)),
        _ => shop.read(|scene| show(scene, ask)),
    }
}

/// The job and everything that could serve it.
fn gathered(scene: &Scene<'_, '_>, ask: &Ask) -> Result<(Job, Stock), Failure> {
    let job = job_called::<Failure>(scene.books, &ask.job)?;
    let mut facts = scene.gather()?;
    gather_jobs(&mut facts, &[job.id])?;
    Ok((job, facts.done()))
}

fn show(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let (job, stock) = gathered(scene, ask)?;
    let lines = pick_list(&stock, job.id, &picked_from_list(scene.books, &job)?)?;
    let short = shorts(&stock, &[job.id])?;
    let source = match job.bill {
        Some(id) => bill(scene.books, id)?.map(|bill| bill.data_source),
        None => None,
    };
    let source = source.unwrap_or_else(|| "no bill".to_owned());
    let mut sheet = paper::pick_list(
        &stock,
        &job,
        &lines,
        &short,
        &source,
        scene.paper("pick_list", ""),
    )?;
    if !lines.is_empty() {
        let name = job.tag.clone().unwrap_or(job.number.clone());
        sheet.next.push(format!(
            "bincard pick {name} --list {} --as-listed --by INITIALS   books it",
            job.list
        ));
    }
    Ok(Done::yes(sheet))
}

fn book(scene: &Scene<'_, '_>, ask: &Ask, list: i64) -> Result<Decision<'static>, Failure> {
    let (job, stock) = gathered(scene, ask)?;
    let head = scene.head(DocKind::Movement(Movement::Pick));
    let picked = picked_from_list(scene.books, &job)?;
    let paper = Confirmation {
        list,
        picked: &picked,
        answers: None,
    };
    let Some(posting) = pick_as_listed(&stock, head, job.id, paper)? else {
        let answer = format!("nothing left to pick on list {list} of {}", called(&job));
        return Ok(Decision::nothing(exit::NO, scene.paper("pick", answer)));
    };
    let answer = format!(
        "{} of {} in the kit",
        count(posting.entries.len(), "line"),
        called(&job)
    );
    let mut sheet = paper::moved(&stock, &posting, "picked", scene.paper("pick", answer))?;
    let name = job.tag.clone().unwrap_or(job.number.clone());
    sheet.next.push(format!(
        "bincard issue {name} --by INITIALS   the kit goes to the engine"
    ));
    Ok(Decision::post(posting, exit::DONE, move |_| Ok(sheet)))
}
