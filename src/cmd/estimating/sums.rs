//! `sums`: the estimator's bench sums, which need no store.

use crate::cmd::error::Failure;
use crate::cmd::shop::Done;
use crate::domain::estimating::compression::{Ratio, choose_spacer, spacer_for};
use crate::domain::estimating::compression_sum::{Change, Cylinder};
use crate::domain::estimating::sum_fault::SumFault;
use crate::domain::estimating::units_sum::in_other_unit;
use crate::domain::measure::numeral;
use crate::domain::measure::rounding::{Rule, round};
use crate::domain::measure::scale::{Scale, scales_called};
use crate::domain::measure::typed::typed_size;
use crate::domain::refusal::Refusal;
use crate::print::estimating::sums_sheet::{
    SpacerAnswer, Typed, compression_sheet, spacer_sheet, units_sheet,
};
use clap::{ArgGroup, Args, Subcommand};
use rust_decimal::Decimal;

/// Bench sums: compression, spacers, units; no store is needed
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    /// `compression`.
    #[command(
        after_help = "examples:\n  bincard sums compression --bore 100 --stroke 90 --ratio 8.5 --spacer 2\n  bincard sums compression --bore 4in --stroke 3.6in --ratio 8.2 --spacer .080in --tolerance .002in\n  bincard sums compression --bore 100 --stroke 90 --ratio 8.5 --dish 3 --height-cut 1.5\n\na bare number is mm, or cm3 for a volume; a dome is a dish below 0"
    )]
    Compression(Compression),
    /// `spacer`.
    #[command(
        after_help = "examples:\n  bincard sums spacer --stroke 90 --ratio 8.5 --max 7.2 --stocked 1,1.5,2,2.5,3\n  bincard sums spacer --stroke 3.6in --ratio 8.5 --max 7.2 --min 6.8\n\na bare number is mm; a size between two stocked ones is rounded up, and two are never stacked"
    )]
    Spacer(Spacer),
    /// `units`.
    #[command(
        after_help = "examples:\n  bincard sums units 50 lbf.in N.m\n  bincard sums units 1-1/2 in mm\n  bincard sums units 40 degF degC"
    )]
    Units(Units),
}

/// The ratio of a cylinder, and what a spacer or another piston makes of it
#[derive(Args, Debug)]
#[command(group = ArgGroup::new("start").required(true).args(["ratio", "clearance"]))]
pub struct Compression {
    /// The cylinder's bore
    #[arg(long, value_name = "SIZE")]
    bore: String,
    /// The stroke
    #[arg(long, value_name = "SIZE")]
    stroke: String,
    /// The compression ratio as it is, 8.5 for 8.5 to 1
    #[arg(long, value_name = "RATIO")]
    ratio: Option<String>,
    /// The clearance volume of one cylinder, as a burette gives it
    #[arg(long, value_name = "VOLUME")]
    clearance: Option<String>,
    /// How many cylinders the engine has
    #[arg(long, value_name = "N", default_value_t = 4, value_parser = clap::value_parser!(u32).range(1..=28))]
    cylinders: u32,
    /// Spacer under each barrel: one size for all, or one a cylinder
    #[arg(long, value_name = "SIZE", value_delimiter = ',')]
    spacer: Vec<String>,
    /// How far a spacer may be off, either way
    #[arg(long, value_name = "SIZE", requires = "spacer")]
    tolerance: Option<String>,
    /// The new piston's dish less the old one's
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true)]
    dish: Option<String>,
    /// How much lower the new crown stands
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    height_cut: Option<String>,
}

/// The stocked spacer that keeps a compression limit
#[derive(Args, Debug)]
pub struct Spacer {
    /// The stroke
    #[arg(long, value_name = "SIZE")]
    stroke: String,
    /// The compression ratio as it is, 8.5 for 8.5 to 1
    #[arg(long, value_name = "RATIO")]
    ratio: String,
    /// The highest ratio allowed
    #[arg(long, value_name = "RATIO")]
    max: String,
    /// The lowest ratio allowed
    #[arg(long, value_name = "RATIO")]
    min: Option<String>,
    /// The sizes there are
    #[arg(long, value_name = "SIZE", value_delimiter = ',')]
    stocked: Vec<String>,
}

