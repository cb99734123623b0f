//! `explain`: what the number of a refusal or an error means. Needs no store.

use crate::cmd::error::Failure;
use crate::cmd::explained::{EXPLAINED, Explained, explained};
use crate::cmd::shop::Done;
use crate::domain::refusal::Refusal;
use crate::print::cell::Cell;
use crate::print::paper::{Heading, Paper};
use crate::print::table::Table;
use clap::Args;

/// What a refusal's or an error's number means, and what to do
#[derive(Args, Debug)]
pub struct Ask {
    /// The number; without one, all of them
    #[arg(value_name = "NUMBER")]
    number: Option<u16>,
}

/// Explains a number, or lists them all.
pub fn run(ask: &Ask) -> Result<Done, Failure> {
    let Some(number) = ask.number else {
        let mut table = Table::new(
            "numbers",
            &[("number", "no"), ("title", "what"), ("next", "what to do")],
        );
        for line in EXPLAINED {
            table.row(vec![
                Cell::Count(i64::from(line.number)),
                Cell::text(line.title),
                Cell::text(line.next),
            ]);
        }
        let mut paper = Paper::new(
            "explain",
            format!("{} numbers", EXPLAINED.len()),
            Heading::default(),
        );
        paper.tables.push(table);
        return Ok(Done::yes(paper));
    };
    let near = || {
        EXPLAINED
            .iter()
            .filter(|e| e.number / 100 == number / 100)
            .take(3)
            .map(|e| e.number.to_string())
    };
    let Explained {
        number,
        title,
        why,
        next,
    } = explained(number).ok_or_else(|| Refusal::Unknown {
        what: "number",
        asked: number.to_string(),
        near: near().collect(),
    })?;
    let mut paper = Paper::new("explain", format!("{number}: {title}"), Heading::default());
    paper.notes.push(format!("why: {why}"));
    paper.next.push((*next).to_owned());
    Ok(Done::yes(paper))
}
