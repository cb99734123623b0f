//! `goods-in`: what the van brought, on an order or without one; it waits in receiving to be inspected.

mod approval;
mod days;
mod guided;
mod loose;

use crate::cmd::answers::{answers, said_of};
use crate::cmd::error::Failure;
use crate::cmd::keeping::bins_bear;
use crate::cmd::ordered::{sheet, sheet_lines};
use crate::cmd::shelf::{bin_or_only, posted_with, quantity_from};
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::load::Gather;
use crate::db::stores::lives::lasts_on;
use crate::db::stores::notes::next_note;
use crate::db::stores::orders::{Line, Order, lot_with_serial, maker_of, order_numbered};
use crate::db::stores::stock::part_numbered;
use crate::domain::measure::{Money, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::goods_in::{Arrival, Delivery, Ordered, Serial, goods_in};
use crate::domain::stores::law::{Kind, Movement};
use crate::domain::stores::noting::{NewNote, record};
use crate::domain::stores::part::Part;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::print::stores::goods_in_note::{Came, answer, claim, worked_out};
use crate::print::stores::order_sheet::{OrderSheet, order_sheet};
use clap::Args;
use days::{last_day, made_on};

/// Book in what came, on an order or without one; it waits in receiving to be inspected
#[derive(Args, Clone, Debug)]
pub struct Ask {
    /// An order, or a part that came without one
    #[arg(value_name = "ORDER|PART")]
    what: String,
    /// `LINE=QTY` or `LINE=QTY:BATCH` for an order, the quantity for a part; an order alone shows its lines
    #[arg(value_name = "LINE=QTY", allow_negative_numbers = true)]
    came: Vec<String>,
    /// The supplier, for goods without an order
    #[arg(long, value_name = "SUPPLIER")]
    supplier: Option<String>,
    /// The job whose customer's own parts these are: tag, number or engine serial
    #[arg(long, value_name = "JOB", conflicts_with_all = ["supplier", "cost"])]
    his: Option<String>,
    /// What all of it cost, for goods without an order
    #[arg(long, value_name = "AMOUNT")]
    cost: Option<String>,
    /// The maker's batch; `LINE=BATCH` for one line of several
    #[arg(long, value_name = "[LINE=]BATCH")]
    batch: Vec<String>,
    /// Who made it, where that is not the part's usual maker; `LINE=MAKER` for one line of several
    #[arg(long, value_name = "[LINE=]MAKER")]
    maker: Vec<String>,
    /// The maker's serial, once for each piece; `LINE=SERIAL` for one line of several
    #[arg(long, value_name = "[LINE=]SERIAL")]
    serial: Vec<String>,
    /// The last day printed on it, as the label has it; `LINE=DATE` for one line of several
    #[arg(long, value_name = "[LINE=]DATE")]
    expiry: Vec<String>,
    /// When it was made, as the label has it; `LINE=DATE` for one line of several
    #[arg(long, value_name = "[LINE=]DATE")]
    made: Vec<String>,
    /// What the delivery note says came; `LINE=QTY` for one line of several
    #[arg(long, value_name = "[LINE=]QTY")]
    note: Vec<String>,
    /// More than was ordered really came
    #[arg(long)]
    over: bool,
    /// Leave out what the book says
    #[arg(long)]
    blind: bool,
    /// Be asked for each open line of the order
    #[arg(long, conflicts_with = "came")]
    guided: bool,
    /// Where it goes: a bin, or whoever gets it
    #[arg(long, value_name = "BIN")]
    to: Option<String>,
    /// Into the bin though its limit is passed; the document says so
    #[arg(long)]
    over_limit: bool,
}

/// Books in, or shows the order.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    if ask.guided {
        let typed = guided::ask_each(shop, ask)?;
        return book_in(shop, &typed);
    }
    if ask.came.is_empty() {
        return shop.read(|scene| show(scene, ask));
    }
    book_in(shop, ask)
}

fn book_in(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.change(|scene| match order_numbered(scene.books, &ask.what)? {
        Some(order) => on_order(scene, ask, order),
        None => loose::without_order(scene, ask),
    })
}