/// A figure in another unit, by exact factors
#[derive(Args, Debug)]
pub struct Units {
    /// A figure, its unit, and the unit wanted
    #[arg(value_names = ["VALUE", "FROM", "TO"], num_args = 3, required = true, allow_negative_numbers = true)]
    words: Vec<String>,
}

/// Runs a sum.
pub fn run(command: &Command) -> Result<Done, Failure> {
    match command {
        Command::Compression(ask) => compression(ask),
        Command::Spacer(ask) => spacer(ask),
        Command::Units(ask) => units(ask),
    }
}

/// Reads what was typed and keeps what was understood of it.
struct Reader(Typed);

impl Reader {
    /// A size or volume in the unit of a symbol, a bare number being in it already.
    fn size(&mut self, what: &'static str, symbol: &'static str, text: &str) -> Result<Decimal, Failure> {
        let scale: &'static Scale = scales_called(symbol)
            .into_iter()
            .next()
            .ok_or_else(|| Failure::usage(format!("no unit {symbol}"), "leave the unit out"))?;
        let read = typed_size(text, scale).map_err(|fault| {
            Failure::usage(
                format!("{what}: {fault}"),
                format!("write a figure and a unit, such as 2 {symbol}"),
            )
        })?;
        let value = read.qty.to_decimal();
        self.0.lines.push((what, value, symbol, read.echo));
        Ok(value)
    }

    fn maybe_size(
        &mut self,
        what: &'static str,
        symbol: &'static str,
        text: Option<&str>,
    ) -> Result<Option<Decimal>, Failure> {
        text.map(|text| self.size(what, symbol, text)).transpose()
    }

    fn sizes(&mut self, what: &'static str, texts: &[String]) -> Result<Vec<Decimal>, Failure> {
        texts.iter().map(|text| self.size(what, "mm", text)).collect()
    }

    fn ratio(&mut self, what: &'static str, text: &str) -> Result<Ratio, Failure> {
        let plain = text.strip_suffix(":1").unwrap_or(text);
        let figure = numeral::parse(plain, 6)
            .map_err(|fault| Failure::usage(format!("{what}: {fault}"), "write 8.5 for 8.5 to 1"))?;
        let ratio = Ratio::new(figure).map_err(|fault| no(what, &fault))?;
        self.0
            .lines
            .push((what, figure, ":1", format!("{} to 1", figure.normalize())));
        Ok(ratio)
    }
}

/// A sum that has no answer.
fn no(what: &str, fault: &SumFault) -> Failure {
    Refusal::Impossible {
        what: what.to_owned(),
        because: fault.to_string(),
    }
    .into()
}

fn compression(ask: &Compression) -> Result<Done, Failure> {
    let mut reader = Reader(Typed::default());
    let bore_mm = reader.size("bore", "mm", &ask.bore)?;
    let stroke_mm = reader.size("stroke", "mm", &ask.stroke)?;
    let given = reader.maybe_size("clearance given", "cm3", ask.clearance.as_deref())?;
    let engine = match (&ask.ratio, given) {
        (Some(text), _) => Cylinder {
            bore_mm,
            stroke_mm,
            ratio: reader.ratio("ratio given", text)?,
        },
        (None, clearance) => Cylinder::from_clearance(bore_mm, stroke_mm, clearance.unwrap_or_default())
            .map_err(|fault| no("compression", &fault))?,
    };
    let change = Change {
        spacers_mm: reader.sizes("spacer", &ask.spacer)?,
        tolerance_mm: reader
            .maybe_size("tolerance", "mm", ask.tolerance.as_deref())?
            .unwrap_or_default(),
        dish_cm3: reader.maybe_size("extra dish", "cm3", ask.dish.as_deref())?,
        height_cut_mm: reader.maybe_size("height cut", "mm", ask.height_cut.as_deref())?,
    };
    let count = change.spacers_mm.len();
    if count > 1 && u32::try_from(count) != Ok(ask.cylinders) {
        return Err(Failure::usage(
            format!("{count} spacers are given for {} cylinders", ask.cylinders),
            "give one size for all or one for each cylinder, and `--cylinders N`",
        ));
    }
    let outcome = engine.after(&change).map_err(|fault| no("compression", &fault))?;
    Ok(Done::yes(compression_sheet(
        reader.0,
        &engine,
        ask.cylinders,
        &change,
        &outcome,
    )))
}

