//! What classes of part ask for: the usual, with the shop's own rules in place of them.

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::values;
use crate::domain::acceptance::rules::{ClassRules, RuleName};
use crate::domain::measure::Qty;
use crate::domain::stores::part::Part;

/// The size of a part that says which share of its life must be left when it comes, in percent.
const LEAST_LIFE: &str = "least_life_percent";

/// Whether goods are asked for their papers; older stores never asked.
pub fn papers_are_asked(books: &Open<'_>) -> Result<bool, Error> {
    Ok(books.setting("papers")?.as_deref() == Some("ask"))
}

/// What a class asks for.
pub fn rules_of_class(books: &Open<'_>, class: &str) -> Result<ClassRules, Error> {
    let mut rules = ClassRules::usual(class);
    let rows = books.rows(
        "SELECT name, text FROM class_rule WHERE class = $1",
        &values![class],
    )?;
    for row in rows {
        let (name, text) = (row.text(0)?, row.text(1)?);
        let strange = || Error::Strange {
            what: "rule of a class",
            found: format!("{name}: {text}"),
        };
        let known = RuleName::from_word(&name).ok_or_else(strange)?;
        rules.set(known, &text).map_err(|_| strange())?;
    }
    Ok(rules)
}

/// What a part asks for: its class's rules, and its own least life where its sizes name one.
pub fn rules_of(books: &Open<'_>, part: &Part) -> Result<ClassRules, Error> {
    let mut rules = rules_of_class(books, &part.class)?;
    let own = books.row(
        "SELECT value FROM part_size WHERE part = $1 AND name = $2",
        &values![part.id.0, LEAST_LIFE],
    )?;
    if let Some(least) = own.map(|row| row.maybe_int(0)).transpose()?.flatten() {
        rules.least_life_percent = Some(Qty::from_millionths(least));
    }
    Ok(rules)
}
