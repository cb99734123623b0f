//! Certificates as the books keep them, and what the papers of a lot come to.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::facts::{certificate, certificate_columns};
use crate::db::value::values;
use crate::domain::acceptance::certificate::{Certificate, PaperKind};
use crate::domain::acceptance::papers::LotPapers;
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::ids::{CertificateId, LotId, PlaceId};

/// Every certificate of this number, whoever issued it; `ISSUER NUMBER` names one among several.
pub fn certificates_called(books: &Open<'_>, asked: &str) -> Result<Vec<Certificate>, Error> {
    let sql = concat!(
        "SELECT ",
        certificate_columns!(),
        " FROM certificate c WHERE c.number = $1 OR c.number = $2 OR c.issuer || ' ' || c.number = $1 ORDER BY c.id"
    );
    let rows = books.rows(sql, &values![asked, asked.to_uppercase()])?;
    rows.iter().map(certificate).collect()
}

/// Every certificate, the oldest first.
pub fn certificates(books: &Open<'_>) -> Result<Vec<Certificate>, Error> {
    let sql = concat!(
        "SELECT ",
        certificate_columns!(),
        " FROM certificate c ORDER BY c.day, c.id"
    );
    books.rows(sql, &[])?.iter().map(certificate).collect()
}

/// The number of the next certificate.
pub fn next_certificate(books: &Open<'_>) -> Result<i64, Error> {
    let row = books.row("SELECT COALESCE(MAX(id), 0) + 1 FROM certificate", &[])?;
    row.map_or(Ok(1), |row| row.int(0))
}

/// What stands as drawn for each lot on a certificate: the lot's number, how much, and the day of the last draw.
pub fn lots_on(books: &Open<'_>, id: CertificateId) -> Result<Vec<(String, Qty, Day)>, Error> {
    let rows = books.rows(
        "SELECT l.number, SUM(c.qty), MAX(d.day) FROM certificate_lot c JOIN lot l ON l.id = c.lot \
         JOIN document d ON d.id = c.document WHERE c.certificate = $1 \
         GROUP BY l.id, l.number HAVING SUM(c.qty) <> 0 ORDER BY l.id",
        &values![id.0],
    )?;
    rows.iter()
        .map(|row| Ok((row.text(0)?, row.qty(1)?, row.day(2)?)))
        .collect()
}

/// The certificates drawn for a lot, `HR-1 (release)`, and how many other lots each covers.
pub fn certificates_of(books: &Open<'_>, lot: LotId) -> Result<Vec<(String, i64)>, Error> {
    let rows = books.rows(
        "SELECT c.number || ' (' || c.kind || ')', (SELECT COUNT(*) FROM (SELECT o.lot FROM certificate_lot o \
           WHERE o.certificate = c.id AND o.lot <> $1 GROUP BY o.lot HAVING SUM(o.qty) > 0) AS others) \
         FROM certificate c WHERE (SELECT COALESCE(SUM(m.qty), 0) FROM certificate_lot m \
           WHERE m.certificate = c.id AND m.lot = $1) > 0 ORDER BY c.id",
        &values![lot.0],
    )?;
    rows.iter().map(|row| Ok((row.text(0)?, row.int(1)?))).collect()
}

/// What the papers of a lot come to: how much of it stands as accepted, what was drawn for it, whence and when it came.
pub fn papers_of(books: &Open<'_>, lot: LotId) -> Result<LotPapers, Error> {
    let accepted = books.row(
        "SELECT COALESCE(SUM(CASE WHEN from_place / 1000000 IN (1, 4) THEN qty ELSE -qty END), 0) FROM entry \
         WHERE lot = $1 AND ((from_place / 1000000 IN (1, 4) AND to_place / 1000000 IN (2, 3, 6, 7, 8, 20)) \
           OR (from_place / 1000000 IN (2, 3, 6, 7, 8, 20) AND to_place / 1000000 IN (1, 4)))",
        &values![lot.0],
    )?;
    let came = books.row(
        "SELECT e.from_place, d.day FROM entry e JOIN document d ON d.id = e.document \
         WHERE e.lot = $1 AND e.from_place >= 30000000 ORDER BY e.id DESC LIMIT 1",
        &values![lot.0],
    )?;
    let mut papers = LotPapers {
        accepted: accepted.map_or(Ok(Qty::ZERO), |row| row.qty(0))?,
        ..LotPapers::default()
    };
    if let Some(row) = came {
        papers.from = Some(PlaceId(row.int(0)?));
        papers.came = Some(row.day(1)?);
    }
    let draws = books.rows(
        "SELECT c.kind, SUM(d.qty) FROM certificate_lot d JOIN certificate c ON c.id = d.certificate \
         WHERE d.lot = $1 GROUP BY c.kind HAVING SUM(d.qty) > 0",
        &values![lot.0],
    )?;
    for row in draws {
        let kind = row.text(0)?;
        let kind = PaperKind::from_word(&kind).ok_or(Error::Strange {
            what: "sort of certificate",
            found: kind,
        })?;
        papers.drawn.insert(kind, row.qty(1)?);
    }
    Ok(papers)
}
