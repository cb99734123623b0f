//! `reserve`: reserves kits in order of need, and names what is short with the reason.

use crate::cmd::error::{Failure, exit};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::kitting::jobs::{gather_jobs, job_called, jobs};
use crate::domain::kitting::reserve::reserve;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::JobId;
use crate::print::kitting::reserve_slip::reserve_slip;
use clap::Args;

/// Reserve kits, first to expire first, and name what is short
#[derive(Args, Debug)]
pub struct Ask {
    /// Tags, numbers or engine serials; without any, every open job in order of need
    #[arg(value_name = "JOB")]
    jobs: Vec<String>,
}

/// Reserves.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.change(|scene| decide(scene, ask))
}

fn decide(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    let mut ids: Vec<JobId> = Vec::new();
    for called in &ask.jobs {
        ids.push(job_called::<Failure>(scene.books, called)?.id);
    }
    if ask.jobs.is_empty() {
        ids = jobs(scene.books, false)?.into_iter().map(|job| job.id).collect();
    }
    let mut facts = scene.gather()?;
    gather_jobs(&mut facts, &ids)?;
    let stock = facts.done();
    let mut head = scene.head(DocKind::Reserve);
    head.job = if let [job] = ids.as_slice() {
        Some(*job)
    } else {
        None
    };
    let outcome = reserve(&stock, head, &ids)?;
    let short = outcome.lines.iter().any(|line| line.short.is_positive());
    let exit = if short { exit::NO } else { exit::DONE };
    let paper = reserve_slip(&stock, &outcome.lines, scene.paper("reserve", ""))?;
    Ok(match outcome.posting {
        None => Decision::nothing(exit, paper),
        Some(posting) => Decision::post(posting, exit, move |_| Ok(paper)),
    })
}
