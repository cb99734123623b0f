//! `cost`: what a job took, line by line.

use crate::cmd::bench::expanded_for;
use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::estimating::{entries_of_job, exchange_rates, labour_rate, method_of, prices_of};
use crate::db::kitting::bills::bill;
use crate::db::kitting::jobs::{engine, engine_serial, gather_jobs, job_called};
use crate::domain::estimating::cost::{job_cost, still_to_take};
use crate::domain::estimating::price::{extended, in_base};
use crate::domain::kitting::bill::pair;
use crate::domain::kitting::job::Job;
use crate::domain::kitting::turn::lines_of;
use crate::domain::measure::Qty;
use crate::print::estimating::cost_card::{CostCard, cost_card};
use clap::Args;
use rust_decimal::Decimal;

/// What a job took and would still take: parts, hours, each at the price it stands on
#[derive(Args, Debug)]
pub struct Ask {
    /// Its tag, number or engine serial
    #[arg(value_name = "JOB")]
    job: String,
}

/// Shows the cost card of a job.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.read(|scene| show(scene, ask))
}

fn show(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let job = job_called::<Failure>(scene.books, &ask.job)?;
    let mut facts = scene.gather()?;
    gather_jobs(&mut facts, &[job.id])?;
    let stock = facts.done();
    let costs = job_cost(&entries_of_job(scene.books, job.id)?);
    let exchange = exchange_rates(scene.books)?;
    let (mut lines, mut still) = (Vec::new(), Vec::new());
    for line in lines_of(&stock, job.id) {
        let cost = costs.get(&line.id).copied().unwrap_or_default();
        let part = stock.part(line.part)?.clone();
        let quoted = prices_of(scene.books, line.part)?;
        let prices = in_base(quoted, &exchange, scene.day, scene.currency);
        let on = (scene.day, scene.currency);
        if let Some(more) = still_to_take(&stock, line, &part, prices, on) {
            still.push((line.n, part.clone(), more));
        }
        lines.push((line.clone(), part, cost));
    }
    let hours = hours(scene, &job)?;
    let rate = labour_rate(scene.books, scene.day)?;
    let labour = rate
        .zip(Qty::from_decimal(hours))
        .map(|(rate, hours)| extended(hours, rate));
    let card = CostCard {
        job: &job,
        lines: &lines,
        still: &still,
        hours,
        rate,
        labour,
        method: &method_of(scene.books)?,
        currency: scene.currency,
    };
    Ok(Done::yes(cost_card(&card, scene.paper("cost", ""))))
}

/// The hours of the job's bill by its choices.
fn hours(scene: &Scene<'_, '_>, job: &Job) -> Result<Decimal, Failure> {
    let Some(id) = job.bill else {
        return Ok(Decimal::ZERO);
    };
    let Some(bill) = bill(scene.books, id, scene.day)? else {
        return Ok(Decimal::ZERO);
    };
    let pairs: Vec<(String, String)> = job.choices.split(' ').filter_map(pair).collect();
    let choices = bill.choose(&pairs)?;
    let serial = engine_serial(scene.books, job.engine)?.unwrap_or_default();
    let model = engine(scene.books, &serial)?
        .map(|(_, model, _)| model)
        .unwrap_or_default();
    Ok(expanded_for(scene, &bill, &choices, &model)?.all_hours())
}
