//! `shorts`: every short line with the reason, in order of need.

use crate::cmd::error::Failure;
use crate::cmd::likeness::stand_ins;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::kitting::jobs::{gather_jobs, job_called, jobs};
use crate::domain::kitting::shorts::shorts;
use crate::domain::stores::ids::JobId;
use crate::print::kitting::short_list::short_list;
use clap::Args;
use std::collections::BTreeSet;

/// Every short line with what is free, dead, on order and when
#[derive(Args, Debug)]
pub struct Ask {
    /// Its tag, number or engine serial; without one, every open job
    #[arg(value_name = "JOB")]
    job: Option<String>,
}

/// Lists what is short; the exit says whether anything is.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.read(|scene| show(scene, ask))
}

fn show(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let ids: Vec<JobId> = match &ask.job {
        Some(called) => vec![job_called::<Failure>(scene.books, called)?.id],
        None => jobs(scene.books, false)?.into_iter().map(|job| job.id).collect(),
    };
    let mut facts = scene.gather()?;
    gather_jobs(&mut facts, &ids)?;
    let stock = facts.done();
    let found = shorts(&stock, &ids)?;
    let mut paper = short_list(&stock, &found, &ids, scene.paper("shorts", ""))?;
    let mut asked = BTreeSet::new();
    for short in &found {
        let part = stock.line(short.line)?.part;
        if asked.insert(part) {
            paper.notes.extend(stand_ins(scene, stock.part(part)?)?);
        }
    }
    Ok(if found.is_empty() {
        Done::yes(paper)
    } else {
        Done::no(paper)
    })
}
