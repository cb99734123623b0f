//! Making in house: a part ground, cut or put together from others, a set broken up, material mixed.
//!
//! One document: what goes in are the parents of what comes out, and their value goes through whole. Another part waits
//! in receiving to be inspected; the same part comes out where it lay.

use crate::domain::keeping::rule::Lasts;
use crate::domain::making::fault::OutFault;
use crate::domain::measure::day::end_from_day;
use crate::domain::measure::printed::Made;
use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{PartId, PlaceId};
use crate::domain::stores::lot::{Lot, NEW, NewLot};
use crate::domain::stores::part::Part;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::lines::whole_hand_out;
use crate::domain::stores::verbs::making::{Input, Output, make_up, open};

/// What is to be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wish {
    /// Which part.
    pub part: PartId,
    /// How much of it.
    pub qty: Qty,
    /// Its last day, where somebody names one; it outlives nothing that went in.
    pub expiry: Option<Day>,
    /// How long the part lasts, where its record says.
    pub lasts: Option<Lasts>,
}

/// Whether what comes out is the part that went in.
pub fn is_same_part(stock: &Stock, inputs: &[Input], part: PartId) -> Result<bool, Refusal> {
    let mut same = !inputs.is_empty();
    for input in inputs {
        same &= stock.lot(input.lot)?.part == part;
    }
    Ok(same)
}

/// Makes one lot out of others.
pub fn make(
    stock: &Stock,
    head: Head,
    (making, receiving): (PlaceId, PlaceId),
    inputs: &[Input],
    wish: &Wish,
) -> Result<Posting, Refusal> {
    let part = stock.part(wish.part)?;
    for input in inputs {
        if input.qty != stock.balance(input.lot, input.place).qty {
            whole_hand_out(stock, input.lot, input.qty)?;
        }
    }
    let parents: Result<Vec<&Lot>, Refusal> = inputs.iter().map(|input| stock.lot(input.lot)).collect();
    let parents = parents?;
    let same = is_same_part(stock, inputs, wish.part)?;
    let lot = if same {
        put_together(part, &parents, wish, head.day)?
    } else {
        made_of_others(part, &parents, wish, head.day)?
    };
    let output = Output {
        part: wish.part,
        qty: wish.qty,
        lot,
    };
    if same {
        open(stock, head, making, inputs, &[output])
    } else {
        make_up(stock, head, making, inputs, receiving, output)
    }
}

/// The earliest last day of what went in, with the lot that bears it.
fn first_to_die<'a>(parents: &[&'a Lot]) -> Option<(Day, &'a Lot)> {
    let dying = parents
        .iter()
        .filter_map(|lot| lot.expiry.map(|last| (last, *lot)));
    dying.min_by_key(|(last, lot)| (*last, lot.id))
}

/// The last day of what is made, and how it was worked out: the one that is named, its own life, or the earliest of what
/// went in.
fn last_day(own: Option<(Day, String)>, parents: &[&Lot], wish: &Wish) -> (Option<Day>, Option<String>) {
    if let Some(named) = wish.expiry {
        return (Some(named), Some("as was said at the making".to_owned()));
    }
    let theirs = first_to_die(parents)
        .map(|(last, lot)| (last, format!("the earliest of what went in: {}", lot.number)));
    let first = match (own, theirs) {
        (Some(own), Some(theirs)) if own.0 < theirs.0 => Some(own),
        (own, theirs) => theirs.or(own),
    };
    first.map_or((None, None), |(last, how)| (Some(last), Some(how)))
}

/// Another part, made today: its own life from today, and no longer than anything that went into it.
fn made_of_others(part: &Part, parents: &[&Lot], wish: &Wish, day: Day) -> Result<NewLot, Refusal> {
    let own = match &wish.lasts {
        None => None,
        Some(lasts) => {
            let (last, how) = lasts
                .end_of(&part.number, &Made::on(day))
                .map_err(Refusal::Keeping)?;
            last.map(|last| (last, how))
        }
    };
    let (expiry, expiry_how) = last_day(own, parents, wish);
    Ok(NewLot {
        owner: parents.first().and_then(|lot| lot.owner),
        made: Some(day),
        expiry,
        expiry_how,
        ..NewLot::default()
    })
}

/// What all of them say alike; nothing where they differ.
fn alike<'a, T: PartialEq + Clone>(parents: &[&'a Lot], of: impl Fn(&'a Lot) -> Option<T>) -> Option<T> {
    let first = parents.first().and_then(|lot| of(lot));
    first.filter(|first| parents.iter().all(|lot| of(lot).as_ref() == Some(first)))
}

/// The same part, matched, mixed or broken up: it stays what its parents are, and what was opened stays so.
fn put_together(part: &Part, parents: &[&Lot], wish: &Wish, day: Day) -> Result<NewLot, Refusal> {
    if let Some(serial) = parents.iter().find(|lot| lot.serial.is_some()) {
        return Err(Refusal::Outgoing(OutFault::SerialStays {
            lot: serial.number.clone(),
            part: part.number.clone(),
        }));
    }
    let condition = alike(parents, |lot| Some(lot.condition.clone()));
    let condition = condition.ok_or_else(|| Refusal::Impossible {
        what: part.number.clone(),
        because: format!("some of it is {NEW} and some is not, so it does not become one lot"),
    })?;
    let opened = opened_on(part, parents, day);
    let own = match (opened, part.opened_life) {
        (Some(opened), Some(life)) => {
            end_from_day(opened, life).map(|last| (last, format!("opened {opened} and {life}")))
        }
        _ => None,
    };
    let (expiry, expiry_how) = last_day(own, parents, wish);
    Ok(NewLot {
        owner: parents.first().and_then(|lot| lot.owner),
        batch: alike(parents, |lot| lot.batch.clone()),
        maker: alike(parents, |lot| lot.maker.clone()),
        condition,
        made: parents.iter().filter_map(|lot| lot.made).min(),
        opened,
        expiry,
        expiry_how,
        ..NewLot::default()
    })
}

/// Since when it is open: the first opening of what went in; packs that are poured together are open from today.
fn opened_on(part: &Part, parents: &[&Lot], day: Day) -> Option<Day> {
    let poured = part.hand_out.is_some() && parents.len() > 1;
    let first = parents.iter().filter_map(|lot| lot.opened).min();
    first.or(poured.then_some(day))
}
