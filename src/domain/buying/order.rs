//! An order to a supplier: raised with its lines, and closed short of what will not come.

use crate::domain::measure::{Currency, Day, Money, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{OrderId, OrderLineId, PlaceId};
use crate::domain::stores::law::Role;
use crate::domain::stores::part::Part;
use crate::domain::stores::posting::{Field, Posting};
use crate::domain::stores::record::{Record, Table};
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::papers::authorised;

/// A line about to be ordered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// Which part.
    pub part: Part,
    /// How much.
    pub qty: Qty,
    /// What all of it costs, in the store's own currency.
    pub value: Money,
}

/// What an order is raised with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Raise {
    /// Its number, as people write it.
    pub number: String,
    /// From whom.
    pub supplier: PlaceId,
    /// In which currency it is kept.
    pub currency: Currency,
    /// When it was promised.
    pub promised: Option<Day>,
    /// Its lines.
    pub lines: Vec<Wanted>,
}

/// An order raised: its records in a document of their own. `order` is its number in the books, `first_line` that of
/// its first line; the others follow.
pub fn raise(
    stock: &Stock,
    head: Head,
    ask: &Raise,
    (order, first_line): (OrderId, i64),
) -> Result<Posting, Refusal> {
    // Orders are the manager's: he answers for the money.
    authorised(stock, Role::Manager, "raising an order")?;
    if ask.lines.is_empty() {
        return Err(Refusal::Nothing);
    }
    if ask.promised.is_some_and(|promised| promised < stock.day) {
        return Err(Refusal::Impossible {
            what: ask.number.clone(),
            because: "it is promised for a day before it was ordered".to_owned(),
        });
    }
    let mut posting = Posting::new(Head {
        order: Some(order),
        ..head
    });
    posting.records.push(Record {
        table: Table::SupplierOrder,
        data: vec![
            order.0.into(),
            ask.number.as_str().into(),
            ask.supplier.0.into(),
            stock.day.into(),
            ask.currency.code().into(),
            "open".into(),
        ],
    });
    for (n, line) in (1_i64..).zip(&ask.lines) {
        orderable(&line.part, line.qty)?;
        posting.records.push(Record {
            table: Table::OrderLine,
            data: vec![
                (first_line + n - 1).into(),
                order.0.into(),
                n.into(),
                line.part.id.0.into(),
                line.qty.into(),
                line.value.into(),
                ask.promised.into(),
                Qty::ZERO.into(),
            ],
        });
    }
    Ok(posting)
}

/// More than nothing, in the steps in which the part moves.
pub fn orderable(part: &Part, qty: Qty) -> Result<(), Refusal> {
    if !qty.is_positive() {
        return Err(Refusal::Nothing);
    }
    if qty.millionths() % part.step.millionths() != 0 {
        return Err(Refusal::Step {
            part: part.number.clone(),
            step: part.step,
            unit: part.unit.to_string(),
        });
    }
    Ok(())
}

/// Closes lines short of what will not come any more, and with `whole` the order; what is promised out of them is given
/// up and named.
pub fn close(
    stock: &Stock,
    head: Head,
    order: OrderId,
    lines: &[(OrderLineId, Qty)],
    whole: bool,
) -> Result<Posting, Refusal> {
    authorised(stock, Role::Manager, "closing an order")?;
    let mut draft = Draft::new(
        stock,
        Head {
            order: Some(order),
            ..head
        },
    );
    for (line, open) in lines {
        let closed = stock.order(*line)?.closed + *open;
        draft.set_field(Field::OrderClosed, line.0, Some(closed.millionths().to_string()))?;
    }
    if whole {
        draft.set_field(Field::OrderState, order.0, Some("closed".to_owned()))?;
    }
    draft.finish()
}
