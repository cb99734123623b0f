//! What several rooms ask before they begin: the bill behind a name, the choices typed, the needs of one engine.

use crate::cmd::error::Failure;
use crate::cmd::shop::Scene;
use crate::db::kitting::bills::{conversions, model, parts_of};
use crate::domain::kitting::bill::{Bill, Choices, pair};
use crate::domain::kitting::expand::{Expanded, expand};
use crate::domain::refusal::Refusal;

/// The conversion's bill that holds on the day.
pub fn bill_called(scene: &Scene<'_, '_>, called: &str) -> Result<Bill, Failure> {
    let bills = conversions(scene.books, scene.day)?;
    let near = bills.iter().map(|bill| bill.number.clone()).collect();
    let found = bills
        .into_iter()
        .find(|bill| bill.number.eq_ignore_ascii_case(called));
    found.ok_or_else(|| {
        Refusal::Unknown {
            what: "conversion",
            asked: called.to_owned(),
            near,
        }
        .into()
    })
}

/// The choices as they were typed.
pub fn choices(typed: &[String]) -> Result<Vec<(String, String)>, Failure> {
    let parse = |text: &String| {
        pair(text)
            .ok_or_else(|| Failure::usage(format!("{text} is no choice"), "type it as `-c group=choice`"))
    };
    typed.iter().map(parse).collect()
}

/// What one engine of a model needs.
pub fn expanded_for(
    scene: &Scene<'_, '_>,
    bill: &Bill,
    chosen: &Choices,
    number: &str,
) -> Result<Expanded, Failure> {
    let found = model(scene.books, number)?;
    let (_, model) = found.ok_or_else(|| Refusal::Unknown {
        what: "engine model",
        asked: number.to_owned(),
        near: bill.fits.clone(),
    })?;
    Ok(expand(bill, chosen, &model, &parts_of(scene.books, bill)?)?)
}
