//! What goes into what, laid out once so that a bill of any depth is added up in one pass.

use crate::domain::stores::ids::PartId;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// So much of one part in one of another: part above, part below, quantity.
pub type Into = (PartId, PartId, Decimal);

/// One strand of the web; parts are told by their place in the list.
#[derive(Clone, Copy, Debug)]
struct Strand {
    above: u32,
    below: u32,
    qty: Decimal,
}

/// Parts and what goes into them, sorted so that each part stands behind everything it goes into.
#[derive(Clone, Debug)]
pub struct Web {
    /// Invariant: no part stands here twice; the first is the one that everything goes into.
    parts: Vec<PartId>,
    /// Invariant: every strand down to a part stands before every strand down from it.
    strands: Vec<Strand>,
}

/// The parts of a loop from one round to the same again: each goes into the one before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Loop(pub Vec<PartId>);

impl Web {
    /// Lays out everything that goes into `top`, at any level; a loop is an error that names its path.
    pub fn new(top: PartId, all: &[Into]) -> Result<Web, Loop> {
        let mut places: BTreeMap<PartId, usize> = BTreeMap::from([(top, 0)]);
        let mut parts = vec![top];
        for part in all.iter().flat_map(|(above, below, _)| [*above, *below]) {
            places.entry(part).or_insert_with(|| {
                parts.push(part);
                parts.len() - 1
            });
        }
        let place = |part: &PartId| places.get(part).copied().unwrap_or_default();
        let mut down: Vec<Vec<(usize, Decimal)>> = vec![Vec::new(); parts.len()];
        for (above, below, qty) in all {
            if let Some(strands) = down.get_mut(place(above)) {
                strands.push((place(below), qty.normalize()));
            }
        }
        let order = sorted(&down).map_err(|round| Loop(named(&parts, &round)))?;
        let small = |place: usize| u32::try_from(place).unwrap_or(u32::MAX);
        let mut strands = Vec::with_capacity(all.len());
        // Numbered in the order of the pass, so that it walks through memory instead of leaping about.
        let mut numbers = vec![0_usize; parts.len()];
        for (number, place) in order.iter().enumerate() {
            if let Some(slot) = numbers.get_mut(*place) {
                *slot = number;
            }
        }
        let number = |place: usize| numbers.get(place).copied().unwrap_or_default();
        for place in &order {
            for (below, qty) in down.get(*place).into_iter().flatten() {
                strands.push(Strand {
                    above: small(number(*place)),
                    below: small(number(*below)),
                    qty: *qty,
                });
            }
        }
        Ok(Web {
            parts: named(&parts, &order),
            strands,
        })
    }

    /// The parts, each behind everything it goes into.
    pub fn parts(&self) -> &[PartId] {
        &self.parts
    }

    /// How many strands there are.
    pub fn strands(&self) -> usize {
        self.strands.len()
    }

    /// How much of each part, in the order of [`Web::parts`], goes into one of the first; exact, or nothing where a
    /// figure outgrows 28 digits.
    pub fn totals(&self) -> Option<Vec<Decimal>> {
        let mut totals = vec![Decimal::ZERO; self.parts.len()];
        *totals.first_mut()? = Decimal::ONE;
        for strand in &self.strands {
            let above = *totals.get(strand.above as usize)?;
            let below = totals.get_mut(strand.below as usize)?;
            *below = below.checked_add(above.checked_mul(strand.qty)?)?;
        }
        Some(totals)
    }
}

fn named(parts: &[PartId], places: &[usize]) -> Vec<PartId> {
    places
        .iter()
        .filter_map(|place| parts.get(*place).copied())
        .collect()
}

/// A walk down from the first: how far it has come with a place.
#[derive(Clone, Copy, PartialEq)]
enum Met {
    Never,
    Above,
    Done,
}

/// The places reached from the first, each behind everything above it, or the places of a loop.
fn sorted(down: &[Vec<(usize, Decimal)>]) -> Result<Vec<usize>, Vec<usize>> {
    let mut met = vec![Met::Never; down.len()];
    let mut done = Vec::new();
    // The path from the top, with the strand to follow next at each place; no call calls itself, however deep it is.
    let mut path: Vec<(usize, usize)> = vec![(0, 0)];
    mark(&mut met, 0, Met::Above);
    while let Some((place, next)) = path.last_mut() {
        let (here, strand) = (*place, *next);
        *next += 1;
        let Some((below, _)) = down.get(here).and_then(|strands| strands.get(strand)) else {
            mark(&mut met, here, Met::Done);
            done.push(here);
            path.pop();
            continue;
        };
        match met.get(*below) {
            Some(Met::Never) => {
                mark(&mut met, *below, Met::Above);
                path.push((*below, 0));
            }
            Some(Met::Above) => {
                let round = path
                    .iter()
                    .map(|(place, _)| *place)
                    .skip_while(|place| place != below);
                return Err(round.chain([*below]).collect());
            }
            _ => {}
        }
    }
    done.reverse();
    Ok(done)
}

fn mark(met: &mut [Met], place: usize, now: Met) {
    if let Some(slot) = met.get_mut(place) {
        *slot = now;
    }
}
