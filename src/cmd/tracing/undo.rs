//! `undo`: takes a whole document back, the last of the same initials or a named one.

use crate::cmd::error::{Failure, exit};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::people::last_document;
use crate::db::written::{gather, written};
use crate::domain::measure::number::{document_number, read_document_number};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::DocId;
use crate::domain::stores::law::Movement;
use crate::domain::stores::verbs::undo::{Written, undo};
use crate::print::escape::escape;
use crate::print::tracing::undo_slip::undo_slip;
use clap::Args;

/// Take a whole document back by a contrary posting
#[derive(Args, Debug)]
pub struct Ask {
    /// The document; without one, the last of the same initials is shown first
    #[arg(value_name = "DOCUMENT")]
    document: Option<String>,
    /// Why
    #[arg(short = 'w', long, num_args = 1.., value_name = "REASON")]
    why: Vec<String>,
}

/// Undoes a document; the last of the same initials is shown first, and taken back only on the whole word yes.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let document = match &ask.document {
        Some(named) => named.clone(),
        None => last_shown(shop)?,
    };
    shop.change(|scene| decide(scene, &document, &ask.why))
}

/// Shows the last document of the same initials and asks.
fn last_shown(shop: &mut Shop<'_, '_>) -> Result<String, Failure> {
    let by = shop.initials()?;
    let mut shown = String::new();
    let mut number = String::new();
    shop.read(|scene| {
        let none = || Refusal::Unknown {
            what: "document of",
            asked: by.clone(),
            near: Vec::new(),
        };
        let id = last_document(scene.books, &by)?.ok_or_else(none)?;
        let document = written(scene.books, id)?.ok_or_else(none)?;
        number = document.number.clone();
        shown = format!("the last document of {by} is {number}: {}", document.kind.word());
        Ok(Done::yes(scene.paper("undo", "")))
    })?;
    match shop
        .ask(&format!("{}; take it back? yes or no: ", escape(&shown)))
        .as_deref()
    {
        Some("yes") => Ok(number),
        _ => Err(Failure::usage(
            format!("{shown}; nothing was taken back"),
            format!("take it back by name: `bincard undo {number} --by {by}`"),
        )),
    }
}

fn decide(scene: &Scene<'_, '_>, document: &str, why: &[String]) -> Result<Decision<'static>, Failure> {
    let id = named(scene, document)?;
    let unknown = || Refusal::Unknown {
        what: "document",
        asked: id.to_string(),
        near: Vec::new(),
    };
    let document = written(scene.books, id)?.ok_or_else(unknown)?;
    let mut facts = scene.gather()?;
    gather(&mut facts, &document)?;
    let mut head = scene.head(DocKind::Movement(Movement::Undo));
    head.reason = (!why.is_empty()).then(|| why.join(" "));
    let stock = facts.done();
    let posting = undo(&stock, head, &document)?;
    let entries = posting.entries.clone();
    let stripped = posting.stripped.clone();
    Ok(Decision::post(posting, exit::DONE, move |scene| {
        Ok(undo_slip(
            &stock,
            &document.number,
            &entries,
            &stripped,
            scene.paper("undo", ""),
        ))
    }))
}

/// The document behind a number as people write it; the letters must be those of its kind.
fn named(scene: &Scene<'_, '_>, text: &str) -> Result<DocId, Failure> {
    let unknown = |near: Vec<String>| Refusal::Unknown {
        what: "document",
        asked: text.to_owned(),
        near,
    };
    // Every document has an id of its own whatever its letters, so the figures alone name one.
    let figures = text
        .parse()
        .ok()
        .filter(|id: &i64| *id > 0 && !text.starts_with('+'));
    let (prefix, id) = match figures {
        Some(id) => (None, id),
        None => {
            let (prefix, id) = read_document_number(text).map_err(|_| unknown(Vec::new()))?;
            (Some(prefix), id)
        }
    };
    let found: Option<Written> = written(scene.books, DocId(id))?;
    let found = found.ok_or_else(|| unknown(Vec::new()))?;
    if prefix.is_some_and(|prefix| found.kind.prefix() != prefix) {
        return Err(unknown(vec![document_number(found.kind.prefix(), id)]).into());
    }
    Ok(DocId(id))
}
