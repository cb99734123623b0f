//! What the papers of a lot come to, and how an acceptance draws on certificates.

use crate::domain::acceptance::certificate::{Draw, PaperKind};
use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::document::Head;
use crate::domain::stores::ids::{CertificateId, LotId, PlaceId};
use crate::domain::stores::law::Movement;
use crate::domain::stores::posting::Posting;
use crate::domain::stores::stock::Stock;
use crate::domain::stores::verbs::draft::Draft;
use crate::domain::stores::verbs::enter::Move;
use std::collections::BTreeMap;

/// What the papers of a lot come to.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct LotPapers {
    /// How much of it stands as accepted: what left receiving and quarantine as good, less what came back there.
    pub accepted: Qty,
    /// How much of it was drawn on certificates, by their sort.
    pub drawn: BTreeMap<PaperKind, Qty>,
    /// Whence it came last.
    pub from: Option<PlaceId>,
    /// The day on which it came.
    pub came: Option<Day>,
}

impl LotPapers {
    /// How much of what is about to be accepted no certificate of this sort was drawn for yet.
    pub fn uncovered(&self, kind: PaperKind, qty: Qty) -> Qty {
        let drawn = self.drawn.get(&kind).copied().unwrap_or(Qty::ZERO);
        (self.accepted + qty - drawn).max(Qty::ZERO).min(qty)
    }
}

/// One movement of an inspection, with the certificates that were shown for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Inspected {
    /// Accepted, or put into the cage.
    pub moved: Move,
    /// The certificates that came with it.
    pub certificates: Vec<CertificateId>,
    /// What its papers come to so far.
    pub papers: LotPapers,
}

/// One document of an inspection: what is accepted draws on its certificates.
pub fn inspect(stock: &Stock, head: Head, all: &[Inspected]) -> Result<Posting, Refusal> {
    let mut draft = Draft::new(stock, head);
    for one in all {
        draft.go(&one.moved)?;
        if one.moved.movement == Movement::Accept {
            draft.draw_on(one)?;
        }
    }
    draft.finish()
}

impl Draft {
    /// Draws what no paper of its sort covers yet; of several of one sort each is used up before the next.
    fn draw_on(&mut self, one: &Inspected) -> Result<(), Refusal> {
        let mut wanted: BTreeMap<PaperKind, Qty> = BTreeMap::new();
        let mut sorts = Vec::new();
        for id in &one.certificates {
            let kind = self.stock.certificate(*id)?.kind;
            wanted
                .entry(kind)
                .or_insert_with(|| one.papers.uncovered(kind, one.moved.qty));
            sorts.push(kind);
        }
        for (at, (id, kind)) in one.certificates.iter().zip(&sorts).enumerate() {
            let last = !sorts.iter().skip(at + 1).any(|later| later == kind);
            let left = self.stock.certificate(*id)?.left();
            let Some(rest) = wanted.get_mut(kind) else {
                continue;
            };
            let qty = if last { *rest } else { (*rest).min(left) };
            if !qty.is_positive() {
                continue;
            }
            *rest -= qty;
            self.draw(draw(*id, one.moved.lot, qty))?;
        }
        Ok(())
    }
}

fn draw(certificate: CertificateId, lot: LotId, qty: Qty) -> Draw {
    Draw {
        certificate,
        lot,
        qty,
    }
}
