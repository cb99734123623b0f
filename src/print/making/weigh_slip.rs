//! What the scale said, how that became metres or millilitres, and how it stands against the book.

use crate::domain::making::weigh::Weighed;
use crate::domain::measure::{Qty, Unit};
use crate::print::words::measured;

/// A lot on the scale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// Its number.
    pub lot: String,
    /// The number of its part.
    pub part: String,
    /// The unit the part is kept in.
    pub unit: Unit,
    /// What the scale said.
    pub weighed: Weighed,
    /// What is left by weight.
    pub left: Qty,
    /// What the book said.
    pub book: Qty,
    /// How much of the part one gram is.
    pub one_gram: Qty,
}

/// The answer, and the sum behind it.
pub fn by_weight(reading: &Reading) -> (String, Vec<String>) {
    let (unit, left, book) = (reading.unit, reading.left, reading.book);
    let against = if left == book {
        "as in the book".to_owned()
    } else if left < book {
        format!(
            "book {}: {} short",
            measured(book, unit),
            measured(book - left, unit)
        )
    } else {
        format!(
            "book {}: {} over",
            measured(book, unit),
            measured(left - book, unit)
        )
    };
    let answer = format!(
        "{} {}: {} by weight, {against}",
        reading.part,
        reading.lot,
        measured(left, unit)
    );
    let Weighed {
        gross_g,
        tare_g,
        grams_per_unit,
    } = reading.weighed;
    let remarks = vec![
        format!(
            "{gross_g} g gross less {tare_g} g tare is {} g; at {grams_per_unit} g to the {unit} that is {}",
            gross_g - tare_g,
            measured(left, unit)
        ),
        format!("one gram is {}", measured(reading.one_gram, unit)),
    ];
    (answer, remarks)
}
