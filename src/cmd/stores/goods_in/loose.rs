//! Goods that came without an order: from whom, for how much, whose they stay.

use super::{Ask, approval, arrival, leave_out, unknown};
use crate::cmd::error::Failure;
use crate::cmd::keeping::bins_bear;
use crate::cmd::shelf::{bin_of_kind, bin_or_only, posted_with, quantity_from};
use crate::cmd::shop::{Decision, Scene};
use crate::db::kitting::jobs::job_called;
use crate::db::load::Gather;
use crate::db::stores::stock::part_numbered;
use crate::domain::measure::Money;
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::goods_in::{Delivery, goods_in};
use crate::domain::stores::ids::PlaceId;
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::part::Part;
use crate::print::stores::goods_in_note::{answer, worked_out};

/// Books in goods of one part that came without an order.
pub(super) fn without_order(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    let part = part_numbered(scene.books, &ask.what)?.ok_or_else(|| unknown(&ask.what))?;
    let [amount] = ask.came.as_slice() else {
        return Err(Failure::usage(
            format!("{} is a part: one quantity of it comes at a time", part.number),
            "`bincard goods-in PART QTY --supplier SUPPLIER`",
        ));
    };
    let ordered = [(!ask.note.is_empty(), "--note"), (ask.over, "--over")];
    leave_out(
        &ordered,
        "is for goods on an order, and there is none",
        &part.number,
    )?;
    let to = bin_or_only(scene, ask.to.as_ref(), Kind::Receiving)?;
    let mut facts = scene.gather()?;
    let (from, owner) = sender(scene, ask, &mut facts)?;
    facts.place(to)?;
    facts.part(part.id)?;
    let mut arrival = arrival(
        scene,
        &mut facts,
        ask,
        1,
        (&part, quantity_from(scene, amount, &part, Some(from))?),
    )?;
    arrival.cost = cost(ask, &part, owner)?;
    let mut head = scene.head(DocKind::Movement(Movement::BookIn));
    let mut came = [arrival];
    head.reason = approval::hold(scene, &mut facts, from, &mut came)?;
    let held = head.reason.clone();
    let delivery = Delivery {
        from,
        to,
        owner,
        over: ask.over,
    };
    let stock = facts.done();
    let mut posting = goods_in(&stock, head, delivery, &came)?;
    let said = bins_bear(scene, &stock, &mut posting, ask.over_limit)?;
    Ok(posted_with(
        posting,
        "goods_in",
        "booked in",
        move |stock, posting| {
            let mut remarks: Vec<String> = held.into_iter().collect();
            remarks.extend(worked_out(stock, posting)?);
            remarks.extend(said);
            Ok((answer(stock, posting, &[], "")?, remarks))
        },
    ))
}

/// What goods without an order cost; a customer's own cost nothing.
fn cost(ask: &Ask, part: &Part, owner: Option<PlaceId>) -> Result<Money, Failure> {
    let hint = "say it: `--cost 12.50`, or `--cost 0` for a free sample";
    match &ask.cost {
        Some(text) => Money::parse(text)
            .map_err(|fault| Failure::usage(format!("--cost {text}: {fault}"), hint))
            .and_then(|cost| {
                if cost < Money::ZERO {
                    return Err(Failure::usage(format!("--cost {text}: below nothing"), hint));
                }
                Ok(cost)
            }),
        None if owner.is_some() => Ok(Money::ZERO),
        None => Err(Failure::usage(
            format!("what did all of it cost? {} came without an order", part.number),
            hint,
        )),
    }
}

/// From whom goods without an order come, and whose they stay.
fn sender(
    scene: &Scene<'_, '_>,
    ask: &Ask,
    facts: &mut Gather<'_, '_>,
) -> Result<(PlaceId, Option<PlaceId>), Failure> {
    if let Some(called) = &ask.his {
        let job = job_called::<Failure>(scene.books, called)?;
        let customer = job.customer.ok_or_else(|| {
            Failure::from(Refusal::Impossible {
                what: job.number.clone(),
                because: "the job has no customer whose own parts could come".to_owned(),
            })
        })?;
        facts.place(customer)?;
        return Ok((customer, Some(customer)));
    }
    let Some(code) = &ask.supplier else {
        return Err(Failure::usage(
            "from whom? goods without an order come from somebody",
            "name the supplier: `--supplier SUPPLIER`, or `--his JOB` for a customer's own part",
        ));
    };
    let from = bin_of_kind(scene, code, &[Kind::Supplier])?;
    facts.place(from)?;
    Ok((from, None))
}
