//! `settings`: what holds in a store, and the day at which a training store stands.

use crate::cmd::error::{Failure, exit};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::domain::measure::Day;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::posting::{Change, Field, Posting};
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use clap::Args;

/// Show the store's settings, or move a training store to another day
#[derive(Args, Debug)]
pub struct Ask {
    /// The day at which the clock of a training store stands
    #[arg(long, value_name = "DATE")]
    training_day: Option<String>,
}

/// Shows the settings, or moves the training day.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let Some(text) = &ask.training_day else {
        let path = shop.path()?;
        return shop.read(|scene| {
            let mut paper = shown(scene)?;
            paper.notes.push(format!("the store lies at {}", path.display()));
            Ok(Done::yes(paper))
        });
    };
    let day = Day::parse(text)
        .map_err(|fault| Failure::usage(fault.to_string(), "give a day: `--training-day 2026-11-25`"))?;
    shop.change(|scene| move_training_day(scene, day))
}

/// The settings of a store, a line each.
fn shown(scene: &Scene<'_, '_>) -> Result<Paper, Failure> {
    let mut table = Table::new("settings", &[("name", "setting"), ("value", "value")]);
    for name in ["name", "currency", "method", "training"] {
        if let Some(value) = scene.books.setting(name)? {
            table.row(vec![Cell::text(name), Cell::text(value)]);
        }
    }
    let mut paper = scene.paper("settings", format!("settings of {}", scene.heading.store));
    paper.tables.push(table);
    Ok(paper)
}

/// A training store goes on to a later day; a real store has a clock.
fn move_training_day(scene: &Scene<'_, '_>, day: Day) -> Result<Decision<'static>, Failure> {
    let refuse = |because: &str| Refusal::Impossible {
        what: "training day".to_owned(),
        because: because.to_owned(),
    };
    let Some(old) = scene.books.setting("training")? else {
        return Err(refuse("this is a real store, whose day is the clock's").into());
    };
    if day < scene.today {
        return Err(refuse(&format!("it stands at {old} and does not go back")).into());
    }
    let mut posting = Posting::new(scene.head(DocKind::Change));
    posting.changes.push(Change {
        field: Field::Training,
        id: 0,
        old: Some(old),
        new: Some(day.to_string()),
    });
    Ok(Decision::post(posting, exit::DONE, move |scene| {
        let mut paper = scene.paper("settings", format!("the training store stands at {day}"));
        paper.heading.day = Some(day);
        Ok(paper)
    }))
}
