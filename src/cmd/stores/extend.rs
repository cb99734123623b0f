//! `extend`: a life that runs out is extended on a test that the lot passed.

use crate::cmd::error::{Failure, exit};
use crate::cmd::shelf::lot_called;
use crate::cmd::shop::{Decision, Done, Scene, Shop};
use crate::db::stores::certificates::{certificates_called, papers_of};
use crate::db::stores::extensions::{extended_before, times_of};
use crate::db::stores::lives::lasts_on;
use crate::domain::acceptance::certificate::{Certificate, PaperKind};
use crate::domain::keeping::extend::{Extension, extend};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::DocKind;
use crate::domain::stores::ids::LotId;
use crate::domain::stores::stock::Stock;
use crate::print::paper::Paper;
use clap::Args;

/// Extend the life of an unopened lot on a test that it passed, where its type of life allows
///
/// By half of its original life, rounded down to whole months or days, from its last day; once, unless the part's size
/// `extensions` says how often. For the inspector.
#[derive(Args, Debug)]
pub struct Ask {
    /// Its lot number, batch or serial; a part number where only one lot of it is in the house
    #[arg(value_name = "LOT")]
    lot: String,
    /// The report of the test that it passed, as `certificate add` entered it
    #[arg(long, value_name = "NUMBER")]
    test: String,
}

/// Extends.
pub fn run(shop: &mut Shop<'_, '_>, ask: &Ask) -> Result<Done, Failure> {
    shop.change(|scene| decide(scene, ask))
}

fn decide(scene: &Scene<'_, '_>, ask: &Ask) -> Result<Decision<'static>, Failure> {
    let lot = lot_called(scene, &ask.lot)?;
    let mut facts = scene.gather()?;
    facts.lot(lot)?;
    let part = facts.so_far().part_of(lot)?.clone();
    let came = papers_of(scene.books, lot)?.came;
    let test = report(scene, &ask.test, facts.so_far(), lot)?;
    facts.certificate(test.id)?;
    let asked = Extension {
        lot,
        test: test.id,
        lasts: lasts_on(scene.books, &part, came.unwrap_or(scene.day))?,
        times: times_of(scene.books, part.id)?,
        before: extended_before(scene.books, lot, came)?,
    };
    let mut head = scene.head(DocKind::Change);
    head.reason = Some(format!(
        "extended on test report {} of {}",
        test.number, test.issuer
    ));
    let posting = extend(&facts.done(), head, &asked)?;
    Ok(Decision::post(posting, exit::DONE, move |scene| told(scene, lot)))
}

/// The report that is meant: the one of the lot's part where several papers bear the number.
fn report(scene: &Scene<'_, '_>, asked: &str, stock: &Stock, lot: LotId) -> Result<Certificate, Failure> {
    let part = stock.lot(lot)?.part;
    let fits = |one: &Certificate| one.kind == PaperKind::Test && one.part == Some(part);
    let mut found = certificates_called(scene.books, asked)?;
    if found.iter().any(fits) {
        found.retain(fits);
    }
    match found.as_slice() {
        [one] => Ok(one.clone()),
        [] => Err(Refusal::Unknown {
            what: "test report",
            asked: asked.to_owned(),
            near: Vec::new(),
        }
        .into()),
        several => Err(Refusal::Ambiguous {
            what: "certificate",
            asked: asked.to_owned(),
            fits: several
                .iter()
                .map(|one| format!("{} {}", one.issuer, one.number))
                .collect(),
        }
        .into()),
    }
}

/// What to write on the label, and how the new day was worked out.
fn told(scene: &Scene<'_, '_>, lot: LotId) -> Result<Paper, Failure> {
    let mut facts = scene.gather()?;
    facts.lot(lot)?;
    let stock = facts.done();
    let (lot, part) = (stock.lot(lot)?, stock.part_of(lot)?);
    let last = lot.expiry.ok_or(Refusal::Nothing)?;
    let answer = format!(
        "write on the label: {} of {} use by {last}, extended",
        lot.number, part.number
    );
    let mut paper = scene.paper("extend", answer);
    paper.notes.extend(lot.expiry_how.clone());
    paper.notes.push(format!(
        "take the old label off: `bincard label lot {}` prints the new one",
        lot.number
    ));
    Ok(paper)
}
