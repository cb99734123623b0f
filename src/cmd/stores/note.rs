//! `note`: what the next shift must know; open until somebody closes it.

use crate::cmd::error::{Failure, exit};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::kitting::jobs::job_called;
use crate::db::stores::notes::{Note, next_note, open_notes};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::noting::{NewNote, note};
use crate::print::cell::Cell;
use crate::print::paper::Paper;
use crate::print::table::Table;
use crate::print::words::count;
use clap::Args;

/// Leave a note for the next shift, show the open ones, or close one
#[derive(Args, Debug)]
pub struct Ask {
    /// What it says; without it, the open notes are shown
    #[arg(value_name = "TEXT", conflicts_with = "done")]
    text: Vec<String>,
    /// The job it is about: tag, number or engine serial
    #[arg(short = 'j', long, value_name = "JOB", conflicts_with = "done")]
    job: Option<String>,
    /// Close this note
    #[arg(long, value_name = "NUMBER")]
    done: Option<i64>,
    /// Why
    #[arg(short = 'w', long, value_name = "REASON", num_args = 1.., requires = "done")]
    why: Vec<String>,
}

/// Notes, shows or closes.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    if let Some(number) = ask.done {
        return shop.change(|scene| close(scene, number, &ask.why));
    }
    if ask.text.is_empty() {
        return shop.read(|scene| Ok(Done::yes(listed(scene)?)));
    }
    shop.change(|scene| write(scene, ask))
}

/// The open notes, the oldest first.
fn listed(scene: &Scene<'_, '_>) -> Result<Paper, Failure> {
    let notes = open_notes(scene.books)?;
    let answer = match notes.as_slice() {
        [] => "no open notes".to_owned(),
        some => count(some.len(), "open note"),
    };
    let mut paper = scene.paper("note", answer);
    let mut table = Table::new(
        "notes",
        &[
            ("n", "no"),
            ("day", "day"),
            ("by", "by"),
            ("job", "job"),
            ("text", "note"),
        ],
    );
    for note in &notes {
        table.row(vec![
            Cell::Count(note.id),
            Cell::Day(note.day),
            Cell::text(note.by.clone()),
            Cell::text(note.job.clone().unwrap_or_default()),
            Cell::text(note.text.clone()),
        ]);
    }
    paper.tables.push(table);
    if let Some(first) = notes.first() {
        paper.next.push(format!(
            "bincard note --done {} --by INITIALS   closes it",
            first.id
        ));
    }
    Ok(paper)
}

fn write(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    let job = ask
        .job
        .as_ref()
        .map(|called| job_called::<Failure>(scene.books, called))
        .transpose()?;
    let id = next_note(scene.books)?;
    let mut head = scene.head(DocKind::Note);
    head.job = job.as_ref().map(|job| job.id);
    let posting = note(
        head,
        NewNote {
            id,
            about: job.as_ref().map_or(("store", 0), |job| ("job", job.id.0)),
            topic: "hand-over",
            text: ask.text.join(" "),
            answers: None,
        },
    )?;
    Ok(Decision::post(posting, exit::DONE, move |scene| {
        let mut paper = listed(scene)?;
        paper.answer = format!("note {id} left for the next shift");
        Ok(paper)
    }))
}

fn close(scene: &Scene<'_, '_>, number: i64, why: &[String]) -> Result<Decision<'static>, Failure> {
    let open: Vec<Note> = open_notes(scene.books)?;
    if !open.iter().any(|note| note.id == number) {
        return Err(Refusal::Unknown {
            what: "open note",
            asked: number.to_string(),
            near: open.iter().map(|note| note.id.to_string()).collect(),
        }
        .into());
    }
    let text = if why.is_empty() {
        "done".to_owned()
    } else {
        why.join(" ")
    };
    let posting = note(
        scene.head(DocKind::Note),
        NewNote {
            id: next_note(scene.books)?,
            about: ("note", number),
            topic: "hand-over",
            text,
            answers: Some(number),
        },
    )?;
    Ok(Decision::post(posting, exit::DONE, move |scene| {
        let mut paper = listed(scene)?;
        paper.answer = format!("note {number} closed");
        Ok(paper)
    }))
}
