//! `give`: a part over the hatch, picked and issued at once; the broken one is scrapped in the same document.

use crate::cmd::error::Failure;
use crate::cmd::keeping::cold_enough;
use crate::cmd::shelf::{house_place, posted, quantity};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::kitting::jobs::job_called;
use crate::db::stores::stock::part_numbered;
use crate::domain::kitting::give::{Gift, give};
use crate::domain::kitting::job::Job;
use crate::domain::kitting::turn::lines_of;
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::part::Part;
use crate::domain::stores::stock::Stock;
use crate::print::kitting::job_sheet::called;
use crate::print::words::measured;
use clap::Args;

/// Give a part over the hatch: picked and issued to the job's engine at once
///
/// With a reason (`-w sheared`) what the job has of it is broken and is scrapped in the same document; `--more` says
/// that the job needs more than its bill; without either it takes what its line is still short of.
#[derive(Args, Debug)]
pub struct Ask {
    /// The part
    #[arg(value_name = "PART")]
    part: String,
    /// How much
    #[arg(value_name = "QTY", allow_negative_numbers = true)]
    qty: String,
    /// The job it is about: tag, number or engine serial
    #[arg(short = 'j', long, value_name = "JOB")]
    job: String,
    /// The job needs more than its bill says; nothing is broken
    #[arg(long)]
    more: bool,
    /// Why
    #[arg(short = 'w', long, value_name = "REASON", num_args = 1..)]
    why: Vec<String>,
}

/// Gives.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.change(|scene| decide(scene, ask))
}

fn decide(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    let job = job_called::<Failure>(scene.books, &ask.job)?;
    let part = part_numbered(scene.books, &ask.part)?.ok_or_else(|| {
        Failure::from(Refusal::Unknown {
            what: "part",
            asked: ask.part.clone(),
            near: Vec::new(),
        })
    })?;
    let qty = quantity(scene, &ask.qty, &part)?;
    let mut facts = scene.gather()?;
    facts.job_with_goods(job.id)?;
    facts.lots_of_part(part.id)?;
    facts.place(house_place(Kind::Scrap))?;
    let stock = facts.done();
    let broken = !ask.why.is_empty() && !ask.more;
    if !broken && !ask.more {
        judge_short(&stock, &job, &part, qty)?;
    }
    let mut head = scene.head(DocKind::Movement(Movement::Issue));
    head.reason = (!ask.why.is_empty()).then(|| ask.why.join(" "));
    let gift = Gift {
        job: job.id,
        part: part.id,
        qty,
        broken,
    };
    let posting = give(&stock, head, gift)?;
    cold_enough(scene, &stock, &posting)?;
    let answer = format!(
        "{} of {} given to {}{}",
        measured(qty, part.unit),
        part.number,
        called(&job),
        if broken {
            format!(", as much scrapped: {}", ask.why.join(" "))
        } else {
            String::new()
        }
    );
    Ok(posted(posting, "give", "moved", answer))
}

/// Without a word of why, a job is given only what its line is still waiting for.
fn judge_short(stock: &Stock, job: &Job, part: &Part, qty: Qty) -> Result<(), Failure> {
    let waits: Qty = lines_of(stock, job.id)
        .iter()
        .filter(|line| line.part == part.id && !line.dropped)
        .map(|line| (line.need - line.kitted - line.fitted).max(Qty::ZERO))
        .sum();
    if qty <= waits {
        return Ok(());
    }
    Err(Failure::usage(
        format!(
            "{} waits for {} of {}, and {} is asked for",
            called(job),
            measured(waits, part.unit),
            part.number,
            measured(qty, part.unit)
        ),
        "say why: `-w sheared` scraps the broken one, `--more` says that the job needs more than its bill",
    ))
}
