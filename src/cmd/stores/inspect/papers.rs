//! What the goods of an inspection lack, what was looked at, and who may accept them all the same.

use super::Ask;
use crate::cmd::error::Failure;
use crate::cmd::shop::Scene;
use crate::cmd::stores::certificate::{several, unknown};
use crate::db::load::Gather;
use crate::db::people::register;
use crate::db::stores::approvals::approval_of;
use crate::db::stores::certificates::{certificates_called, papers_of};
use crate::db::stores::notes::next_note;
use crate::db::stores::rules::{papers_are_asked, rules_of};
use crate::domain::acceptance::certificate::PaperKind;
use crate::domain::acceptance::fault::PaperFault;
use crate::domain::acceptance::judge::{Case, cage_code};
use crate::domain::acceptance::papers::{Inspected, LotPapers};
use crate::domain::acceptance::rules::{POINTS, Point, RuleName};
use crate::domain::measure::Qty;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{CertificateId, LotId, PartId};
use crate::domain::stores::law::{Movement, Role};
use crate::domain::stores::noting::{NewNote, record};
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::papers::authorised;
use crate::print::stores::inspection::ToCheck;

/// The certificates named for goods of a part, gathered; where several bear the number, the one that covers the part.
pub(super) fn shown_for(
    scene: &Scene<'_, '_>,
    facts: &mut Gather<'_, '_>,
    named: Vec<&str>,
    part: PartId,
) -> Result<Vec<CertificateId>, Failure> {
    let mut found = Vec::new();
    for asked in named {
        let all = certificates_called(scene.books, asked)?;
        let (of_part, others): (Vec<_>, Vec<_>) = all.into_iter().partition(|one| one.part == Some(part));
        let one = match (of_part.as_slice(), others.first()) {
            ([one], _) => one,
            ([], Some(other)) => other,
            ([], None) => return Err(unknown(scene, asked)?),
            (all, _) => return Err(several(asked, all)),
        };
        facts.certificate(one.id)?;
        found.push(one.id);
    }
    Ok(found)
}

/// What was looked at, as it was typed: points of the list, or all of them.
fn looked_at(words: &[String]) -> Result<Vec<Point>, Failure> {
    let mut points = Vec::new();
    for word in words {
        match Point::from_word(word) {
            Some(point) => points.push(point),
            None if word == "all" => points.extend(POINTS),
            None => {
                let known = POINTS.map(Point::word).join(", ");
                return Err(Failure::usage(
                    format!("--checked: {word} is no point of the list"),
                    format!("say `all`, or some of {known}"),
                ));
            }
        }
    }
    points.sort_unstable();
    points.dedup();
    Ok(points)
}

/// What is to be said of the papers once the document stands.
pub(super) struct Papers {
    /// Remarks on lives and concessions.
    pub(super) told: Vec<String>,
    points: Vec<Point>,
    lots: Vec<LotId>,
}

/// Judges everything that is about to be accepted or caged by what its class asks for; nothing is accepted where
/// something is lacking and no inspector concedes it.
pub(super) fn judge(
    scene: &Scene<'_, '_>,
    ask: &Ask,
    stock: &Stock,
    moves: &[Inspected],
) -> Result<Papers, Failure> {
    let asked = papers_are_asked(scene.books)?;
    if !ask.concession.is_empty() {
        named_inspector(scene, stock)?;
    }
    let reason = ask.why.join(" ");
    let caged = moves.iter().any(|one| one.moved.movement == Movement::Quarantine);
    if asked && caged && cage_code(&reason).is_none() {
        return Err(Refusal::Papers(PaperFault::NoCode { reason }).into());
    }
    let mut papers = Papers {
        told: Vec::new(),
        points: looked_at(&ask.checked)?,
        lots: Vec::new(),
    };
    let mut conceded = false;
    for one in moves.iter().filter(|one| one.moved.movement == Movement::Accept) {
        let lacks = looked(scene, stock, one, &mut papers)?;
        if !asked || lacks.is_empty() {
            continue;
        }
        let (lot, part) = (stock.lot(one.moved.lot)?, stock.part_of(one.moved.lot)?);
        if ask.concession.is_empty() {
            return Err(Refusal::Papers(PaperFault::Wanting {
                lot: lot.number.clone(),
                part: part.number.clone(),
                class: part.class.clone(),
                qty: one.moved.qty,
                lacks,
            })
            .into());
        }
        conceded = true;
        papers.told.push(format!(
            "{} accepted by concession of {}: {}",
            lot.number,
            scene.person.initials,
            lacks.join("; ")
        ));
    }
    if !ask.concession.is_empty() && !conceded {
        return Err(Failure::usage(
            "nothing is lacking, so there is nothing to concede",
            "leave `--concession` out",
        ));
    }
    Ok(papers)
}

