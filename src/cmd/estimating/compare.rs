//! `compare`: the routes of a conversion side by side, with the compression each reaches.

use crate::cmd::bench::{bill_called, expanded_for};
use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::estimating::{labour_rate, prices_of, sizes_of};
use crate::db::kitting::bills::model;
use crate::domain::estimating::route::{ModelSums, PricedRoute, priced, reached};
use crate::domain::kitting::bill::{Bill, Choices};
use crate::domain::measure::Money;
use crate::domain::refusal::Refusal;
use crate::print::estimating::compare_sheet::{Compared, compare_sheet};
use clap::Args;
use std::collections::BTreeMap;

/// Compare a conversion's routes: parts, hours, money, compression reached
#[derive(Args, Debug)]
pub struct Ask {
    /// The conversion
    #[arg(value_name = "CONVERSION")]
    conversion: String,
    /// The engine model, where the bill fits several
    #[arg(long, value_name = "MODEL")]
    model: Option<String>,
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
    let sums = ModelSums::from_sizes(&model.number, &sizes_of(scene.books, id)?)?;
    let rate = labour_rate(scene.books, scene.day)?;
    let mut routes = Vec::new();
    for choices in bill.ways() {
        routes.push(route(
            scene,
            &bill,
            &choices,
            &number,
            &sums,
            rate.unwrap_or(Money::ZERO),
        )?);
    }
    let compared = Compared {
        conversion: &bill.number,
        model: &number,
        ratio_before: sums.ratio.figure(),
        data_source: &bill.data_source,
        routes: &routes,
        currency: scene.currency,
    };
    let mut paper = compare_sheet(&compared, scene.paper("compare", ""));
    if rate.is_none() {
        paper
            .notes
            .push("no labour rate holds on the day, so the hours have no price".to_owned());
    }
    Ok(Done::yes(paper))
}

/// One route priced.
fn route(
    scene: &Scene<'_, '_>,
    bill: &Bill,
    choices: &Choices,
    model: &str,
    sums: &ModelSums,
    rate: Money,
) -> Result<PricedRoute, Failure> {
    let expanded = expanded_for(scene, bill, choices, model)?;
    let mut prices = BTreeMap::new();
    let mut sized = Vec::new();
    let mut needs = Vec::new();
    for need in &expanded.needs {
        prices.insert(need.part.id, prices_of(scene.books, need.part.id)?);
        sized.push((need.part.clone(), sizes_of(scene.books, need.part.id)?));
        needs.push((need.part.clone(), need.qty));
    }
    Ok(PricedRoute {
        choice: choices.to_string(),
        lines: priced(&needs, &prices, scene.day, scene.currency),
        hours: expanded.all_hours(),
        rate,
        reached: reached(sums, &sized)?,
    })
}