/// An order as it stands, its lines numbered; with `blind` only what is to be counted.
fn show(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    let what = &ask.what;
    let Some(order) = order_numbered(scene.books, what)? else {
        if part_numbered(scene.books, what)?.is_some() {
            return Err(Failure::usage(
                format!("how much of {what} came?"),
                "say how much and from whom: `bincard goods-in PART QTY --supplier SUPPLIER`",
            ));
        }
        return Err(unknown(what));
    };
    let mut lines = sheet_lines(scene, &order)?;
    if ask.blind {
        lines.retain(|line| line.owed.is_positive());
    }
    let sheet = OrderSheet {
        blind: ask.blind,
        priced: false,
        ..sheet(scene, &order, &lines)
    };
    Ok(Done::yes(order_sheet(&sheet, scene.paper("order", ""))))
}

/// Refuses options that would do nothing here.
fn leave_out(options: &[(bool, &str)], because: &str, what: &str) -> Result<(), Failure> {
    match options.iter().find(|(said, _)| *said) {
        None => Ok(()),
        Some((_, option)) => Err(Failure::usage(
            format!("{what}: {option} {because}"),
            "leave it out",
        )),
    }
}

fn unknown(what: &str) -> Failure {
    Refusal::Unknown {
        what: "order or part",
        asked: what.to_owned(),
        near: Vec::new(),
    }
    .into()
}

/// The lines of an order as a paper shows them.
fn order_lines(order: &Order) -> Vec<Came> {
    let line = |line: &Line| Came {
        n: line.n,
        part: line.part,
        ordered: line.ordered,
        arrived: line.arrived,
        still_open: line.still_open(),
        on_note: None,
    };
    order.lines.iter().map(line).collect()
}

/// Refuses what is not said of an order, and an order on which nothing is to come any more.
fn may_come(ask: &Ask, order: &Order) -> Result<(), Failure> {
    let priced = [
        (ask.supplier.is_some(), "--supplier"),
        (ask.cost.is_some(), "--cost"),
        (ask.his.is_some(), "--his"),
    ];
    leave_out(
        &priced,
        "is for goods without an order, and there is one",
        &order.number,
    )?;
    if order.state != "open" {
        return Err(Refusal::Impossible {
            what: order.number.clone(),
            because: "the order is closed".to_owned(),
        }
        .into());
    }
    Ok(())
}

fn on_order(scene: &Scene<'_, '_>, ask: &Ask, order: Order) -> Result<Decision<'static>, Failure> {
    may_come(ask, &order)?;
    let to = bin_or_only(scene, ask.to.as_ref(), Kind::Receiving)?;
    let mut facts = scene.gather()?;
    facts.place(order.supplier)?;
    facts.place(to)?;
    let mut came = Vec::new();
    for (n, found) in answers(&ask.came, "1=17")? {
        let line = line_of(&order, n)?;
        facts.order_line(line.id)?;
        let (amount, batch) = found
            .split_once(':')
            .map_or((found, None), |(qty, batch)| (qty, Some(batch)));
        let part = facts.so_far().part(line.part)?.clone();
        let mut arrival = arrival(
            scene,
            &mut facts,
            ask,
            n,
            (&part, quantity_from(scene, amount, &part, Some(order.supplier))?),
        )?;
        arrival.batch = batch.map(str::to_owned).or(arrival.batch);
        arrival.ordered = Some(Ordered {
            line: line.id,
            n,
            ordered: line.ordered,
            value: line.value,
        });
        came.push(arrival);
    }
    let mut head = scene.head(DocKind::Movement(Movement::BookIn));
    head.order = Some(order.id);
    head.reason = approval::hold(scene, &mut facts, order.supplier, &mut came)?;
    let held = head.reason.clone();
    let delivery = Delivery {
        from: order.supplier,
        to,
        owner: None,
        over: ask.over,
    };
    let stock = facts.done();
    let mut posting = goods_in(&stock, head, delivery, &came)?;
    let said = bins_bear(scene, &stock, &mut posting, ask.over_limit)?;
    let lines = booked(scene, &order, &came, (ask, &stock))?;
    note_the_note(scene, &mut posting, &order, &lines)?;
    Ok(posted_with(
        posting,
        "goods_in",
        "booked in",
        move |stock, posting| {
            let mut remarks = claim(stock, &lines, &order.number, &order.supplier_name)?;
            remarks.splice(0..0, held);
            remarks.extend(worked_out(stock, posting)?);
            remarks.extend(said);
            Ok((answer(stock, posting, &lines, &order.number)?, remarks))
        },
    ))
}

