//! `stock`: what stands on the shelf, is reserved, on hold, dead and free.

use crate::cmd::error::Failure;
use crate::cmd::shop::{Done, Scene, Shop};
use crate::db::stores::stock::{in_house, on_order, part_numbered, parts_with};
use crate::domain::refusal::Refusal;
use crate::print::stores::stock_list::{one_part, several_parts};
use clap::Args;

/// What stands on the shelf, is reserved, on hold, dead and free
#[derive(Args, Debug)]
pub struct Ask {
    /// A part number, or words of its name; without any, every part
    #[arg(value_name = "PART")]
    words: Vec<String>,
}

/// Shows how parts stand.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.read(|scene| show(scene, ask))
}

fn show(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let named = match ask.words.as_slice() {
        [number] => part_numbered(scene.books, number)?,
        _ => None,
    };
    let found = match named {
        Some(part) => vec![part],
        None => parts_with(scene.books, &ask.words)?,
    };
    let paper = scene.paper("stock", "");
    let day = scene.day.max(scene.today);
    match <[_; 1]>::try_from(found) {
        Ok([part]) => {
            let coming = on_order(scene.books, part.id)?;
            Ok(Done::yes(one_part(
                &in_house(scene.books, part)?,
                coming,
                day,
                paper,
            )))
        }
        Err(found) if found.is_empty() && !ask.words.is_empty() => Err(Refusal::Unknown {
            what: "part",
            asked: ask.words.join(" "),
            near: Vec::new(),
        }
        .into()),
        Err(found) => {
            let mut parts = Vec::new();
            for part in found {
                parts.push(in_house(scene.books, part)?);
            }
            Ok(Done::yes(several_parts(&parts, day, paper)))
        }
    }
}
