//! Goods of a supplier whose approval does not bear them on the day they come: held for the inspector in the cage.

use crate::cmd::error::Failure;
use crate::cmd::shelf::bin_or_only;
use crate::cmd::shop::Scene;
use crate::db::load::Gather;
use crate::db::stores::approvals::approval_of;
use crate::domain::stores::goods_in::Arrival;
use crate::domain::stores::ids::PlaceId;
use crate::domain::stores::law::Kind;

/// Sends what the approval does not bear into the cage, and says why; nothing where it bears all of it.
pub(super) fn hold(
    scene: &Scene<'_, '_>,
    facts: &mut Gather<'_, '_>,
    supplier: PlaceId,
    came: &mut [Arrival],
) -> Result<Option<String>, Failure> {
    let Some(approval) = approval_of(scene.books, supplier)? else {
        return Ok(None);
    };
    let mut why = None;
    for arrival in came {
        let class = &facts.so_far().part(arrival.part)?.class;
        let Some(because) = approval.against(class, scene.day) else {
            continue;
        };
        let cage = bin_or_only(scene, None, Kind::Quarantine)?;
        facts.place(cage)?;
        arrival.held = Some(cage);
        let code = &facts.so_far().place(supplier)?.code;
        why = Some(format!("hold for the inspector: {code}: {because}"));
    }
    Ok(why)
}
