//! `check`: proves the books from their entries, or names what is not as it should be.

use crate::cmd::error::{Failure, exit};
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::check::{check, standing_at};
use crate::print::cell::Cell;
use crate::print::table::Table;
use crate::print::words::count;
use clap::Args;

/// Prove the books: every sum worked out anew, every document's digest
#[derive(Args, Debug)]
pub struct Ask {
    /// A head that an older paper bears: is that document still in the books?
    #[arg(long, value_name = "HEX")]
    head: Option<String>,
}

/// Proves the books; the exit says whether they hold.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let Some(head) = &ask.head else {
        return shop.read(prove);
    };
    let digits = (8..=64).contains(&head.len()) && head.bytes().all(|byte| byte.is_ascii_hexdigit());
    if !digits {
        return Err(Failure::usage(
            format!("{head} is no head"),
            "give eight or more of its digits: `check --head 0a1b2c3d4e5f`",
        ));
    }
    shop.read(|scene| prove_with(scene, head))
}

/// Proves the books, and that the document of an older head still stands in them.
fn prove_with(scene: &Scene<'_, '_>, head: &str) -> Result<Done, Failure> {
    let mut done = prove(scene)?;
    let stands = standing_at(scene.books, head)?;
    match stands {
        Some((document, later)) => {
            let later = count(usize::try_from(later).unwrap_or(usize::MAX), "document");
            done.paper.notes.push(format!(
                "the head {head} is that of {document}; {later} came after it"
            ));
        }
        None => {
            let short: String = head.chars().take(12).collect();
            let was = std::mem::replace(
                &mut done.paper.answer,
                format!("NO document of these books bears the head {short}"),
            );
            done.paper.notes.insert(0, was);
            done.paper.notes.insert(
                0,
                "either the end of these books was cut off since, or the head is another store's".to_owned(),
            );
            done.exit = exit::NO;
        }
    }
    Ok(done)
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
