//! The rows about parts: what they are, how large, what they cost, and what of them is in the house.

use super::cells::Cells;
use super::rows::{Row, said, yes_or_no};
use super::words::{Condition, PackPolicy, PartClass, PriceBasis, RateKind, SizeUnit};
use crate::domain::keeping::shelf_life::ShelfLife;
use crate::domain::making::hazard::hazard;
use crate::domain::measure::printed::Made;
use crate::domain::measure::unit::Dimension;
use crate::domain::measure::{Currency, Day, Life, Money, Qty, Unit};

/// A part: one number, one fit, form and function.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartRow {
    /// Its part number.
    pub number: String,
    /// Its name, noun first.
    pub name: String,
    /// Its class.
    pub class: PartClass,
    /// The unit it is kept in.
    pub unit: Unit,
    /// The smallest quantity that may move, above zero.
    pub step: Qty,
    /// The hand-out unit, above zero.
    pub hand_out: Option<Qty>,
    /// How long it lasts unopened.
    pub life: Option<ShelfLife>,
    /// How many days an opened pack lasts, where its life is counted in days.
    pub opened_life_days: Option<i64>,
    /// How many months of the calendar an opened pack lasts, where its life is counted in them.
    pub opened_life: Option<Life>,
    /// Who pays for the rest of an opened pack.
    pub pack_policy: PackPolicy,
    /// Whether it is bench stock.
    pub bench_stock: bool,
    /// Whether a second person checks it.
    pub critical: bool,
    /// Who makes it.
    pub maker: Option<String>,
    /// The issue of its drawing or specification.
    pub issue: Option<String>,
    /// The grams that one of its unit weighs, above zero, where it may be weighed instead of measured.
    pub grams_per_unit: Option<Qty>,
}

impl Row for PartRow {
    const HEADINGS: &'static [&'static str] = &[
        "number",
        "name",
        "class",
        "unit",
        "step",
        "hand_out",
        "life",
        "opened_life_days",
        "pack_policy",
        "bench_stock",
        "critical",
        "maker",
        "issue",
        "opened_life",
        "grams_per_unit",
    ];
    const LATER: &'static [&'static str] = &["opened_life", "grams_per_unit"];
    const KEY: &'static [&'static str] = &["number"];

    fn read(cells: &mut Cells) -> Option<PartRow> {
        let (number, name, class) = (cells.text("number"), cells.text("name"), cells.word("class"));
        let (unit, step, hand_out) = (
            cells.unit("unit"),
            cells.some_qty("step"),
            cells.maybe_some_qty("hand_out"),
        );
        let (life, opened_life) = (shelf_life(cells), opened_life(cells));
        let pack_policy = cells.word("pack_policy");
        let (bench_stock, critical) = (cells.flag("bench_stock"), cells.flag("critical"));
        let (maker, issue) = (cells.maybe_text("maker"), cells.maybe_text("issue"));
        let grams_per_unit = grams_per_unit(cells, unit);
        Some(PartRow {
            number: number?,
            name: name?,
            class: class?,
            unit: unit?,
            step: step?,
            hand_out: hand_out?,
            life: life?,
            opened_life_days: opened_life.as_ref()?.0,
            opened_life: opened_life?.1,
            pack_policy: pack_policy?,
            bench_stock: bench_stock?,
            critical: critical?,
            maker: maker?,
            issue: issue?,
            grams_per_unit: grams_per_unit?,
        })
    }

    fn cells(&self) -> Vec<String> {
        vec![
            self.number.clone(),
            self.name.clone(),
            self.class.word().to_owned(),
            self.unit.symbol().to_owned(),
            self.step.to_string(),
            said(self.hand_out.as_ref()),
            said(self.life.as_ref()),
            said(self.opened_life_days.as_ref()),
            self.pack_policy.word().to_owned(),
            yes_or_no(self.bench_stock),
            yes_or_no(self.critical),
            said(self.maker.as_ref()),
            said(self.issue.as_ref()),
            said(self.opened_life.as_ref()),
            said(self.grams_per_unit.as_ref()),
        ]
    }
}

