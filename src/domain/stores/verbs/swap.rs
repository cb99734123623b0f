//! The engine of a job is another serial than was thought: what is fitted moves to it in one document.

use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{JobId, LineId, PlaceId};
use crate::domain::stores::law::Movement;
use crate::domain::stores::posting::{Field, Posting};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::enter::Move;
use crate::domain::stores::verbs::papers::authorised;

/// Moves what the job's lines have fitted to another engine, which becomes the job's; bench stock that was used up on
/// the first stays used up there.
pub fn swap_engine(stock: &Stock, head: Head, job: JobId, engine: PlaceId) -> Result<Posting, Refusal> {
    authorised(stock, Movement::Swap.who(), Movement::Swap.word())?;
    let old = stock.job(job)?.engine;
    if old == engine {
        return Err(Refusal::Nothing);
    }
    let mut draft = Draft::new(stock, head);
    let lines: Vec<LineId> = stock
        .lines
        .values()
        .filter(|line| line.job == job && stock.parts.get(&line.part).is_none_or(|part| !part.bench_stock))
        .map(|line| line.id)
        .collect();
    for id in lines {
        let line = stock.line(id)?.clone();
        let mut left = line.fitted;
        let lying: Vec<_> = draft
            .stock
            .balances
            .iter()
            .filter(|((lot, place), _)| {
                *place == old && stock.lots.get(lot).is_some_and(|l| l.part == line.part)
            })
            .map(|((lot, _), balance)| (*lot, balance.qty))
            .collect();
        for (lot, there) in lying {
            let qty = there.min(left);
            if qty.is_positive() {
                draft.enter(Move::new(Movement::Swap, lot, old, engine, qty).off(id).onto(id))?;
                left -= qty;
            }
        }
    }
    draft.set_field(Field::JobEngine, job.0, Some(engine.0.to_string()))?;
    draft.finish()
}