/// The line of an order with this number.
fn line_of(order: &Order, n: i64) -> Result<&Line, Refusal> {
    order
        .lines
        .iter()
        .find(|line| line.n == n)
        .ok_or_else(|| Refusal::Unknown {
            what: "line of this order",
            asked: n.to_string(),
            near: order.lines.iter().map(|line| line.n.to_string()).collect(),
        })
}

/// The lines that something came on, with what the delivery note says.
fn booked(
    scene: &Scene<'_, '_>,
    order: &Order,
    came: &[Arrival],
    (ask, stock): (&Ask, &Stock),
) -> Result<Vec<Came>, Failure> {
    let mut lines = order_lines(order);
    lines.retain(|line| came.iter().any(|arrival| of_line(arrival, line.n)));
    for line in &mut lines {
        let now: Qty = came
            .iter()
            .filter(|arrival| of_line(arrival, line.n))
            .map(|arrival| arrival.qty)
            .sum();
        line.arrived = now;
        line.still_open = (line.still_open - now).max(Qty::ZERO);
        let part = stock.part(line.part)?;
        line.on_note = said_of(&ask.note, line.n)
            .first()
            .map(|text| quantity_from(scene, text, part, Some(order.supplier)))
            .transpose()?;
    }
    Ok(lines)
}

fn of_line(arrival: &Arrival, n: i64) -> bool {
    arrival.ordered.as_ref().is_some_and(|ordered| ordered.n == n)
}

/// Keeps what the delivery note said, where it was told.
fn note_the_note(
    scene: &Scene<'_, '_>,
    posting: &mut Posting,
    order: &Order,
    lines: &[Came],
) -> Result<(), Failure> {
    let first = next_note(scene.books)?;
    let told = lines.iter().filter_map(|line| Some((line, line.on_note?)));
    for (id, (line, on_note)) in (first..).zip(told) {
        let about = order
            .lines
            .iter()
            .find(|of| of.n == line.n)
            .map_or(0, |of| of.id.0);
        posting.records.push(record(NewNote {
            id,
            about: ("order_line", about),
            topic: "delivery note",
            text: on_note.to_string(),
            answers: None,
        })?);
    }
    Ok(())
}

/// What the options say of a line.
fn arrival(
    scene: &Scene<'_, '_>,
    facts: &mut Gather<'_, '_>,
    ask: &Ask,
    n: i64,
    (part, qty): (&Part, Qty),
) -> Result<Arrival, Failure> {
    let (printed, made) = (said_of(&ask.expiry, n), said_of(&ask.made, n));
    let expiry = printed.first().map(|text| last_day(text, scene.day));
    let made = made.first().map(|text| made_on(text, part, scene.day));
    let (expiry, made) = (expiry.transpose()?, made.transpose()?);
    let (lasts, of_record) = (
        lasts_on(scene.books, part, scene.day)?,
        maker_of(scene.books, part.id)?,
    );
    let maker = said_of(&ask.maker, n)
        .first()
        .map(|text| (*text).to_owned())
        .or(of_record);
    let mut serials = Vec::new();
    for serial in said_of(&ask.serial, n) {
        let known = lot_with_serial(scene.books, part.id, maker.as_deref(), serial)?;
        if let Some(lot) = known {
            facts.lot(lot)?;
        }
        serials.push(Serial {
            serial: serial.to_owned(),
            known,
        });
    }
    Ok(Arrival {
        part: part.id,
        qty,
        ordered: None,
        cost: Money::ZERO,
        batch: said_of(&ask.batch, n).first().map(|text| (*text).to_owned()),
        serials,
        maker,
        expiry,
        made,
        lasts,
        held: None,
    })
}