/// What one of the part's unit weighs; a part that is kept by weight has its factor in the unit already.
fn grams_per_unit(cells: &mut Cells, unit: Option<Unit>) -> Option<Option<Qty>> {
    match unit {
        Some(unit) if unit.dimension() == Dimension::Mass => cells
            .blank("grams_per_unit", "where the part is kept by weight")
            .map(|()| None),
        _ => cells.maybe_some_qty("grams_per_unit"),
    }
}

/// What a part's record says of its life on the shelf, or nothing.
fn shelf_life(cells: &mut Cells) -> Option<Option<ShelfLife>> {
    cells.unless_blank("life", |cells| cells.parsed("life", ShelfLife::parse))
}

/// The life of an opened pack: in days where it is given so under either heading, or in months of the calendar.
fn opened_life(cells: &mut Cells) -> Option<(Option<i64>, Option<Life>)> {
    let (days, life) = (
        cells.maybe_count("opened_life_days"),
        cells.maybe_life("opened_life"),
    );
    match (days?, life?) {
        (Some(_), Some(_)) => cells.no(
            "opened_life",
            "is given beside opened_life_days",
            "leave one of the two blank",
        ),
        (None, Some(Life::Days(days))) => Some((Some(days.into()), None)),
        (days, months) => Some((days, months)),
    }
}

/// The size that says what a part may do to who handles it, by the number behind the H on its label; more of them are
/// `hazard-2` and on.
const HAZARD: &str = "hazard";

/// Whether a size is a hazard statement that has words here.
fn is_hazard(value: Qty) -> bool {
    hazard(&format!("H{value}")).is_ok()
}

/// One size of a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SizeRow {
    /// The part number.
    pub part: String,
    /// What is measured: `thickness`, `length`, `bore`.
    pub name: String,
    /// How much, in the row's unit.
    pub value: Qty,
    /// The unit; none for a plain number, such as a ratio or a count.
    pub unit: Option<SizeUnit>,
}

impl Row for SizeRow {
    const HEADINGS: &'static [&'static str] = &["part", "name", "value", "unit"];
    const KEY: &'static [&'static str] = &["part", "name"];

    fn read(cells: &mut Cells) -> Option<SizeRow> {
        let (part, name) = (cells.text("part"), cells.single("name"));
        let (value, unit) = (cells.qty("value"), cells.maybe_word("unit"));
        let of_hazard = |name: &String| name == HAZARD || name.starts_with("hazard-");
        if name.as_ref().is_some_and(of_hazard) && value.is_some_and(|value| !is_hazard(value)) {
            return cells.no(
                "value",
                "is no hazard statement known here",
                "type the number behind the H on the label, such as 225",
            );
        }
        Some(SizeRow {
            part: part?,
            name: name?,
            value: value?,
            unit: unit?,
        })
    }

    fn cells(&self) -> Vec<String> {
        vec![
            self.part.clone(),
            self.name.clone(),
            self.value.to_string(),
            said(self.unit.as_ref()),
        ]
    }
}

/// What a part costs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PriceRow {
    /// The part number.
    pub part: String,
    /// The code of the supplier.
    pub supplier: String,
    /// What the price is for.
    pub basis: PriceBasis,
    /// The first day on which it holds.
    pub from_day: Day,
    /// The smallest quantity for which it holds; zero where the cell is blank.
    pub from_qty: Qty,
    /// The unit that the amount is for one of.
    pub unit: Unit,
    /// The amount for one unit, not below zero.
    pub amount: Money,
    /// The currency.
    pub currency: Currency,
}

impl Row for PriceRow {
    const HEADINGS: &'static [&'static str] = &[
        "part", "supplier", "basis", "from_day", "from_qty", "unit", "amount", "currency",
    ];
    const KEY: &'static [&'static str] = &["part", "supplier", "basis", "from_qty", "from_day"];

    fn read(cells: &mut Cells) -> Option<PriceRow> {
        let (part, supplier, basis) = (cells.text("part"), cells.text("supplier"), cells.word("basis"));
        let from_day = cells.day("from_day");
        let blank = cells.raw("from_qty").is_empty();
        let from_qty = if blank {
            Some(Qty::ZERO)
        } else {
            cells.qty_or_zero("from_qty")
        };
        let (unit, amount, currency) = (
            cells.unit("unit"),
            cells.money("amount"),
            cells.currency("currency"),
        );
        Some(PriceRow {
            part: part?,
            supplier: supplier?,
            basis: basis?,
            from_day: from_day?,
            from_qty: from_qty?,
            unit: unit?,
            amount: amount?,
            currency: currency?,
        })
    }

    fn cells(&self) -> Vec<String> {
        vec![
            self.part.clone(),
            self.supplier.clone(),
            self.basis.word().to_owned(),
            self.from_day.to_string(),
            self.from_qty.to_string(),
            self.unit.symbol().to_owned(),
            self.amount.in_full(),
            self.currency.code().to_owned(),
        ]
    }
}

