//! Closing a job: everything is accounted for, and the engine is sold with all that it carries.

use crate::domain::kitting::job::{Job, JobState};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{JobId, LotId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::posting::{Entry, Field, Posting};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::lines::open;
use crate::domain::stores::verbs::papers::authorised;

/// Closes a job and posts its engine as sold; `sent_out` are the lots that ever went out for it.
pub fn close(stock: &Stock, head: Head, job: JobId, sent_out: &[LotId]) -> Result<Posting, Refusal> {
    open(stock, job)?;
    authorised(stock, Movement::Sold.who(), Movement::Sold.word())?;
    let job = stock.job(job)?;
    if let Some(because) = still_open(stock, job, sent_out)? {
        return Err(not_yet(job, because));
    }
    let owner = stock.place(job.engine)?.owner;
    let customer = job.customer.or(owner).filter(|place| place.is(Kind::Customer));
    let customer =
        customer.ok_or_else(|| not_yet(job, "nobody is named to whom its engine goes".to_owned()))?;
    let head = Head {
        job: Some(job.id),
        ..head
    };
    let mut draft = Draft::new(stock, head);
    let carried: Vec<_> = stock
        .balances
        .iter()
        .filter(|((_, place), balance)| *place == job.engine && balance.value.is_positive())
        .map(|((lot, _), balance)| (*lot, balance.value))
        .collect();
    for (lot, value) in carried {
        draft.shift(Entry {
            movement: Movement::Sold,
            lot,
            from: job.engine,
            to: customer,
            from_line: None,
            to_line: None,
            qty: crate::domain::measure::Qty::ZERO,
            value,
            layer: None,
        })?;
    }
    draft.set_field(
        Field::JobState,
        job.id.0,
        Some(JobState::Closed.word().to_owned()),
    )?;
    draft.finish()
}

fn not_yet(job: &Job, because: String) -> Refusal {
    Refusal::NotEmpty {
        job: job.number.clone(),
        because,
    }
}

/// What keeps the job open: parts in kit or crate, claims, a pending lot, something away for it.
fn still_open(stock: &Stock, job: &Job, sent_out: &[LotId]) -> Result<Option<String>, Refusal> {
    for place in [Some(job.kit), job.crate_place].into_iter().flatten() {
        if lying(stock, place).next().is_some() {
            return Ok(Some(format!("{} is not empty", stock.place(place)?.code)));
        }
    }
    let claimed = |line: &&crate::domain::kitting::job::Line| {
        line.job == job.id && (line.reserved + line.pegged).is_positive()
    };
    if let Some(line) = stock.lines.values().find(claimed) {
        return Ok(Some(format!("line {} still has parts reserved", line.n)));
    }
    for lot in lying(stock, job.engine) {
        if stock.lot(lot)?.pending {
            return Ok(Some(format!(
                "the papers of lot {} have not come",
                stock.lot(lot)?.number
            )));
        }
    }
    for lot in sent_out {
        let away = |(place, balance): (PlaceId, crate::domain::stores::stock::Balance)| {
            place.is(Kind::Away) && balance.qty.is_positive()
        };
        if stock.places_of(*lot).any(away) {
            return Ok(Some(format!("lot {} is away for it", stock.lot(*lot)?.number)));
        }
    }
    Ok(None)
}

/// The lots that lie in a place.
fn lying(stock: &Stock, place: PlaceId) -> impl Iterator<Item = LotId> + '_ {
    let here = stock
        .balances
        .iter()
        .filter(move |((_, at), balance)| *at == place && balance.qty.is_positive());
    here.map(|((lot, _), _)| *lot)
}
