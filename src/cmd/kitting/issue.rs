//! `issue`: what lies in the kit goes to the engine.

use crate::cmd::error::{Failure, exit};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::kitting::jobs::{engine_serial, job_called};
use crate::domain::kitting::pick::issue;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::law::Movement;
use crate::print::kitting::job_sheet::called;
use crate::print::kitting::pick_list::moved;
use crate::print::words::count;
use clap::Args;

/// Issue a kit to its engine, or some of its lines
#[derive(Args, Debug)]
pub struct Ask {
    /// Its tag, number or engine serial
    #[arg(value_name = "JOB")]
    job: String,
    /// The numbers of its lines; without any, all
    #[arg(value_name = "LINE")]
    lines: Vec<i64>,
}

/// Issues.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.change(|scene| decide(scene, ask))
}

fn decide(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    let job = job_called::<Failure>(scene.books, &ask.job)?;
    let mut facts = scene.gather()?;
    facts.job(job.id)?;
    facts.place_with_lots(job.kit)?;
    let stock = facts.done();
    let head = scene.head(DocKind::Movement(Movement::Issue));
    let Some(posting) = issue(&stock, head, job.id, &ask.lines)? else {
        let answer = format!("nothing of that in the kit of {}", called(&job));
        return Ok(Decision::nothing(exit::NO, scene.paper("issue", answer)));
    };
    let serial = engine_serial(scene.books, job.engine)?.unwrap_or_default();
    let lines = count(posting.entries.len(), "line");
    let answer = format!("{lines} of {} issued to engine {serial}", called(&job));
    let sheet = moved(&stock, &posting, "issued", scene.paper("issue", answer))?;
    Ok(Decision::post(posting, exit::DONE, move |_| Ok(sheet)))
}