/// What an hour costs, or one unit of another currency.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RateRow {
    /// What the rate is for.
    pub kind: RateKind,
    /// Its name; the currency's code where it is an exchange rate.
    pub name: String,
    /// The first day on which it holds.
    pub from_day: Day,
    /// The amount of the base currency for one hour, or for one unit of the other currency; not below zero.
    pub amount: Money,
}

impl Row for RateRow {
    const HEADINGS: &'static [&'static str] = &["kind", "name", "from_day", "amount"];
    const KEY: &'static [&'static str] = &["kind", "name", "from_day"];

    fn read(cells: &mut Cells) -> Option<RateRow> {
        let kind = cells.word("kind");
        let name = match kind {
            Some(RateKind::Exchange) => cells.currency("name").map(|of| of.code().to_owned()),
            _ => cells.text("name"),
        };
        let (from_day, amount) = (cells.day("from_day"), cells.money("amount"));
        Some(RateRow {
            kind: kind?,
            name: name?,
            from_day: from_day?,
            amount: amount?,
        })
    }

    fn cells(&self) -> Vec<String> {
        vec![
            self.kind.word().to_owned(),
            self.name.clone(),
            self.from_day.to_string(),
            self.amount.in_full(),
        ]
    }
}

/// One lot of the opening stock.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StockRow {
    /// The part number.
    pub part: String,
    /// The code of the place it lies in.
    pub bin: String,
    /// How much, in the part's unit, above zero.
    pub qty: Qty,
    /// What all of it is worth, not below zero.
    pub value: Money,
    /// The maker's batch.
    pub batch: Option<String>,
    /// The maker's serial number.
    pub serial: Option<String>,
    /// The last day on which it may be used.
    pub expiry: Option<Day>,
    /// Its condition; `new` where nobody has used it.
    pub condition: String,
    /// The code of the customer whose it is; none is the house.
    pub owner: Option<String>,
    /// Who made it.
    pub maker: Option<String>,
    /// When it was made, as its label has it.
    pub made: Option<Made>,
}

impl Row for StockRow {
    const HEADINGS: &'static [&'static str] = &[
        "part",
        "bin",
        "qty",
        "value",
        "batch",
        "serial",
        "expiry",
        "condition",
        "owner",
        "maker",
        "made",
    ];
    const KEY: &'static [&'static str] = &["part", "maker", "serial"];

    fn read(cells: &mut Cells) -> Option<StockRow> {
        let (part, bin) = (cells.text("part"), cells.text("bin"));
        let (qty, value) = (cells.some_qty("qty"), cells.money("value"));
        let (batch, serial) = (cells.maybe_text("batch"), cells.maybe_text("serial"));
        let (condition, owner) = (cells.word::<Condition>("condition"), cells.maybe_text("owner"));
        let maker = cells.maybe_text("maker");
        let (made, expiry) = (cells.maybe_made("made")?, cells.maybe_expiry("expiry"));
        let made_on = made.as_ref().map(|made| made.says.last);
        let (_, expiry) = cells.in_order("expiry", "made", made_on, expiry?)?;
        Some(StockRow {
            part: part?,
            bin: bin?,
            qty: qty?,
            value: value?,
            batch: batch?,
            serial: serial?,
            expiry,
            condition: condition?.word().to_owned(),
            owner: owner?,
            maker: maker?,
            made,
        })
    }

    fn cells(&self) -> Vec<String> {
        vec![
            self.part.clone(),
            self.bin.clone(),
            self.qty.to_string(),
            self.value.in_full(),
            said(self.batch.as_ref()),
            said(self.serial.as_ref()),
            said(self.expiry.as_ref()),
            self.condition.clone(),
            said(self.owner.as_ref()),
            said(self.maker.as_ref()),
            said(self.made.as_ref().map(|made| made.says.last)),
        ]
    }
}
