//! `order`: raised, listed, shown, closed.

use crate::cmd::error::{Failure, exit};
use crate::cmd::ordered::{order_called, sheet, sheet_lines};
use crate::cmd::shelf::quantity_from;
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::estimating::{exchange_rates, prices_of};
use crate::db::names::Names;
use crate::db::stores::orders::{Order, next_number, order_numbered, orders};
use crate::domain::buying::order::{Raise, Wanted, close, orderable, raise};
use crate::domain::estimating::price::{extended, in_base, price_for};
use crate::domain::measure::{Day, Money, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::{OrderId, PlaceId};
use crate::domain::stores::law::Kind;
use crate::domain::stores::part::Part;
use crate::domain::stores::posting::Source;
use crate::domain::stores::record::Table;
use crate::print::paper::Paper;
use crate::print::stores::order_sheet::{is_done, order_list, order_sheet};
use crate::print::words::count;
use clap::{Args, Subcommand};

/// Raise an order to a supplier, list the orders, show one, close one short
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    /// `raise`.
    #[command(
        after_help = "examples:\n  bincard order raise QUO SP-20=8 ST-160=32 --promised 2026-12-09 --by DA\n  bincard order raise VANTR GA-10=2 --price GA-10=130.50 --by DA --dry-run"
    )]
    Raise(RaiseAsk),
    /// `list`.
    #[command(after_help = "examples:\n  bincard order list\n  bincard order list --all --format csv")]
    List(List),
    /// `show`.
    #[command(
        after_help = "examples:\n  bincard order show ORD-101\n  bincard order show ORD-103 --format json"
    )]
    Show(Show),
    /// `close`.
    #[command(
        after_help = "examples:\n  bincard order close ORD-103 --by DA -w they make it no more\n  bincard order close ORD-101 2 --by DA -w found elsewhere"
    )]
    Close(CloseAsk),
}

/// Raise an order to a supplier: its parts at his prices of the day
#[derive(Args, Debug)]
pub struct RaiseAsk {
    /// The supplier
    #[arg(value_name = "SUPPLIER")]
    supplier: String,
    /// A part and how much of it
    #[arg(value_name = "PART=QTY", required = true)]
    lines: Vec<String>,
    /// The day the supplier promised
    #[arg(long, value_name = "DATE")]
    promised: Option<String>,
    /// The price of one unit of a part, in the store's own currency, where the list's does not hold
    #[arg(long, value_name = "PART=AMOUNT")]
    price: Vec<String>,
    /// The order's number, if not the next
    #[arg(long, value_name = "NUMBER")]
    number: Option<String>,
}

/// The orders with what they owe
#[derive(Args, Debug)]
pub struct List {
    /// What is done with too
    #[arg(long)]
    all: bool,
}

/// One order: ordered, on the note, counted, accepted, rejected, still open
#[derive(Args, Debug)]
pub struct Show {
    /// The order's number
    #[arg(value_name = "ORDER")]
    order: String,
}

/// Close an order short: what has not come will not; jobs that waited for it are named
#[derive(Args, Debug)]
pub struct CloseAsk {
    /// The order's number
    #[arg(value_name = "ORDER")]
    order: String,
    /// The lines, if not all
    #[arg(value_name = "LINE")]
    lines: Vec<i64>,
    /// Why
    #[arg(short = 'w', long, value_name = "REASON", num_args = 1..)]
    why: Vec<String>,
}

/// Runs `order`.
pub fn run(shop: &mut Shop<'_, '_>, command: &Command) -> Result<Done, Failure> {
    match command {
        Command::Raise(ask) => shop.change(|scene| raise_order(scene, ask)),
        Command::List(ask) => shop.read(|scene| list(scene, ask)),
        Command::Show(ask) => shop.read(|scene| Ok(Done::yes(paper(scene, &ask.order)?))),
        Command::Close(ask) => shop.change(|scene| close_order(scene, ask)),
    }
}

