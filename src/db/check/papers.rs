//! What was drawn on certificates: never more than they cover, and as the draws add up.

use super::Report;
use super::cells::{amount, text, whole};
use super::facts::every;
use crate::db::books::Open;
use crate::db::error::Error;

/// Holds what stands as drawn on each certificate against its draws.
pub(super) fn compare(books: &Open<'_>, report: &mut Report<'_, '_>) -> Result<(), Error> {
    let sql = "SELECT c.issuer, c.number, c.covers, c.drawn, COALESCE(SUM(d.qty), 0) FROM certificate c \
               LEFT JOIN certificate_lot d ON d.certificate = c.id GROUP BY c.id ORDER BY c.id";
    every(books, sql, |row| {
        let about = format!("certificate {} of {}", text(row, 1)?, text(row, 0)?);
        let (covers, drawn, draws) = (whole(row, 2)?, whole(row, 3)?, whole(row, 4)?);
        if drawn != draws {
            report.add(
                "I14 drawn",
                about.clone(),
                amount(draws.into()),
                amount(drawn.into()),
            );
        }
        if draws < 0 || draws > covers {
            let should_be = format!("from 0 to {}", amount(covers.into()));
            report.add("I14 drawn over", about, should_be, amount(draws.into()));
        }
        Ok(())
    })
}
