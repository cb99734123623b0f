//! The numbered steps of the schema, and what they add up to. A step is never edited once released.

use crate::domain::stores::law;

/// What marks a file as ours: the letters `bnCd`.
pub const APPLICATION_ID: i64 = 0x626E_4364;

/// The steps, in order; a store's `user_version` is how many it has.
pub const STEPS: [&str; 3] = [
    include_str!("../../schema/0001_founding.sql"),
    include_str!("../../schema/0002_counting_and_notes.sql"),
    include_str!("../../schema/0003_papers_and_rules.sql"),
];

/// How many steps this program knows.
pub const KNOWN: i64 = STEPS.len() as i64;

/// One row of the table `law`: id, movement, from, to, while_held, fresh, who.
pub type LawRow = (
    i64,
    &'static str,
    &'static str,
    &'static str,
    bool,
    bool,
    &'static str,
);

/// The rows of the table `law`, from the same table that the domain decides by.
pub fn law_rows() -> Vec<LawRow> {
    law::rows()
        .into_iter()
        .map(|row| {
            let who = row.who().word();
            (
                row.id(),
                row.movement.word(),
                row.from.word(),
                row.to.word(),
                row.while_held,
                row.fresh,
                who,
            )
        })
        .collect()
}