/// The order as the books have it.
fn paper(scene: &Scene<'_, '_>, number: &str) -> Result<Paper, Failure> {
    let order = order_called(scene, number)?;
    let lines = sheet_lines(scene, &order)?;
    Ok(order_sheet(
        &sheet(scene, &order, &lines),
        scene.paper("order", ""),
    ))
}

fn list(scene: &Scene<'_, '_>, ask: &List) -> Result<Done, Failure> {
    let found = orders(scene.books, ask.all)?;
    let mut lines = Vec::new();
    for order in &found {
        lines.push(sheet_lines(scene, order)?);
    }
    let sheets: Vec<_> = found
        .iter()
        .zip(&lines)
        .map(|(order, lines)| sheet(scene, order, lines))
        .filter(|sheet| ask.all || !is_done(sheet))
        .collect();
    Ok(Done::yes(order_list(&sheets, scene.paper("orders", ""))))
}

fn raise_order(scene: &Scene<'_, '_>, ask: &RaiseAsk) -> Result<Decision<'static>, Failure> {
    let mut names = Names::read(scene.books)?;
    let supplier = supplier_called(&names, &ask.supplier)?;
    let number = match &ask.number {
        None => next_number(scene.books)?,
        Some(number) if order_numbered(scene.books, number)?.is_some() => {
            return Err(Refusal::Doubled {
                what: "order",
                name: number.clone(),
            }
            .into());
        }
        Some(number) => number.clone(),
    };
    let mut lines = Vec::new();
    for typed in &ask.lines {
        let (part, rest) = part_and(&names, typed, "SP-20=8")?;
        let qty = quantity_from(scene, rest, &part, Some(supplier))?;
        orderable(&part, qty)?;
        let value = value(scene, ask, &names, (supplier, &part, qty))?;
        lines.push(Wanted { part, qty, value });
    }
    let promised = ask.promised.as_deref().map(Day::parse).transpose();
    let wanted = Raise {
        number: number.clone(),
        supplier,
        currency: scene.currency,
        promised: promised
            .map_err(|fault| Failure::usage(fault.to_string(), "give a day: `--promised 2026-12-09`"))?,
        lines,
    };
    let numbers = (
        OrderId(names.next(Table::SupplierOrder)),
        names.next(Table::OrderLine),
    );
    let stock = scene.gather()?.done();
    let posting = raise(&stock, scene.head(DocKind::Order), &wanted, numbers)?;
    Ok(Decision::post(posting, exit::DONE, move |scene| {
        let mut paper = paper(scene, &number)?;
        paper.next.push(format!(
            "bincard order close {number} --by INITIALS -w REASON   takes the order back"
        ));
        Ok(paper)
    }))
}

/// The supplier of this code.
fn supplier_called(names: &Names, code: &str) -> Result<PlaceId, Failure> {
    let found = names.place_of_kind(&code.to_uppercase(), Kind::Supplier);
    let suppliers = names.places.values().filter(|place| place.id.is(Kind::Supplier));
    found.map(|place| place.id).ok_or_else(|| {
        Refusal::Unknown {
            what: "supplier",
            asked: code.to_owned(),
            near: suppliers.map(|place| place.code.clone()).collect(),
        }
        .into()
    })
}

/// `PART=REST` with the part that it names.
fn part_and<'a>(names: &Names, typed: &'a str, example: &str) -> Result<(Part, &'a str), Failure> {
    let (number, rest) = typed.split_once('=').ok_or_else(|| {
        Failure::usage(
            format!("{typed} names no part and how much"),
            format!("type the part and how much: `{example}`"),
        )
    })?;
    let part = names
        .parts
        .get(number)
        .or_else(|| names.parts.get(&number.to_uppercase()));
    let part = part.cloned().ok_or_else(|| {
        Failure::from(Refusal::Unknown {
            what: "part",
            asked: number.to_owned(),
            near: Vec::new(),
        })
    })?;
    Ok((part, rest))
}

