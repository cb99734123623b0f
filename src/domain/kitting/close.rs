//! Closing a job: nothing of it may be left over; its engine is sold with all that it carries.

use crate::domain::kitting::job::JobState;
use crate::domain::kitting::reserve::lines_of;
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{JobId, PlaceId};
use crate::domain::stores::law::Movement;
use crate::domain::stores::posting::{Entry, Field, Posting};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::lines::open;

/// Closes a job: kit and crate empty, no claim, no lot whose papers are still to follow; the engine's value is sold to
/// the customer in the same document. The facts must hold every lot in kit, crate and engine.
pub fn close(stock: &Stock, head: Head, job: JobId, customer: PlaceId) -> Result<Posting, Refusal> {
    open(stock, job)?;
    let found = stock.job(job)?;
    let not_yet = |because: String| Refusal::NotEmpty {
        job: found.number.clone(),
        because,
    };
    for place in [Some(found.kit), found.crate_place].into_iter().flatten() {
        let left = stock
            .balances
            .iter()
            .find(|((_, at), balance)| *at == place && balance.qty.is_positive());
        if let Some(((lot, _), balance)) = left {
            let code = &stock.place(place)?.code;
            return Err(not_yet(format!(
                "{} of lot {} lie in {code}",
                balance.qty,
                stock.lot(*lot)?.number
            )));
        }
    }
    if let Some(line) = lines_of(stock, job)
        .into_iter()
        .find(|line| !(line.reserved + line.pegged).is_zero())
    {
        return Err(not_yet(format!("line {} has something reserved", line.n)));
    }
    if !stock.person.may(Movement::Sold.who()) {
        let by = stock.person.initials.clone();
        let role = Movement::Sold.who().word();
        return Err(Refusal::NotAuthorised {
            by,
            role,
            what: "closing a job".to_owned(),
        });
    }
    let mut draft = Draft::new(
        stock,
        Head {
            job: Some(job),
            ..head
        },
    );
    draft.sell(stock, job, customer)?;
    draft.set_field(Field::JobState, job.0, Some(JobState::Closed.word().to_owned()))?;
    draft.finish()
}

impl Draft {
    /// All that the job's engine carries goes to the customer; no lot there may still wait for its papers.
    fn sell(&mut self, stock: &Stock, job: JobId, customer: PlaceId) -> Result<(), Refusal> {
        let (engine, number) = (stock.job(job)?.engine, stock.job(job)?.number.clone());
        for ((lot, at), balance) in stock.balances.iter().filter(|((_, at), _)| *at == engine) {
            let goods = stock.lot(*lot)?;
            if goods.pending && balance.qty.is_positive() {
                let because = format!("the papers of lot {} are still to follow", goods.number);
                return Err(Refusal::NotEmpty { job: number, because });
            }
            if !balance.value.is_zero() {
                self.shift(Entry {
                    movement: Movement::Sold,
                    lot: *lot,
                    from: *at,
                    to: customer,
                    from_line: None,
                    to_line: None,
                    qty: Qty::ZERO,
                    value: balance.value,
                    layer: None,
                })?;
            }
        }
        Ok(())
    }
}