/// What one lot lacks; what of its life was left is told.
fn looked(
    scene: &Scene<'_, '_>,
    stock: &Stock,
    one: &Inspected,
    papers: &mut Papers,
) -> Result<Vec<String>, Failure> {
    let (lot, part) = (stock.lot(one.moved.lot)?, stock.part_of(one.moved.lot)?);
    let kinds: Result<Vec<PaperKind>, Refusal> = one
        .certificates
        .iter()
        .map(|id| stock.certificate(*id).map(|certificate| certificate.kind))
        .collect();
    let kinds = kinds?;
    let held = not_borne(scene, &one.papers, &part.class)?;
    let case = Case {
        lot,
        qty: one.moved.qty,
        papers: &one.papers,
        shown: &kinds,
        held: held.as_deref(),
        checked: &papers.points,
    };
    let lacks = case.lacks(&rules_of(scene.books, part)?);
    if let Some(left) = case.life_left() {
        papers.told.push(format!(
            "{}: {} of {} days of its life were left when it came, {} %",
            lot.number,
            left.left_days,
            left.total_days,
            left.percent()
        ));
    }
    papers.lots.push(lot.id);
    Ok(lacks)
}

/// Why the approval of the supplier did not bear the goods on the day they came.
fn not_borne(scene: &Scene<'_, '_>, papers: &LotPapers, class: &str) -> Result<Option<String>, Failure> {
    let (Some(from), Some(came)) = (papers.from, papers.came) else {
        return Ok(None);
    };
    let approval = approval_of(scene.books, from)?;
    let against = approval.and_then(|approval| approval.against(class, came));
    Ok(against.map(|because| format!("of its supplier, {because}")))
}

/// Only an inspector who stands in the register by name concedes; his days are judged when he signs.
fn named_inspector(scene: &Scene<'_, '_>, stock: &Stock) -> Result<(), Failure> {
    let what = "a concession";
    if register(scene.books)?.is_empty() {
        return Err(Refusal::NotAuthorised {
            by: scene.person.initials.clone(),
            role: "inspector named in the register",
            what: what.to_owned(),
        }
        .into());
    }
    Ok(authorised(stock, Role::Inspector, what)?)
}

/// The reason on the document: the concession in so many words, then what else was said.
pub(super) fn reason(ask: &Ask) -> Option<String> {
    let concession =
        (!ask.concession.is_empty()).then(|| format!("concession: {}", ask.concession.join(" ")));
    let why = (!ask.why.is_empty()).then(|| ask.why.join(" "));
    match (concession, why) {
        (Some(concession), Some(why)) => Some(format!("{concession}; {why}")),
        (one, other) => one.or(other),
    }
}

/// Keeps what was looked at, lot by lot; the document bears the initials.
pub(super) fn keep_answers(
    scene: &Scene<'_, '_>,
    posting: &mut Posting,
    papers: &Papers,
) -> Result<(), Failure> {
    if papers.points.is_empty() {
        return Ok(());
    }
    let words: Vec<&str> = papers.points.iter().map(|point| point.word()).collect();
    let first = next_note(scene.books)?;
    for (id, lot) in (first..).zip(&papers.lots) {
        posting.records.push(record(NewNote {
            id,
            about: ("lot", lot.0),
            topic: "checklist",
            text: format!("{}: {}", words.join(", "), scene.person.initials),
            answers: None,
        })?);
    }
    Ok(())
}

/// What is to be shown and looked at for the lots that wait, where the store asks for it.
pub(super) fn to_check(
    scene: &Scene<'_, '_>,
    stock: &Stock,
    rows: &[(i64, LotId, Qty)],
) -> Result<Vec<ToCheck>, Failure> {
    let mut all = Vec::new();
    if !papers_are_asked(scene.books)? {
        return Ok(all);
    }
    for (n, lot, qty) in rows {
        let (lot, part) = (stock.lot(*lot)?, stock.part_of(*lot)?);
        let (rules, papers) = (rules_of(scene.books, part)?, papers_of(scene.books, lot.id)?);
        let case = Case {
            lot,
            qty: *qty,
            papers: &papers,
            shown: &[],
            held: None,
            checked: &[],
        };
        if !case.is_fresh() {
            continue;
        }
        let covered = |kind: &PaperKind| papers.uncovered(*kind, *qty).is_zero();
        let drawn = !rules.papers.is_empty() && rules.papers.iter().any(covered);
        all.push(ToCheck {
            n: *n,
            class: part.class.clone(),
            papers: rules.text(RuleName::Papers),
            drawn,
            source: rules.text(RuleName::Source),
            points: case.points(&rules),
            life: case.life_left().map(|left| left.percent()),
            least: rules.least_life_percent,
        });
    }
    Ok(all)
}
