//! `stock`: what stands on the shelf, is reserved, on hold, dead and free.

use super::as_of::{lay_of, past_day};
use crate::cmd::error::Failure;
use crate::cmd::likeness::stand_ins;
use crate::cmd::shelf::no_lot;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::stores::lots::lot_by_number;
use crate::db::stores::stock::{in_house, on_order, part_numbered, parts_with};
use crate::domain::stores::part::Part;
use crate::print::stores::stock_list::{one_part, several_parts};
use clap::Args;

/// What stands on the shelf, is reserved, on hold, dead and free
#[derive(Args, Debug)]
pub struct Ask {
    /// A part number, words of its name, or a lot's number; without any, every part
    #[arg(value_name = "PART")]
    words: Vec<String>,
    /// As it was at the end of this day, over or today
    #[arg(long, value_name = "DATE")]
    as_of: Option<String>,
}

/// Shows how parts stand.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.read(|scene| show(scene, ask))
}

/// The part of this number, or of the lot of this number where no part's name has it.
fn part_or_lots(scene: &Scene<'_, '_>, number: &str) -> Result<Option<Part>, Failure> {
    if let Some(part) = part_numbered(scene.books, number)? {
        return Ok(Some(part));
    }
    if !parts_with(scene.books, &[number.to_owned()])?.is_empty() {
        return Ok(None);
    }
    match lot_by_number(scene.books, number)? {
        Some(lot) => Ok(part_numbered(scene.books, &lot.part)?),
        None => Ok(None),
    }
}

fn show(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let named = match ask.words.as_slice() {
        [number] => part_or_lots(scene, number)?,
        _ => None,
    };
    let found = match named {
        Some(part) => vec![part],
        None => parts_with(scene.books, &ask.words)?,
    };
    if let Some(text) = &ask.as_of {
        let day = past_day(scene, text)?;
        return match found.as_slice() {
            [part] => lay_of(scene, part, day),
            _ => Err(Failure::usage(
                "--as-of shows one part as it was",
                "name its part number: `bincard stock SE-50 --as-of 2026-11-02`",
            )),
        };
    }
    let paper = scene.paper("stock", "");
    let day = scene.day.max(scene.today);
    match <[_; 1]>::try_from(found) {
        Ok([part]) => {
            let coming = on_order(scene.books, part.id)?;
            let instead = stand_ins(scene, &part)?;
            let mut paper = one_part(&in_house(scene.books, part)?, coming, day, paper);
            paper.notes.extend(instead);
            Ok(Done::yes(paper))
        }
        Err(found) if found.is_empty() && !ask.words.is_empty() => {
            Err(no_lot("part", &ask.words.join(" ")).into())
        }
        Err(found) => {
            let mut parts = Vec::new();
            for part in found {
                parts.push(in_house(scene.books, part)?);
            }
            Ok(Done::yes(several_parts(&parts, day, paper)))
        }
    }
}
