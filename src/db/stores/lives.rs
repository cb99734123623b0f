//! How long families of material last, by the shop's own table.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::{Row, values};
use crate::domain::keeping::rule::{Lasts, LifeRule};
use crate::domain::measure::{Day, Qty};
use crate::domain::stores::part::Part;
use std::collections::BTreeMap;

/// Every rule, by family.
pub fn lives(books: &Open<'_>) -> Result<BTreeMap<String, Vec<LifeRule>>, Error> {
    let mut found: BTreeMap<String, Vec<LifeRule>> = BTreeMap::new();
    let sql = "SELECT months, source, issue, from_day, family FROM life_rule ORDER BY family, from_day";
    for row in books.rows(sql, &[])? {
        found.entry(row.text(4)?).or_default().push(rule(&row)?);
    }
    Ok(found)
}

/// How long a part lasts that comes on a day, with the rule of its family; nothing where its record says nothing.
pub fn lasts_on(books: &Open<'_>, part: &Part, day: Day) -> Result<Option<Lasts>, Error> {
    let Some(life) = &part.life else {
        return Ok(None);
    };
    let rows = match life.family() {
        None => Vec::new(),
        Some(family) => books.rows(
            "SELECT months, source, issue, from_day FROM life_rule WHERE family = $1",
            &values![family],
        )?,
    };
    let rules: Vec<LifeRule> = rows.iter().map(rule).collect::<Result<_, Error>>()?;
    Ok(Some(Lasts::on(life, &rules, day)))
}

/// A lot on a shelf or bench whose life has no limit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lasting {
    /// The part's number.
    pub part: String,
    /// The lot's number.
    pub lot: String,
    /// The bin's code.
    pub bin: String,
    /// How much lies there, and in which unit.
    pub qty: (Qty, String),
    /// Who says so.
    pub how: String,
}

/// What lies on shelf and bench without a last day and says why, by part, lot and bin.
pub fn without_limit(books: &Open<'_>) -> Result<Vec<Lasting>, Error> {
    let rows = books.rows(
        "SELECT p.number, l.number, c.code, b.qty, p.unit, l.expiry_how FROM lot l \
         JOIN part p ON p.id = l.part JOIN balance b ON b.lot = l.id JOIN place c ON c.id = b.place \
         WHERE l.expiry IS NULL AND l.expiry_how IS NOT NULL AND b.qty > 0 \
         AND b.place >= 2000000 AND b.place < 4000000 ORDER BY p.number, l.id, c.code",
        &[],
    )?;
    let lasting = |row: &Row| {
        Ok(Lasting {
            part: row.text(0)?,
            lot: row.text(1)?,
            bin: row.text(2)?,
            qty: (row.qty(3)?, row.text(4)?),
            how: row.text(5)?,
        })
    };
    rows.iter().map(lasting).collect()
}

/// A rule: months, source, issue, first day.
fn rule(row: &Row) -> Result<LifeRule, Error> {
    let months = row.maybe_int(0)?.map(|months| {
        u32::try_from(months).map_err(|_| Error::Strange {
            what: "months of a life",
            found: months.to_string(),
        })
    });
    Ok(LifeRule {
        months: months.transpose()?,
        source: row.text(1)?,
        issue: row.text(2)?,
        from_day: row.day(3)?,
    })
}
