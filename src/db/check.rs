//! Proving the books: the engine's own checks, the law of stock recomputed from the entries, and the chain.
//!
//! Nothing derived is believed: each statement of `check/law.sql` works a sum out anew, or looks for what a rule
//! forbids; the chain is digested again from what stands in the tables.

mod chain;

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::post::hex;
use crate::db::schema;
use crate::db::value::{Value, values};
use std::collections::BTreeMap;

/// The statements of the law.
const LAW: &str = include_str!("check/law.sql");

/// One thing that is not as it should be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// Which rule, `I7 over-reserved`.
    pub rule: String,
    /// The numbers of the records concerned.
    pub about: String,
}

/// What a check found.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Findings {
    /// How many documents were proved.
    pub documents: i64,
    /// How many entries.
    pub entries: i64,
    /// How many statements of the law were run.
    pub statements: usize,
    /// The digest of the last document, as it was worked out anew.
    pub head: String,
    /// What is not as it should be.
    pub faults: Vec<Finding>,
}

/// The statements of the law, one by one.
pub fn statements() -> impl Iterator<Item = &'static str> {
    LAW.split(";\n")
        .map(str::trim)
        .filter(|statement| !statement.is_empty())
}

/// Proves the books; reads only.
pub fn check(books: &Open<'_>) -> Result<Findings, Error> {
    let mut found = Findings::default();
    for fault in books.integrity()? {
        found.faults.push(Finding {
            rule: "the engine's own check".to_owned(),
            about: fault,
        });
    }
    for statement in statements() {
        found.statements += 1;
        for row in books.rows(statement, &[])? {
            let mut cells = row.0.iter().map(|value| match value {
                Value::Text(text) => text.clone(),
                Value::Int(whole) => whole.to_string(),
                Value::Null => "none".to_owned(),
                Value::Blob(bytes) => hex(bytes),
            });
            let rule = cells.next().unwrap_or_default();
            found.faults.push(Finding {
                rule,
                about: cells.collect::<Vec<_>>().join(" "),
            });
        }
    }
    found.faults.extend(law_as_decided_by(books)?);
    chain::prove(books, &mut found)?;
    Ok(found)
}

/// Where the law that stands in the books is not the law that the program decides by: entries and several statements
/// lean on it.
fn law_as_decided_by(books: &Open<'_>) -> Result<Vec<Finding>, Error> {
    let mut decided: BTreeMap<i64, Vec<Value>> = schema::law_rows()
        .into_iter()
        .map(|(id, movement, from, to, while_held, fresh, who)| {
            (
                id,
                values![id, movement, from, to, while_held, fresh, who].to_vec(),
            )
        })
        .collect();
    let mut differing = Vec::new();
    let sql = "SELECT id, movement, from_kind, to_kind, while_held, fresh, who FROM law ORDER BY id";
    for row in books.rows(sql, &[])? {
        let id = row.int(0)?;
        if decided.remove(&id).as_ref() != Some(&row.0) {
            differing.push(id);
        }
    }
    differing.extend(decided.into_keys());
    let differing = differing.into_iter();
    Ok(differing
        .map(|id| Finding {
            rule: "the law itself".to_owned(),
            about: id.to_string(),
        })
        .collect())
}
