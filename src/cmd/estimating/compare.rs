//! `compare`: the routes of a conversion side by side, with the compression each reaches.

use crate::cmd::bench::{bill_called, expanded_for};
use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::estimating::{exchange_rates, labour_rate, prices_of, sizes_of, spacers, supply_of};
use crate::db::kitting::bills::model;
use crate::domain::estimating::compression::{Ratio, choose_spacer};
use crate::domain::estimating::price::{Exchange, in_base};
use crate::domain::estimating::route::{ModelSums, PricedRoute, priced, reached};
use crate::domain::estimating::start::ready;
use crate::domain::kitting::bill::{Bill, Choices};
use crate::domain::measure::{Money, Qty};
use crate::domain::refusal::Refusal;
use crate::print::estimating::compare_sheet::{Compared, Thick, compare_sheet, thickness_answer};
use clap::Args;
use std::collections::BTreeMap;

/// Compare a conversion's routes: money, hours, start, compression reached
#[derive(Args, Debug)]
pub struct Ask {
    /// The conversion
    #[arg(value_name = "CONVERSION")]
    conversion: String,
    /// The engine model, where the bill fits several
    #[arg(long, value_name = "MODEL")]
    model: Option<String>,
    /// The compression ratio as it is, 8.5 for 8.5 to 1
    #[arg(long, value_name = "RATIO")]
    ratio: Option<String>,
    /// The highest ratio allowed
    #[arg(long, value_name = "RATIO")]
    max: Option<String>,
}

/// Compares.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.read(|scene| show(scene, ask))
}

fn show(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let bill = bill_called(scene, &ask.conversion)?;
    let number = ask
        .model
        .clone()
        .or_else(|| bill.fits.first().cloned())
        .unwrap_or_default();
    let found = model(scene.books, &number)?;
    let (id, model) = found.ok_or_else(|| Refusal::Unknown {
        what: "engine model",
        asked: number.clone(),
        near: bill.fits.clone(),
    })?;
    let sizes = sizes_of(scene.books, id)?;
    let mut sums = ModelSums::from_sizes(&model.number, &sizes)?;
    if let Some(typed) = &ask.ratio {
        sums.ratio = ratio("--ratio", typed)?;
    }
    let rate = labour_rate(scene.books, scene.day)?;
    let asked = Asked {
        bill: &bill,
        model: &number,
        sums: &sums,
        rate: rate.unwrap_or(Money::ZERO),
        exchange: exchange_rates(scene.books)?,
    };
    let routes: Vec<PricedRoute> = bill
        .ways()
        .iter()
        .map(|choices| route(scene, &asked, choices))
        .collect::<Result<_, Failure>>()?;
    let compared = Compared {
        conversion: &bill.number,
        model: &number,
        ratio_before: sums.ratio.figure(),
        data_source: &bill.data_source,
        routes: &routes,
        currency: scene.currency,
        limit: sizes.get("ratio_most").map(|limit| limit.to_decimal()),
        day: scene.day,
    };
    let mut paper = compare_sheet(&compared, scene.paper("compare", ""));
    if let Some(typed) = &ask.max {
        let cylinders = model.counts.get("cylinders").copied().unwrap_or_default();
        paper.answer = thickness_answer(&thick(scene, &sums, typed, cylinders)?);
    }
    if rate.is_none() {
        paper
            .notes
            .push("no labour rate holds on the day, so the hours have no price".to_owned());
    }
    Ok(Done::yes(paper))
}

/// A ratio as it was typed behind a flag.
fn ratio(flag: &str, typed: &str) -> Result<Ratio, Failure> {
    let figure = Qty::parse(typed).map_err(|fault| fault.to_string());
    let read = figure.and_then(|figure| Ratio::new(figure.to_decimal()).map_err(|fault| fault.to_string()));
    read.map_err(|fault| {
        Failure::usage(
            format!("{typed} is no ratio: {fault}"),
            format!("type it as `{flag} 7.5`"),
        )
    })
}

/// The stocked spacer that keeps a ratio typed, and how many of it are free.
fn thick(scene: &Scene<'_, '_>, sums: &ModelSums, typed: &str, cylinders: Qty) -> Result<Thick, Failure> {
    let most = ratio("--max", typed)?;
    let cannot = |because: String| Refusal::Impossible {
        what: format!("spacer for {typed}:1"),
        because,
    };
    let bore = Qty::from_decimal(sums.bore_mm).unwrap_or_default();
    let stocked = spacers(scene.books, bore)?;
    let sizes: Vec<_> = stocked.iter().map(|(_, size)| size.to_decimal()).collect();
    let choice = choose_spacer(sums.stroke_mm, sums.ratio, most, None, &sizes)
        .map_err(|fault| cannot(fault.to_string()))?;
    let fits =
        |(_, size): &&(crate::domain::stores::part::Part, Qty)| size.to_decimal() == choice.thickness_mm;
    let part = stocked.iter().find(fits).map(|(part, _)| part.clone());
    let part = part.ok_or_else(|| cannot("no part has that thickness".to_owned()))?;
    let free = supply_of(scene.books, &part, scene.day)?.free;
    Ok(Thick {
        limit: most.figure(),
        part: part.number,
        choice,
        free,
        need: cylinders,
    })
}

/// What every route of a comparison shares.
struct Asked<'a> {
    bill: &'a Bill,
    model: &'a str,
    sums: &'a ModelSums,
    rate: Money,
    exchange: Vec<Exchange>,
}

/// One route priced.
fn route(scene: &Scene<'_, '_>, asked: &Asked<'_>, choices: &Choices) -> Result<PricedRoute, Failure> {
    let expanded = expanded_for(scene, asked.bill, choices, asked.model)?;
    let mut prices = BTreeMap::new();
    let mut sized = Vec::new();
    let mut needs = Vec::new();
    for need in &expanded.needs {
        let quoted = prices_of(scene.books, need.part.id)?;
        let held = in_base(quoted, &asked.exchange, scene.day, scene.currency);
        prices.insert(need.part.id, held);
        sized.push((need.part.clone(), sizes_of(scene.books, need.part.id)?));
        let supply = supply_of(scene.books, &need.part, scene.day)?;
        needs.push((need.part.clone(), need.qty, ready(need.qty, &supply, scene.day)));
    }
    Ok(PricedRoute {
        choice: choices.to_string(),
        lines: priced(&needs, prices, scene.day, scene.currency),
        hours: expanded.all_hours(),
        rate: asked.rate,
        reached: reached(asked.sums, &sized)?,
    })
}
