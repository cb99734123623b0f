//! What comes back: out of the kit onto a shelf untouched, or off the engine into receiving to be inspected.

use crate::domain::kitting::job::Line;
use crate::domain::kitting::turn::lines_of;
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{JobId, LotId, PlaceId};
use crate::domain::stores::law::Movement;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::enter::Move;
use crate::domain::stores::verbs::lines::open;
use crate::domain::stores::verbs::moves::post_moves;

/// Goods of one line that come back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Back {
    /// The number of the line.
    pub n: i64,
    /// How much.
    pub qty: Qty,
    /// The lot, where the line has several.
    pub lot: Option<LotId>,
    /// Where it goes.
    pub to: PlaceId,
}

/// Puts goods that lie untouched in the kit back where they can be picked.
pub fn put_back(stock: &Stock, head: Head, job: JobId, back: &[Back]) -> Result<Posting, Refusal> {
    come_back(stock, head, job, back, Movement::PutBack)
}

/// Takes goods off the engine, or out of the kit, into receiving: the line is short again.
pub fn give_back(stock: &Stock, head: Head, job: JobId, back: &[Back]) -> Result<Posting, Refusal> {
    come_back(stock, head, job, back, Movement::Return)
}

fn come_back(
    stock: &Stock,
    head: Head,
    job: JobId,
    back: &[Back],
    movement: Movement,
) -> Result<Posting, Refusal> {
    open(stock, job)?;
    if back.is_empty() {
        return Err(Refusal::Nothing);
    }
    let mut moves: Vec<Move> = Vec::new();
    for one in back {
        let line = line_numbered(stock, job, one.n)?;
        let from = where_from(stock, line, one.qty, movement)?;
        let lot = lot_of(stock, line, from, one)?;
        moves.push(Move::new(movement, lot, from, one.to, one.qty).off(line.id));
    }
    let head = Head {
        job: Some(job),
        ..head
    };
    post_moves(stock, head, &moves)
}

/// The line of this number.
pub fn line_numbered(stock: &Stock, job: JobId, n: i64) -> Result<&Line, Refusal> {
    let lines = lines_of(stock, job);
    let found = lines.into_iter().find(|line| line.n == n);
    match found {
        Some(line) => Ok(line),
        None => Err(Refusal::Unknown {
            what: "line",
            asked: format!("{n} of {}", stock.job(job)?.number),
            near: Vec::new(),
        }),
    }
}

/// The kit for what is put back; for a return the engine if that has as much of the line, else the kit.
fn where_from(stock: &Stock, line: &Line, qty: Qty, movement: Movement) -> Result<PlaceId, Refusal> {
    let job = stock.job(line.job)?;
    if movement == Movement::Return && line.fitted >= qty {
        return Ok(job.engine);
    }
    if line.kitted >= qty {
        return Ok(job.kit);
    }
    Err(Refusal::UnderLine {
        job: job.number.clone(),
        n: line.n,
    })
}

/// The lot named, or the only one of the line's part that lies there.
fn lot_of(stock: &Stock, line: &Line, from: PlaceId, back: &Back) -> Result<LotId, Refusal> {
    if let Some(lot) = back.lot {
        return Ok(lot);
    }
    let mut there = Vec::new();
    for ((lot, place), balance) in &stock.balances {
        if *place == from && balance.qty.is_positive() && stock.lot(*lot)?.part == line.part {
            there.push((*lot, balance.qty));
        }
    }
    match there.as_slice() {
        [(only, _)] => Ok(*only),
        _ => {
            let unit = stock.part(line.part)?.unit;
            let told: Result<Vec<String>, Refusal> = there
                .iter()
                .map(|(lot, qty)| Ok(format!("{} {qty} {unit}", stock.lot(*lot)?.number)))
                .collect();
            Err(Refusal::Ambiguous {
                what: "lot of the line",
                asked: format!("line {}", line.n),
                fits: told?,
            })
        }
    }
}
