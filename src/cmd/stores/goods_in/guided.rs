//! `goods-in --guided`: an order line by line at the keyboard; what is typed becomes the same one document.

use super::Ask;
use crate::cmd::error::Failure;
use crate::cmd::ordered::{order_called, sheet_lines};
use crate::cmd::shelf::read_quantity;
use crate::cmd::shop::{Done, Shop};
use crate::db::stores::lives::lasts_on;
use crate::db::stores::packs::packing_of;
use crate::domain::measure::typed::Kept;
use crate::domain::stores::packs::kept;
use crate::print::escape::escape;
use crate::print::stores::order_sheet::SheetLine;

/// A line that is still open, whether its part has a shelf life, and how it is counted.
struct Expected {
    line: SheetLine,
    dies: bool,
    kept: Kept,
}

/// Asks for each open line what came of it, and returns what would have been typed in one go.
pub(super) fn ask_each(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Ask, Failure> {
    let mut typed = ask.clone();
    for expected in expected(shop, &ask.what)? {
        let n = expected.line.n;
        let counted = counted(shop, ask.blind, &expected)?;
        if counted.is_empty() {
            continue;
        }
        typed
            .came
            .extend(lots_of(&counted).iter().map(|lot| format!("{n}={lot}")));
        let on_note = question(shop, "  the delivery note says (Enter: the same): ")?;
        if !on_note.is_empty() {
            typed.note.push(format!("{n}={on_note}"));
        }
        if expected.dies {
            let last = question(shop, "  last day printed on it (Enter: none): ")?;
            if last.is_empty() {
                let made = question(shop, "  the day it was made: ")?;
                typed.made.push(format!("{n}={made}"));
            } else {
                typed.expiry.push(format!("{n}={last}"));
            }
        }
    }
    if typed.came.is_empty() {
        return Err(Failure::usage(
            "nothing came on any line, nothing is booked in",
            format!("`bincard goods-in {}` shows what is awaited", ask.what),
        ));
    }
    Ok(typed)
}

/// The open lines of the order.
fn expected(shop: &mut Shop<'_, '_>, number: &str) -> Result<Vec<Expected>, Failure> {
    let mut found = Vec::new();
    shop.read(|scene| {
        let order = order_called(scene, number)?;
        for line in sheet_lines(scene, &order)? {
            if line.owed.is_positive() {
                let lasts = lasts_on(scene.books, &line.part, scene.day)?;
                let dies = lasts.is_some_and(|lasts| lasts.without_limit().is_none());
                let kept = kept(
                    &line.part,
                    packing_of(scene.books, line.part.id)?,
                    Some(order.supplier),
                );
                found.push(Expected { line, dies, kept });
            }
        }
        Ok(Done::yes(scene.paper("order", "")))
    })?;
    Ok(found)
}

/// What was counted, a lot each: a word behind a figure is its unit, and a fraction behind a whole number belongs to it.
fn lots_of(counted: &str) -> Vec<String> {
    let mut lots: Vec<String> = Vec::new();
    for word in counted.split_whitespace() {
        match lots.last_mut() {
            Some(lot) if belongs(lot, word) => {
                lot.push(' ');
                lot.push_str(word);
            }
            _ => lots.push(word.to_owned()),
        }
    }
    lots
}

/// Whether a word goes on with a lot that was begun, and is not the next.
fn belongs(lot: &str, word: &str) -> bool {
    let is_figure = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    let has_unit = lot.contains(|mark: char| mark.is_alphabetic() || mark == ':');
    let is_unit = word.starts_with(char::is_alphabetic);
    !has_unit && (is_unit || (is_figure(lot) && word.contains('/')))
}

/// What was counted of a line: `17`, `2 box`, or `3:Q140 1:Q141` for two lots; nothing where none came. What is no quantity is
/// asked for again.
fn counted(shop: &mut Shop<'_, '_>, blind: bool, expected: &Expected) -> Result<String, Failure> {
    let line = &expected.line;
    let awaited = if blind {
        String::new()
    } else {
        format!(", {} {} awaited", line.owed, line.part.unit)
    };
    let text = format!(
        "line {} {}, {}{awaited}\n  counted, QTY or QTY:BATCH (Enter: none): ",
        line.n,
        escape(&line.part.number),
        escape(&line.part.name)
    );
    let mut before = String::new();
    loop {
        let typed = question(shop, &format!("{before}{text}"))?;
        let wrong = lots_of(&typed).iter().find_map(|lot| {
            let amount = lot.split_once(':').map_or(lot.as_str(), |(amount, _)| amount);
            read_quantity(amount, &line.part, &expected.kept).err()
        });
        match wrong {
            None => return Ok(typed),
            Some(fault) => before = format!("  {}\n", escape(&fault.message())),
        }
    }
}

fn question(shop: &mut Shop<'_, '_>, text: &str) -> Result<String, Failure> {
    shop.ask(text).ok_or_else(|| {
        Failure::usage(
            "nobody is at the keyboard to be asked",
            "type it in one line: `bincard goods-in ORDER LINE=QTY`",
        )
    })
}
