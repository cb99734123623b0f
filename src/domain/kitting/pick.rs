//! The pick list in walking order, its confirmation as listed, and the issue of a kit to its engine.

use crate::domain::kitting::reserve::lines_of;
use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{JobId, LineId, LotId, PlaceId};
use crate::domain::stores::law::Movement;
use crate::domain::stores::posting::{Posting, Source};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::enter::Move;
use crate::domain::stores::verbs::lines::open;
use crate::domain::stores::verbs::moves::post_moves;

/// One line of a pick list; its printed number is its handle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PickLine {
    /// The printed number.
    pub n: i64,
    /// The job line it serves.
    pub line: LineId,
    /// The lot to take.
    pub lot: LotId,
    /// From which bin.
    pub place: PlaceId,
    /// How much.
    pub qty: Qty,
    /// Its last day, where that lies before the day it is judged on: not to be picked.
    pub dead: Option<Day>,
}

/// What is reserved for a job, in the order in which a clerk walks.
pub fn pick_list(stock: &Stock, job: JobId) -> Result<Vec<PickLine>, Refusal> {
    let judged = stock.judged_for(stock.job(job)?);
    let mut taken: std::collections::BTreeMap<(LotId, PlaceId), Qty> = std::collections::BTreeMap::new();
    let mut lines = Vec::new();
    for line in lines_of(stock, job) {
        for (source, reserved) in stock.claims.for_line(line.id) {
            let Source::Lot(lot) = source else { continue };
            let mut left = reserved;
            for place in walk(stock, lot) {
                let used = taken.entry((lot, place)).or_default();
                let qty = (stock.balance(lot, place).qty - *used).min(left);
                if qty.is_positive() {
                    *used += qty;
                    left -= qty;
                    let goods = stock.lot(lot)?;
                    let dead = goods.expiry.filter(|_| !goods.usable_on(judged));
                    lines.push(PickLine {
                        n: 0,
                        line: line.id,
                        lot,
                        place,
                        qty,
                        dead,
                    });
                }
            }
        }
    }
    lines.sort_by_key(|pick| {
        let place = stock.places.get(&pick.place);
        (
            place.and_then(|p| p.walk),
            place.map(|p| p.code.clone()),
            pick.line,
            pick.lot,
        )
    });
    for (n, line) in (1_i64..).zip(&mut lines) {
        line.n = n;
    }
    Ok(lines)
}

/// The pickable places of a lot that are on no hold, in walking order.
fn walk(stock: &Stock, lot: LotId) -> Vec<PlaceId> {
    let mut places: Vec<PlaceId> = stock
        .places_of(lot)
        .filter(|(place, balance)| balance.qty.is_positive() && stock.counts_as_pickable(lot, *place))
        .map(|(place, _)| place)
        .collect();
    places.sort_by_key(|id| stock.places.get(id).map(|place| (place.walk, place.code.clone())));
    places
}

/// Books the list as it was printed; a second confirmation of the same list takes nothing.
pub fn pick_as_listed(stock: &Stock, head: Head, job: JobId, list: i64) -> Result<Option<Posting>, Refusal> {
    open(stock, job)?;
    let (kit, now, number) = {
        let job = stock.job(job)?;
        (job.kit, job.list, job.number.clone())
    };
    if list != now {
        return Err(Refusal::OldList {
            job: number,
            answered: list,
            now,
        });
    }
    let moves: Vec<Move> = pick_list(stock, job)?
        .into_iter()
        .map(|pick| Move::new(Movement::Pick, pick.lot, pick.place, kit, pick.qty).onto(pick.line))
        .collect();
    if moves.is_empty() {
        return Ok(None);
    }
    post_moves(
        stock,
        Head {
            list: Some(list),
            job: Some(job),
            ..head
        },
        &moves,
    )
    .map(Some)
}

/// Issues what lies in the kit to the engine: all of it, or what some lines have.
pub fn issue(stock: &Stock, head: Head, job: JobId, numbers: &[i64]) -> Result<Option<Posting>, Refusal> {
    open(stock, job)?;
    let (kit, engine) = (stock.job(job)?.kit, stock.job(job)?.engine);
    let mut left: std::collections::BTreeMap<LotId, Qty> = stock
        .balances
        .iter()
        .filter(|((_, place), balance)| *place == kit && balance.qty.is_positive())
        .map(|((lot, _), balance)| (*lot, balance.qty))
        .collect();
    let mut moves = Vec::new();
    for line in lines_of(stock, job) {
        let mut wanted = line.kitted;
        for (lot, there) in &mut left {
            let qty = wanted.min(*there);
            if stock.lot(*lot)?.part == line.part && qty.is_positive() {
                wanted -= qty;
                *there -= qty;
                if numbers.is_empty() || numbers.contains(&line.n) {
                    moves.push(
                        Move::new(Movement::Issue, *lot, kit, engine, qty)
                            .off(line.id)
                            .onto(line.id),
                    );
                }
            }
        }
    }
    if moves.is_empty() {
        return Ok(None);
    }
    post_moves(
        stock,
        Head {
            job: Some(job),
            ..head
        },
        &moves,
    )
    .map(Some)
}
