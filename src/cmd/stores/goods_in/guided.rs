//! `goods-in --guided`: an order line by line at the keyboard; what is typed becomes the same one document.

use super::Ask;
use super::days::not_after;
use crate::cmd::error::Failure;
use crate::cmd::ordered::{order_called, sheet_lines};
use crate::cmd::shelf::read_quantity;
use crate::cmd::shop::{Done, Shop};
use crate::db::stores::lives::lasts_on;
use crate::db::stores::packs::packing_of;
use crate::domain::keeping::rule::Lasts;
use crate::domain::measure::printed::{Made, printed_day};
use crate::domain::measure::typed::Kept;
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::packs::kept;
use crate::print::escape::escape;
use crate::print::stores::order_sheet::SheetLine;

/// A line that is still open, how its part is counted and how long it lasts, and the day on which it comes.
struct Expected {
    line: SheetLine,
    kept: Kept,
    lasts: Option<Lasts>,
    came: Day,
}

/// What is typed to leave a line out whose days nobody knows.
const LEFT_OUT: &str = "skip";

/// Asks for each open line what came of it, and returns what would have been typed in one go. Each answer is judged at
/// once, and asked for again where it will not do.
pub(super) fn ask_each(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Ask, Failure> {
    let mut typed = ask.clone();
    for expected in expected(shop, &ask.what)? {
        line_by_hand(shop, &expected, &mut typed)?;
    }
    if typed.came.is_empty() {
        return Err(Failure::usage(
            "nothing came on any line, nothing is booked in",
            format!("`bincard goods-in {}` shows what is awaited", ask.what),
        ));
    }
    Ok(typed)
}

/// Adds what came of one line to what would have been typed.
fn line_by_hand(shop: &mut Shop<'_, '_>, expected: &Expected, typed: &mut Ask) -> Result<(), Failure> {
    let n = expected.line.n;
    let counted = counted(shop, typed, expected)?;
    if counted.is_empty() {
        return Ok(());
    }
    let on_note = until_right(shop, "  the delivery note says (Enter: the same): ", |text| {
        amount(text, expected)
            .map(|_| ())
            .map_err(|fault| fault.message())
    })?;
    if expected.dies() {
        match days(shop, expected)? {
            Some(Dated::Until(last)) => typed.expiry.push(format!("{n}={last}")),
            Some(Dated::Made(made)) => typed.made.push(format!("{n}={made}")),
            None => return Ok(()),
        }
    }
    typed.note.extend(on_note.map(|note| format!("{n}={note}")));
    let lots = lots_of(&counted);
    typed.came.extend(lots.iter().map(|lot| format!("{n}={lot}")));
    Ok(())
}

impl Expected {
    /// Whether its days must be known.
    fn dies(&self) -> bool {
        let without_limit = |lasts: &Lasts| lasts.without_limit().is_some();
        self.lasts.as_ref().is_some_and(|lasts| !without_limit(lasts))
    }
}

/// What is known of the days of goods, as it was typed.
enum Dated {
    Until(String),
    Made(String),
}

/// The last day of what dies, or else the day it was made; one of them must be known, or the line is left out.
fn days(shop: &mut Shop<'_, '_>, expected: &Expected) -> Result<Option<Dated>, Failure> {
    let part = &expected.line.part;
    let question = format!("  the day it was made (Enter: ask again, {LEFT_OUT}: leave the line out): ");
    loop {
        let last = until_right(shop, "  last day printed on it (Enter: none): ", |text| {
            printed_day(text, false, expected.came).map_err(|fault| fault.to_string())?;
            Ok(())
        })?;
        if let Some(last) = last {
            return Ok(Some(Dated::Until(last)));
        }
        let made = until_right(shop, &question, |text| match &expected.lasts {
            Some(lasts) if text != LEFT_OUT => {
                let made = Made::read(text, expected.came).map_err(|fault| fault.to_string())?;
                not_after(&made, part, expected.came).map_err(|refusal| refusal.to_string())?;
                let end = lasts.end_of(&part.number, &made);
                end.map(|_| ()).map_err(|fault| fault.to_string())
            }
            _ => Ok(()),
        })?;
        match made {
            Some(made) if made == LEFT_OUT => return Ok(None),
            Some(made) => return Ok(Some(Dated::Made(made))),
            None => {}
        }
    }
}

/// The open lines of the order.
fn expected(shop: &mut Shop<'_, '_>, number: &str) -> Result<Vec<Expected>, Failure> {
    let mut found = Vec::new();
    shop.read(|scene| {
        let order = order_called(scene, number)?;
        for line in sheet_lines(scene, &order)? {
            if line.owed.is_positive() {
                let kept = kept(
                    &line.part,
                    packing_of(scene.books, line.part.id)?,
                    Some(order.supplier),
                );
                found.push(Expected {
                    lasts: lasts_on(scene.books, &line.part, scene.day)?,
                    came: scene.day,
                    line,
                    kept,
                });
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

/// How much a text says, which is more than nothing.
fn amount(text: &str, expected: &Expected) -> Result<Qty, Failure> {
    let read = read_quantity(text, &expected.line.part, &expected.kept)?;
    if read.qty.is_positive() {
        return Ok(read.qty);
    }
    Err(Failure::usage(
        format!("{text}: nothing came of it"),
        "give more than nothing, or leave it out",
    ))
}

/// How much all the lots of a count come to.
fn all_of(counted: &str, expected: &Expected) -> Result<Qty, Failure> {
    let amounts = lots_of(counted).into_iter().map(|lot| {
        let of_lot = lot.split_once(':').map_or(lot.as_str(), |(amount, _)| amount);
        amount(of_lot, expected)
    });
    amounts.sum()
}

/// What was counted of a line: `17`, `2 box`, or `3:Q140 1:Q141` for two lots; nothing where none came. More than is
/// awaited is counted again, or said to have come.
fn counted(shop: &mut Shop<'_, '_>, typed: &mut Ask, expected: &Expected) -> Result<String, Failure> {
    let line = &expected.line;
    let awaited = if typed.blind {
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
    loop {
        let found = until_right(shop, &text, |text| {
            all_of(text, expected)
                .map(|_| ())
                .map_err(|fault| fault.message())
        })?;
        let Some(found) = found else {
            return Ok(String::new());
        };
        if typed.over || all_of(&found, expected)? <= line.owed {
            return Ok(found);
        }
        let came = "  more than is awaited; did it all come (yes; Enter: count again)? ";
        if question(shop, came)?.eq_ignore_ascii_case("yes") {
            typed.over = true;
            return Ok(found);
        }
    }
}

/// What is typed at a question, asked again until it will do; nothing where only Enter was pressed.
fn until_right(
    shop: &mut Shop<'_, '_>,
    text: &str,
    judge: impl Fn(&str) -> Result<(), String>,
) -> Result<Option<String>, Failure> {
    let mut before = String::new();
    loop {
        let typed = question(shop, &format!("{before}{text}"))?;
        if typed.is_empty() {
            return Ok(None);
        }
        match judge(&typed) {
            Ok(()) => return Ok(Some(typed)),
            Err(fault) => before = format!("  {}\n", escape(&fault)),
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
