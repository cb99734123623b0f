//! `issue`: what lies in the kit goes to the engine.

use crate::cmd::error::{Failure, exit};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::kitting::jobs::{engine_serial, job_called};
use crate::domain::kitting::job::Line;
use crate::domain::kitting::pick::issue;
use crate::domain::measure::Qty;
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
    let fitted = |line: &Line| -> Qty {
        let onto = posting
            .entries
            .iter()
            .filter(|entry| entry.to_line == Some(line.id.0));
        line.fitted + onto.map(|entry| entry.qty).sum()
    };
    let of_it = stock.lines.values().filter(|line| line.job == job.id);
    let rest = of_it.filter(|line| fitted(line) < line.need).count();
    let rest = match rest {
        0 => "all its parts are on".to_owned(),
        rest => format!("{} still to issue", count(rest, "line")),
    };
    let answer = format!("{lines} of {} issued to engine {serial}; {rest}", called(&job));
    let sheet = moved(&stock, &posting, "issued", scene.paper("issue", answer))?;
    Ok(Decision::post(posting, exit::DONE, move |_| Ok(sheet)))
}
