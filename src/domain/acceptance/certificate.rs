//! Certificates: papers that came with goods, how much each covers and what was drawn on it.

use crate::domain::acceptance::fault::PaperFault;
use crate::domain::measure::{Day, Qty};
use crate::domain::refusal::Refusal;
use crate::domain::stores::ids::{CertificateId, LotId, PartId};
use crate::domain::stores::record::{Record, Table};
use crate::domain::stores::verbs::draft::Draft;

/// What sort of paper; the shop's own short list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PaperKind {
    /// Says who released the part to service, and that he may.
    Release,
    /// Says that it is what the order or the standard asks for.
    Conformity,
    /// Says what was measured on it.
    Test,
    /// Says how and by whom it was made in the house.
    Work,
}

/// Every sort of paper.
pub const PAPER_KINDS: [PaperKind; 4] = [
    PaperKind::Release,
    PaperKind::Conformity,
    PaperKind::Test,
    PaperKind::Work,
];

impl PaperKind {
    /// The words that stand in the books.
    pub fn word(self) -> &'static str {
        match self {
            PaperKind::Release => "release certificate",
            PaperKind::Conformity => "conformity statement",
            PaperKind::Test => "test report",
            PaperKind::Work => "work record",
        }
    }

    /// The sort behind its words.
    pub fn from_word(word: &str) -> Option<PaperKind> {
        PAPER_KINDS.into_iter().find(|kind| kind.word() == word)
    }
}

/// A certificate as the books have it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Certificate {
    /// Under which number the books keep it.
    pub id: CertificateId,
    /// Its number, as its issuer wrote it.
    pub number: String,
    /// What sort of paper.
    pub kind: PaperKind,
    /// Who issued it.
    pub issuer: String,
    /// The day that it bears.
    pub day: Day,
    /// Which part it covers.
    pub part: Option<PartId>,
    /// How much of it, in the part's unit.
    pub covers: Qty,
    /// How much of that was drawn.
    pub drawn: Qty,
    /// Where its scan lies.
    pub file: Option<String>,
    /// The SHA-256 of the scan, in hexadecimal digits.
    pub digest: Option<String>,
}

impl Certificate {
    /// How much may still be drawn on it.
    pub fn left(&self) -> Qty {
        self.covers - self.drawn
    }
}

/// What was drawn on a certificate for a lot; below zero where an undo gave it back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Draw {
    /// The certificate.
    pub certificate: CertificateId,
    /// The lot.
    pub lot: LotId,
    /// How much.
    pub qty: Qty,
}

/// Refused where a certificate would come to cover less than was drawn on it.
pub fn may_cover(certificate: &Certificate, covers: Qty) -> Result<(), Refusal> {
    if covers >= certificate.drawn && covers.is_positive() {
        return Ok(());
    }
    Err(Refusal::Impossible {
        what: format!("certificate {}", certificate.number),
        because: format!(
            "{} are drawn on it, so it cannot cover {covers}",
            certificate.drawn
        ),
    })
}

impl Draft {
    /// Draws on a certificate for a lot: of the same part, and never more than it covers.
    pub fn draw(&mut self, draw: Draw) -> Result<(), Refusal> {
        let part = self.stock.part_of(draw.lot)?.clone();
        let certificate = self.stock.certificate(draw.certificate)?;
        if certificate.part.is_some_and(|of| of != part.id) {
            return Err(Refusal::Papers(PaperFault::OtherPart {
                certificate: certificate.number.clone(),
                covers: match certificate.part {
                    Some(of) => self.stock.part(of)?.number.clone(),
                    None => String::new(),
                },
                lot: self.stock.lot(draw.lot)?.number.clone(),
                part: part.number,
            }));
        }
        if draw.qty > certificate.left() {
            return Err(Refusal::Papers(PaperFault::Overdrawn {
                certificate: certificate.number.clone(),
                covers: certificate.covers,
                drawn: certificate.drawn,
                asked: draw.qty,
                unit: part.unit.to_string(),
            }));
        }
        self.write_draw(draw)
    }

    /// Gives back what was drawn.
    pub(in crate::domain) fn give_back(&mut self, draw: Draw) -> Result<(), Refusal> {
        self.write_draw(Draw {
            qty: -draw.qty,
            ..draw
        })
    }

    fn write_draw(&mut self, draw: Draw) -> Result<(), Refusal> {
        let found = self.stock.certificates.get_mut(&draw.certificate);
        found
            .ok_or(Refusal::Unread {
                what: "certificate",
                id: draw.certificate.0,
            })?
            .drawn += draw.qty;
        let id = self.stock.next.draw;
        self.stock.next.draw += 1;
        self.posting.records.push(Record {
            table: Table::CertificateLot,
            data: vec![
                id.into(),
                draw.certificate.0.into(),
                draw.lot.0.into(),
                draw.qty.into(),
            ],
        });
        Ok(())
    }
}