/// What a line costs: at the price that was typed, else at the supplier's of the day.
fn value(
    scene: &Scene<'_, '_>,
    ask: &RaiseAsk,
    names: &Names,
    (supplier, part, qty): (PlaceId, &Part, Qty),
) -> Result<Money, Failure> {
    for typed in &ask.price {
        let (priced, amount) = part_and(names, typed, "--price SP-20=18.40")?;
        if priced.id == part.id {
            let amount = Money::parse(amount).map_err(|fault| {
                Failure::usage(
                    format!("{typed}: {fault}"),
                    "give the price of one: `--price SP-20=18.40`",
                )
            })?;
            return Ok(extended(qty, amount));
        }
    }
    let mut quoted = prices_of(scene.books, part.id)?;
    quoted.retain(|price| price.supplier == Some(supplier));
    let (held, _) = in_base(quoted, &exchange_rates(scene.books)?, scene.day, scene.currency);
    let price = price_for(&held, scene.day, qty, scene.currency);
    price.map(|price| extended(qty, price.amount)).ok_or_else(|| {
        Failure::usage(
            format!(
                "{} has no price for {} on {}",
                ask.supplier, part.number, scene.day
            ),
            format!("give the price of one: `--price {}=18.40`", part.number),
        )
    })
}

fn close_order(scene: &Scene<'_, '_>, ask: &CloseAsk) -> Result<Decision<'static>, Failure> {
    let order = order_called(scene, &ask.order)?;
    if order.state != "open" {
        return Err(impossible(&order, "it is closed already"));
    }
    if ask.why.is_empty() {
        return Err(Failure::usage(
            format!("why will {} not come?", order.number),
            "say why: `-w they make it no more`",
        ));
    }
    let mut short = Vec::new();
    let mut facts = scene.gather()?;
    for line in closing(&order, &ask.lines)? {
        facts.order_line(line.id)?;
        for (claimed, _) in facts.so_far().claims.on(Source::Order(line.id)) {
            let job = facts.so_far().line(claimed)?.job;
            facts.job(job)?;
        }
        if line.owed().is_positive() {
            short.push((line.id, line.owed()));
        }
    }
    facts.supplier_order(order.id)?;
    let done = |line: &&crate::db::stores::orders::Line| {
        !line.owed().is_positive() || short.iter().any(|(id, _)| *id == line.id)
    };
    let whole = order.lines.iter().all(|line| done(&line));
    let mut head = scene.head(DocKind::Order);
    head.reason = Some(ask.why.join(" "));
    let stock = facts.done();
    let posting = close(&stock, head, order.id, &short, whole)?;
    let remarks = crate::print::stores::slip::made_short(&stock, &posting)?;
    let closed = short.len();
    Ok(Decision::post(posting, exit::DONE, move |scene| {
        let mut paper = paper(scene, &order.number)?;
        paper.answer = if whole {
            format!("{} closed, {} short", order.number, count(closed, "line"))
        } else {
            format!("{}: {} closed short", order.number, count(closed, "line"))
        };
        paper.notes.extend(remarks);
        Ok(paper)
    }))
}

/// The lines to be closed: those named, else all.
fn closing<'a>(order: &'a Order, named: &[i64]) -> Result<Vec<&'a crate::db::stores::orders::Line>, Failure> {
    if named.is_empty() {
        return Ok(order.lines.iter().collect());
    }
    let find = |n: &i64| {
        order.lines.iter().find(|line| line.n == *n).ok_or_else(|| {
            Failure::from(Refusal::Unknown {
                what: "line of this order",
                asked: n.to_string(),
                near: order.lines.iter().map(|line| line.n.to_string()).collect(),
            })
        })
    };
    let found = named.iter().map(find).collect::<Result<Vec<_>, _>>()?;
    match found.iter().find(|line| !line.owed().is_positive()) {
        None => Ok(found),
        Some(line) => Err(impossible(order, &format!("line {} owes nothing", line.n))),
    }
}

fn impossible(order: &Order, because: &str) -> Failure {
    Refusal::Impossible {
        what: order.number.clone(),
        because: because.to_owned(),
    }
    .into()
}
