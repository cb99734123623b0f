//! `settings`: what holds in a store, and the day at which a training store stands.

use crate::cmd::error::{Failure, exit};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::stores::rules::{papers_are_asked, rules_of_class};
use crate::domain::acceptance::rules::{CLASSES, RULE_NAMES};
use crate::domain::measure::Day;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::law::Role;
use crate::domain::stores::posting::{Change, Field, Posting};
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use clap::{Args, ValueEnum};

/// Show the store's settings, ask for papers or not, or move a training store to another day
#[derive(Args, Debug)]
pub struct Ask {
    /// The day at which the clock of a training store stands
    #[arg(long, value_name = "DATE")]
    training_day: Option<String>,
    /// Whether goods are accepted only with the papers and checks that their class asks for
    #[arg(long, value_enum, value_name = "WHETHER", conflicts_with = "training_day")]
    papers: Option<Papers>,
}

/// Whether goods are asked for their papers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Papers {
    /// What is lacking refuses the acceptance
    #[default]
    Ask,
    /// Goods are accepted as they are
    Off,
}

impl Papers {
    /// The word that stands in the books.
    pub fn word(self) -> &'static str {
        match self {
            Papers::Ask => "ask",
            Papers::Off => "off",
        }
    }
}

/// Shows the settings, or moves the training day.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    if let Some(papers) = ask.papers {
        return shop.change(|scene| set_papers(scene, papers));
    }
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
    for name in ["name", "currency", "method", "papers", "training"] {
        if let Some(value) = scene.books.setting(name)? {
            table.row(vec![Cell::text(name), Cell::text(value)]);
        }
    }
    let mut paper = scene.paper("settings", format!("settings of {}", scene.heading.store));
    paper.tables.push(table);
    if papers_are_asked(scene.books)? {
        paper.tables.push(asked_of_classes(scene)?);
    }
    Ok(paper)
}

/// What each class of part asks for at acceptance.
fn asked_of_classes(scene: &Scene<'_, '_>) -> Result<Table, Failure> {
    let mut table = Table::new(
        "asked at acceptance",
        &[("class", "class"), ("rule", "rule"), ("text", "asks for")],
    );
    for class in CLASSES {
        let rules = rules_of_class(scene.books, class)?;
        for name in RULE_NAMES {
            let text = rules.text(name);
            if text != "none" {
                table.row(vec![Cell::text(class), Cell::text(name.word()), Cell::text(text)]);
            }
        }
    }
    Ok(table)
}

/// Asks for papers from now on, or no longer; the inspector's or the manager's to say.
fn set_papers(scene: &Scene<'_, '_>, papers: Papers) -> Result<Decision<'static>, Failure> {
    rules_say(scene, "whether papers are asked for")?;
    let old = if papers_are_asked(scene.books)? {
        Papers::Ask
    } else {
        Papers::Off
    };
    if old == papers {
        return Err(Failure::usage(
            format!("papers are {} already, nothing is changed", told(papers)),
            "`bincard settings` shows what holds",
        ));
    }
    let mut posting = Posting::new(scene.head(DocKind::Change));
    posting.changes.push(Change {
        field: Field::Papers,
        id: 0,
        old: Some(old.word().to_owned()),
        new: Some(papers.word().to_owned()),
    });
    Ok(Decision::post(posting, exit::DONE, move |scene| {
        let mut paper = shown(scene)?;
        paper.answer = format!("papers are {} from now on", told(papers));
        Ok(paper)
    }))
}

fn told(papers: Papers) -> &'static str {
    match papers {
        Papers::Ask => "asked for",
        Papers::Off => "not asked for",
    }
}

/// What goods are asked for is the inspector's or the manager's to say.
pub(crate) fn rules_say(scene: &Scene<'_, '_>, what: &str) -> Result<(), Failure> {
    let roles = &scene.person.roles;
    if roles.contains(&Role::Inspector) || roles.contains(&Role::Manager) {
        return Ok(());
    }
    Err(Refusal::NotAuthorised {
        by: scene.person.initials.clone(),
        role: "inspector or the manager",
        what: what.to_owned(),
    }
    .into())
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
