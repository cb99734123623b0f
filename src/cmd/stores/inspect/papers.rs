//! The papers that are shown at an inspection.

use crate::cmd::error::Failure;
use crate::cmd::shop::Scene;
use crate::cmd::stores::certificate::{several, unknown};
use crate::db::load::Gather;
use crate::db::stores::certificates::certificates_called;
use crate::domain::stores::ids::{CertificateId, PartId};

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
