//! `free`: gives reservations up.

use crate::cmd::error::{Failure, exit};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::kitting::jobs::{gather_jobs, job_called};
use crate::domain::kitting::reserve::free;
use crate::domain::stores::document::DocKind;
use crate::print::kitting::job_sheet::called;
use crate::print::words::count;
use clap::Args;

/// Give up what a job has reserved, or what some of its lines have
#[derive(Args, Debug)]
pub struct Ask {
    /// Its tag, number or engine serial
    #[arg(value_name = "JOB")]
    job: String,
    /// The numbers of its lines; without any, all
    #[arg(value_name = "LINE")]
    lines: Vec<i64>,
}

/// Frees.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.change(|scene| decide(scene, ask))
}

fn decide(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    let job = job_called::<Failure>(scene.books, &ask.job)?;
    let mut facts = scene.gather()?;
    gather_jobs(&mut facts, &[job.id])?;
    let mut head = scene.head(DocKind::Free);
    head.job = Some(job.id);
    Ok(match free(&facts.done(), head, job.id, &ask.lines)? {
        None => Decision::nothing(
            exit::NO,
            scene.paper("free", format!("{} has nothing reserved there", called(&job))),
        ),
        Some(posting) => {
            let freed = count(posting.claims.len(), "reservation");
            let paper = scene.paper("free", format!("{freed} of {} given up", called(&job)));
            Decision::post(posting, exit::DONE, move |_| Ok(paper))
        }
    })
}
