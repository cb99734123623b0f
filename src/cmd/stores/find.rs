//! `find`: things are found, not spelled: where, which lot, until when, how many.

mod by_size;

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::cmd::things::{answer, found_by};
use clap::Args;

/// Find a part, lot, bin or job by code or by words: where, which lot, until when, how many
#[derive(Args, Debug)]
pub struct Ask {
    /// A code (part, lot, batch, serial, bin, job, tag) or words in any order, with a size if need be
    #[arg(value_name = "WORDS", required_unless_present = "size")]
    words: Vec<String>,
    /// Parts of this size: `NAME=FROM..TO` with the unit, or `NAME=SIZE`; once for each size that must fit
    #[arg(long, value_name = "NAME=SIZE")]
    size: Vec<String>,
}

/// Finds.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    if !ask.size.is_empty() {
        return shop.read(|scene| by_size::by_size(scene, ask));
    }
    shop.read(|scene| find(scene, &ask.words))
}

fn find(scene: &Scene<'_, '_>, words: &[String]) -> Result<Done, Failure> {
    let asked = words.join(" ").trim().to_owned();
    if asked.is_empty() {
        return Err(Failure::usage(
            "nothing is looked for",
            "say what: `find 2 mm spacer`",
        ));
    }
    let found = found_by(scene, &asked, words)?;
    let mut done = answer(scene, "find", &asked, found.things)?;
    if let Some(code) = found.read_as {
        done.paper.notes.push(format!("{asked} was read as {code}"));
    }
    Ok(done)
}
