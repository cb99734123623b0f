//! Closing a job: everything is accounted for, and the engine is sold with all that it carries.

use crate::domain::kitting::job::{Job, JobState, Line};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{JobId, LotId, PlaceId};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::posting::{Entry, Field, Posting};
use crate::domain::stores::stock::{Balance, Stock};
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::lines::open;
use crate::domain::stores::verbs::papers::authorised;

/// Closes a job and posts its engine as sold; `sent_out` are the lots that ever went out for it.
pub fn close(stock: &Stock, head: Head, job: JobId, sent_out: &[LotId]) -> Result<Posting, Refusal> {
    open(stock, job)?;
    authorised(stock, Movement::Sold.who(), Movement::Sold.word())?;
    let job = stock.job(job)?;
    let because = still_open(stock, job, sent_out)?;
    if !because.is_empty() {
        return Err(not_yet(job, because.join("; ")));
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

/// Everything that keeps the job open: parts in kit or crate, claims, pending lots, what is away for it.
fn still_open(stock: &Stock, job: &Job, sent_out: &[LotId]) -> Result<Vec<String>, Refusal> {
    let mut because = Vec::new();
    for place in [Some(job.kit), job.crate_place].into_iter().flatten() {
        let lots: Vec<LotId> = lying(stock, place).collect();
        if !lots.is_empty() {
            let code = &stock.place(place)?.code;
            because.push(format!("{code} is not empty ({})", numbers(stock, &lots)?));
        }
    }
    let claimed = |line: &&Line| line.job == job.id && (line.reserved + line.pegged).is_positive();
    let waiting: Vec<String> = stock
        .lines
        .values()
        .filter(claimed)
        .map(|line| line.n.to_string())
        .collect();
    if !waiting.is_empty() {
        because.push(format!("parts are reserved on line {}", waiting.join(", ")));
    }
    for lot in lying(stock, job.engine) {
        if stock.lot(lot)?.pending {
            let number = &stock.lot(lot)?.number;
            because.push(format!("the papers of lot {number} have not come"));
        }
    }
    for lot in sent_out {
        let away = |(place, balance): (PlaceId, Balance)| place.is(Kind::Away) && balance.qty.is_positive();
        if stock.places_of(*lot).any(away) {
            because.push(format!("lot {} is away for it", stock.lot(*lot)?.number));
        }
    }
    Ok(because)
}

/// The numbers of some lots: the first three, and how many more there are.
fn numbers(stock: &Stock, lots: &[LotId]) -> Result<String, Refusal> {
    let mut told = Vec::new();
    for lot in lots.iter().take(3) {
        told.push(stock.lot(*lot)?.number.clone());
    }
    let named = told.join(", ");
    Ok(match lots.len() - told.len() {
        0 => named,
        more => format!("{named} and {more} more"),
    })
}

/// The lots that lie in a place.
fn lying(stock: &Stock, place: PlaceId) -> impl Iterator<Item = LotId> + '_ {
    let here = stock
        .balances
        .iter()
        .filter(move |((_, at), balance)| *at == place && balance.qty.is_positive());
    here.map(|((lot, _), _)| *lot)
}