fn spacer(ask: &Spacer) -> Result<Done, Failure> {
    let mut reader = Reader(Typed::default());
    let stroke_mm = reader.size("stroke", "mm", &ask.stroke)?;
    let ratio = reader.ratio("ratio", &ask.ratio)?;
    let max = reader.ratio("maximum", &ask.max)?;
    let min = ask
        .min
        .as_deref()
        .map(|text| reader.ratio("minimum", text))
        .transpose()?;
    let stocked = reader.sizes("stocked", &ask.stocked)?;
    let answer = if ratio <= max && min.is_none_or(|min| min <= ratio) {
        SpacerAnswer::NotNeeded
    } else if let Some(min) = min.filter(|min| ratio <= max && ratio < *min) {
        SpacerAnswer::None {
            answer: format!(
                "no spacer serves: {} is below the minimum {} already",
                ratio.figure(),
                min.figure()
            ),
            wanted_mm: None,
        }
    } else if stocked.is_empty() {
        wanted(stroke_mm, ratio, max, min).map_err(|fault| no("spacer", &fault))?
    } else {
        chosen(choose_spacer(stroke_mm, ratio, max, min, &stocked))?
    };
    let exit_no = matches!(answer, SpacerAnswer::None { .. });
    let paper = spacer_sheet(reader.0, max, &answer);
    Ok(if exit_no {
        Done::no(paper)
    } else {
        Done::yes(paper)
    })
}

/// The window of thickness that keeps both limits.
fn wanted(
    stroke_mm: Decimal,
    ratio: Ratio,
    max: Ratio,
    min: Option<Ratio>,
) -> Result<SpacerAnswer, SumFault> {
    if let Some(least) = min.filter(|least| *least > max) {
        return Err(SumFault::LimitsCrossed {
            least: least.figure(),
            most: max.figure(),
        });
    }
    let most_mm = min.map(|min| spacer_for(stroke_mm, ratio, min)).transpose()?;
    Ok(SpacerAnswer::Wanted(spacer_for(stroke_mm, ratio, max)?, most_mm))
}

/// The choice among stocked sizes; that none serves is an answer.
fn chosen(
    choice: Result<crate::domain::estimating::compression::SpacerChoice, SumFault>,
) -> Result<SpacerAnswer, Failure> {
    let up = |mm: Decimal| round(mm, Decimal::new(1, 4), Rule::Up).normalize();
    match choice {
        Ok(choice) => Ok(SpacerAnswer::Take(choice)),
        Err(SumFault::NoneThickEnough { wanted_mm, .. }) => Ok(SpacerAnswer::None {
            answer: format!("no stocked spacer serves: {} mm or more is wanted", up(wanted_mm)),
            wanted_mm: Some(wanted_mm),
        }),
        Err(SumFault::UnderMinimum {
            thickness_mm,
            ratio,
            least,
            wanted_mm,
        }) => Ok(SpacerAnswer::None {
            answer: format!(
                "no stocked spacer serves: {} mm gives {}:1, below the minimum {}:1",
                thickness_mm.normalize(),
                round(ratio, Decimal::new(1, 4), Rule::Down).normalize(),
                least.normalize()
            ),
            wanted_mm: Some(wanted_mm),
        }),
        Err(fault) => Err(no("spacer", &fault)),
    }
}

fn units(ask: &Units) -> Result<Done, Failure> {
    let [value, from, to] = ask.words.as_slice() else {
        return Err(Failure::usage(
            "a figure, its unit and the unit wanted make a sum",
            "such as `bincard sums units 50 lbf.in N.m`",
        ));
    };
    let hint = "write a figure and two units, such as `bincard sums units 1 in mm`";
    // A bare size is read in the unit that it is wanted in, so this reads fractions and gives the figure alone.
    let scale = scales_called("each").into_iter().next();
    let scale = scale.ok_or_else(|| Failure::usage("no unit each", hint))?;
    let figure = typed_size(value, scale)
        .map_err(|fault| Failure::usage(fault.to_string(), hint))?
        .qty
        .to_decimal();
    let converted =
        in_other_unit(figure, from, to).map_err(|fault| Failure::usage(fault.to_string(), hint))?;
    Ok(Done::yes(units_sheet(figure, &converted)))
}
