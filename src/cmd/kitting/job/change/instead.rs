//! `job change --instead`: a part that stands in for what a line still wants, by the authority on record.

use super::Ask;
use crate::cmd::answers::answers;
use crate::cmd::error::Failure;
use crate::cmd::likeness::instead_of;
use crate::cmd::shelf::quantity;
use crate::cmd::shop::Scene;
use crate::db::likeness::sizes::sized;
use crate::db::likeness::stand_ins::{choice_of, next_line};
use crate::db::stores::stock::part_numbered;
use crate::domain::kitting::alter::{Alter, Instead};
use crate::domain::kitting::job::Job;
use crate::domain::kitting::returns::line_numbered;
use crate::domain::likeness::alike::side_by_side;
use crate::domain::likeness::fault::LikenessFault;
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::LineId;
use crate::domain::stores::part::Part;
use crate::domain::stores::stock::Stock;

/// The stand-ins asked for, each judged by what is on record of it.
pub(super) fn instead(
    scene: &Scene<'_, '_>,
    ask: &Ask,
    job: &Job,
    stock: &mut Stock,
) -> Result<Vec<Alter>, Failure> {
    let (first, first_n) = next_line(scene.books, job.id)?;
    let mut changes = Vec::new();
    for (further, (n, text)) in (0_i64..).zip(answers(&ask.instead, "--instead 7=PART")?) {
        let line = line_numbered(stock, job.id, n)?.clone();
        let wanted = &stock.part(line.part)?.clone();
        let (number, amount) = text
            .split_once(':')
            .map_or((text, None), |(number, amount)| (number, Some(amount)));
        let part = part_numbered(scene.books, number)?.ok_or_else(|| Refusal::Unknown {
            what: "part",
            asked: number.to_owned(),
            near: Vec::new(),
        })?;
        let day = scene.day.max(scene.today).max(job.use_day);
        let told = match instead_of(scene, (job, day), wanted, &part)? {
            Some(judged) => judged.map_err(Refusal::Likeness)?,
            None => return Err(no_authority(scene, n, wanted, &part)?.into()),
        };
        stock.parts.insert(part.id, part.clone());
        changes.push(Alter::Instead(Instead {
            line: line.id,
            part: part.id,
            qty: match amount {
                Some(amount) => quantity(scene, amount, &part)?,
                None => line.need - line.kitted - line.fitted,
            },
            new_line: LineId(first.0 + further),
            n: first_n + further,
            choice: choice_of(scene.books, line.id)?,
            how: format!(
                "{} stands in for {} of line {n}: {told}",
                part.number, wanted.number
            ),
        }));
    }
    Ok(changes)
}

/// The refusal of a part of which nothing on record says that it may stand in.
fn no_authority(scene: &Scene<'_, '_>, n: i64, wanted: &Part, part: &Part) -> Result<Refusal, Failure> {
    let (asked, this) = (
        sized(scene.books, wanted.clone())?,
        sized(scene.books, part.clone())?,
    );
    Ok(Refusal::Likeness(LikenessFault::Other {
        n,
        wanted: wanted.number.clone(),
        named: "what is asked for".to_owned(),
        is: part.number.clone(),
        side_by_side: side_by_side(&asked, &this),
    }))
}

/// Which line a stand-in got, for what and by whose authority.
pub(super) fn told(changes: &[Alter]) -> Vec<String> {
    let line = |change: &Alter| match change {
        Alter::Instead(instead) => Some(format!("line {}: {}", instead.n, instead.how)),
        _ => None,
    };
    changes.iter().filter_map(line).collect()
}
