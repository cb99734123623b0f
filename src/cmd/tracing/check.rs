//! `check`: proves the books from their entries, or names what is not as it should be.

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::check::check;
use crate::print::cell::Cell;
use crate::print::table::Table;
use crate::print::words::count;
use clap::Args;

/// Prove the books: every sum worked out anew, every document's digest
#[derive(Args, Debug)]
pub struct Ask {}

/// Proves the books; the exit says whether they hold.
pub fn run(shop: &mut Shop<'_, '_>) -> Result<Done, Failure> {
    shop.read(prove)
}

fn prove(scene: &Scene<'_, '_>) -> Result<Done, Failure> {
    let found = check(scene.books)?;
    let size = |n: i64, what| count(usize::try_from(n).unwrap_or(usize::MAX), what);
    let proved = format!(
        "{} and {} entries",
        size(found.documents, "document"),
        found.entries
    );
    let head = &found.head;
    if found.faults.is_empty() {
        let mut paper = scene.paper("check", format!("the books hold: {proved}, head {head}"));
        paper.notes.push(format!(
            "{} rules of the law worked out anew, the chain of documents digested again, the file sound",
            found.checked.len()
        ));
        paper
            .notes
            .push("note the head outside the store: a cut-off end shows against it".to_owned());
        return Ok(Done::yes(paper));
    }
    let answer = format!(
        "the books do NOT hold: {} in {proved}",
        count(found.faults.len(), "fault")
    );
    let mut paper = scene.paper("check", answer);
    let mut table = Table::new(
        "faults",
        &[
            ("rule", "rule"),
            ("about", "about"),
            ("should_be", "should be"),
            ("is", "is"),
        ],
    );
    for fault in &found.faults {
        table.row(vec![
            Cell::text(fault.invariant),
            Cell::text(fault.about.clone()),
            Cell::text(fault.should_be.clone()),
            Cell::text(fault.is.clone()),
        ]);
    }
    paper.tables.push(table);
    paper
        .next
        .push("post nothing more; keep a copy of the file and compare with the last backup".to_owned());
    Ok(Done::no(paper))
}
