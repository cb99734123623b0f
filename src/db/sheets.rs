//! The books as the rows of the files that `import` takes: what `export` gives back, and what an imported row is held
//! against.

mod goods;

use crate::db::books::Open;
use crate::db::error::Error;
use crate::db::value::{Row, Value};
use crate::domain::measure::{Money, Qty};
use crate::domain::stores::law::Kind;
use crate::domain::stores::posting::Field;

pub use goods::{Arrived, arrived, brought_forward, elsewhere, on_order, ordered, shelves};

/// How a column of the books stands in the cell of a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum As {
    /// A text, a day or a word, as it is.
    Text,
    /// A whole number.
    Whole,
    /// Millionths of a unit.
    Number,
    /// Millionths of a currency's unit.
    Amount,
    /// `yes` or `no`.
    Flag,
    /// The code of a place, for the number under which the books keep it.
    Place,
    /// The number of a part, for the number under which the books keep it.
    Part,
    /// The kind of a place, for its code.
    Kind,
}

/// One column: how it stands in a cell, and which field of the record may be changed later, if any.
pub type Column = (As, Option<Field>);

/// A row as the books have it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// Under which number the books keep the record; nought where it has none.
    pub id: i64,
    /// Its cells in the order of the file's headings.
    pub cells: Vec<String>,
}

/// The rows of one file: the statement that gives number and cells, and the columns behind the number.
struct Sheet {
    stem: &'static str,
    sql: &'static str,
    columns: &'static [Column],
}

const fn stays(form: As) -> Column {
    (form, None)
}

const fn may(form: As, field: Field) -> Column {
    (form, Some(field))
}

/// The files whose rows are records; stock and orders, which are more, stand in [`goods`].
const SHEETS: &[Sheet] = &[
    Sheet {
        stem: "people",
        sql: "SELECT id, initials, name, roles, authorised_from, authorised_until FROM person ORDER BY id",
        columns: &[
            stays(As::Text),
            may(As::Text, Field::PersonName),
            may(As::Text, Field::PersonRoles),
            may(As::Text, Field::PersonFrom),
            may(As::Text, Field::PersonUntil),
        ],
    },
    Sheet {
        stem: "customers",
        sql: "SELECT id, code, name FROM place WHERE id >= 31000000 AND id < 32000000 ORDER BY id",
        columns: &[stays(As::Text), may(As::Text, Field::PlaceName)],
    },
    Sheet {
        stem: "suppliers",
        sql: "SELECT p.id, p.code, p.name, y.currency, y.lead_days, y.approved_from, y.approved_until, y.scope \
              FROM place p JOIN party y ON y.place = p.id \
              WHERE p.id >= 30000000 AND p.id < 31000000 ORDER BY p.id",
        columns: &[
            stays(As::Text),
            may(As::Text, Field::PlaceName),
            may(As::Text, Field::PartyCurrency),
            may(As::Whole, Field::PartyLeadDays),
            may(As::Text, Field::PartyFrom),
            may(As::Text, Field::PartyUntil),
            may(As::Text, Field::PartyScope),
        ],
    },
    Sheet {
        stem: "parts",
        sql: "SELECT id, number, name, class, unit, step, hand_out, life, opened_life_days, pack_policy, bench_stock, \
              critical, maker, issue, (SELECT z.text FROM part_size z WHERE z.part = part.id AND z.name = 'opened life'), \
              grams_per_unit FROM part ORDER BY id",
        columns: &[
            stays(As::Text),
            may(As::Text, Field::PartName),
            may(As::Text, Field::PartClass),
            may(As::Text, Field::PartUnit),
            may(As::Number, Field::PartStep),
            may(As::Number, Field::PartHandOut),
            may(As::Text, Field::PartLife),
            may(As::Whole, Field::PartOpenedLife),
            may(As::Text, Field::PartPackPolicy),
            may(As::Flag, Field::PartBenchStock),
            may(As::Flag, Field::PartCritical),
            may(As::Text, Field::PartMaker),
            may(As::Text, Field::PartIssue),
            stays(As::Text),
            may(As::Number, Field::PartGrams),
        ],
    },
    Sheet {
        stem: "sizes",
        sql: "SELECT s.part, p.number, s.name, s.value, s.text FROM part_size s JOIN part p ON p.id = s.part \
              WHERE s.name <> 'opened life' ORDER BY s.part, s.name",
        columns: &[
            stays(As::Text),
            stays(As::Text),
            stays(As::Number),
            stays(As::Text),
        ],
    },
    Sheet {
        stem: "packs",
        sql: "SELECT 0, p.number, s.code, k.unit, k.holds FROM pack k JOIN part p ON p.id = k.part \
              LEFT JOIN place s ON s.id = k.supplier ORDER BY k.part, k.supplier, k.unit",
        columns: &[
            stays(As::Text),
            stays(As::Text),
            stays(As::Text),
            stays(As::Number),
        ],
    },
    Sheet {
        stem: "bins",
        sql: "SELECT p.id, p.code, p.name, p.id / 1000000, q.code, p.walk, p.limits, p.one_lot FROM place p \
              LEFT JOIN place q ON q.id = p.parent WHERE p.id / 1000000 IN (1, 2, 3, 4, 5, 8) ORDER BY p.code",
        columns: &[
            stays(As::Text),
            may(As::Text, Field::PlaceName),
            stays(As::Kind),
            may(As::Place, Field::PlaceParent),
            may(As::Whole, Field::PlaceWalk),
            may(As::Text, Field::PlaceLimits),
            may(As::Flag, Field::PlaceOneLot),
        ],
    },
    Sheet {
        stem: "engines",
        sql: "SELECT e.place, e.model, e.serial, c.code FROM engine e JOIN place p ON p.id = e.place \
              LEFT JOIN place c ON c.id = p.owner ORDER BY e.place",
        columns: &[
            stays(As::Text),
            stays(As::Text),
            may(As::Place, Field::PlaceOwner),
        ],
    },
    Sheet {
        stem: "bills",
        sql: "SELECT b.id, p.number, b.revision, b.from_day, b.until_day, b.fits, b.data_source FROM bill b \
              JOIN part p ON p.id = b.part ORDER BY b.id",
        columns: &[
            stays(As::Text),
            stays(As::Text),
            may(As::Text, Field::BillFrom),
            may(As::Text, Field::BillUntil),
            may(As::Text, Field::BillFits),
            may(As::Text, Field::BillSource),
        ],
    },
    Sheet {
        stem: "bill_lines",
        sql: "SELECT l.id, p.number, b.revision, l.n, l.kind, q.number, l.qty, l.per, l.choice_group, l.choice, l.text, \
              l.waste \
              FROM bill_line l JOIN bill b ON b.id = l.bill JOIN part p ON p.id = b.part \
              LEFT JOIN part q ON q.id = l.part ORDER BY l.bill, l.n",
        columns: &[
            stays(As::Text),
            stays(As::Text),
            stays(As::Whole),
            may(As::Text, Field::BillLineKind),
            may(As::Part, Field::BillLinePart),
            may(As::Text, Field::BillLineQty),
            may(As::Text, Field::BillLinePer),
            may(As::Text, Field::BillLineGroup),
            may(As::Text, Field::BillLineChoice),
            may(As::Text, Field::BillLineText),
            may(As::Number, Field::BillLineWaste),
        ],
    },
    Sheet {
        stem: "prices",
        sql: "SELECT r.id, p.number, s.code, r.basis, r.from_day, r.from_qty, r.unit, r.amount, r.currency FROM price r \
              JOIN part p ON p.id = r.part JOIN place s ON s.id = r.supplier ORDER BY r.id",
        columns: &[
            stays(As::Text),
            stays(As::Text),
            stays(As::Text),
            stays(As::Text),
            stays(As::Number),
            stays(As::Text),
            may(As::Amount, Field::PriceAmount),
            may(As::Text, Field::PriceCurrency),
        ],
    },
    Sheet {
        stem: "rates",
        sql: "SELECT 0, kind, name, from_day, amount FROM rate ORDER BY kind, name, from_day",
        columns: &[
            stays(As::Text),
            stays(As::Text),
            stays(As::Text),
            stays(As::Amount),
        ],
    },
    Sheet {
        stem: "rules",
        sql: "SELECT id, class, name, text FROM class_rule ORDER BY id",
        columns: &[stays(As::Text), stays(As::Text), may(As::Text, Field::RuleText)],
    },
    Sheet {
        stem: "standins",
        sql: "SELECT z.id, p.number, o.number, z.manner, z.bounds, z.authority, z.from_day, z.until_day FROM stand_in z \
              JOIN part p ON p.id = z.part JOIN part o ON o.id = z.other ORDER BY z.id",
        columns: &[
            stays(As::Text),
            stays(As::Text),
            stays(As::Text),
            may(As::Text, Field::StandInBounds),
            may(As::Text, Field::StandInAuthority),
            may(As::Text, Field::StandInFrom),
            may(As::Text, Field::StandInUntil),
        ],
    },
    Sheet {
        stem: "lives",
        sql: "SELECT id, family, COALESCE(CAST(months AS TEXT), 'no limit'), source, issue, from_day FROM life_rule \
              ORDER BY id",
        columns: &[
            stays(As::Text),
            stays(As::Text),
            stays(As::Text),
            stays(As::Text),
            stays(As::Text),
        ],
    },
    Sheet {
        stem: "jobs",
        sql: "SELECT j.id, p.number, j.choices, e.serial, c.code, j.tag, j.use_day, j.priority FROM job j \
              JOIN bill b ON b.id = j.bill JOIN part p ON p.id = b.part JOIN engine e ON e.place = j.engine \
              LEFT JOIN place c ON c.id = j.customer WHERE j.state = 'open' ORDER BY j.id",
        columns: &[
            stays(As::Text),
            stays(As::Text),
            stays(As::Text),
            stays(As::Text),
            stays(As::Text),
            stays(As::Text),
            stays(As::Whole),
        ],
    },
];

/// The columns of the file of this stem; none where its rows are more than records.
pub fn columns(stem: &str) -> &'static [Column] {
    SHEETS
        .iter()
        .find(|sheet| sheet.stem == stem)
        .map_or(&[], |sheet| sheet.columns)
}

/// Every record that the file of this stem would hold, in the order in which the file has them.
pub fn records(books: &Open<'_>, stem: &str) -> Result<Vec<Standing>, Error> {
    let Some(sheet) = SHEETS.iter().find(|sheet| sheet.stem == stem) else {
        return Err(Error::Fault(format!("{stem} is no file of records")));
    };
    let standing = |row: &Row| {
        let cells = sheet
            .columns
            .iter()
            .zip(1..)
            .map(|((form, _), at)| cell(*form, row.value(at)?));
        Ok(Standing {
            id: row.int(0)?,
            cells: cells.collect::<Result<_, Error>>()?,
        })
    };
    books.rows(sheet.sql, &[])?.iter().map(standing).collect()
}

/// A value of the books as it stands in a cell.
fn cell(form: As, value: &Value) -> Result<String, Error> {
    Ok(match (form, value) {
        (_, Value::Null) => String::new(),
        (As::Text | As::Place | As::Part, Value::Text(text)) => text.clone().into_owned(),
        (As::Whole, Value::Int(whole)) => whole.to_string(),
        (As::Number, Value::Int(millionths)) => Qty::from_millionths(*millionths).to_string(),
        (As::Amount, Value::Int(millionths)) => Money::from_millionths(*millionths).in_full(),
        (As::Flag, Value::Int(flag)) => if *flag == 0 { "no" } else { "yes" }.to_owned(),
        (As::Kind, Value::Int(code)) => Kind::from_code(*code).map_or("", Kind::word).to_owned(),
        (form, value) => {
            return Err(Error::Strange {
                what: "cell",
                found: format!("{value:?} as {form:?}"),
            });
        }
    })
}

/// A cell as the books write the field behind it; nothing where the cell is blank. Codes of places and numbers of parts
/// are not known here.
pub fn written(form: As, cell: &str) -> Option<String> {
    if cell.is_empty() {
        return None;
    }
    match form {
        As::Number => Qty::parse(cell).ok().map(|qty| qty.millionths().to_string()),
        As::Amount => Money::parse(cell)
            .ok()
            .map(|money| money.millionths().to_string()),
        As::Flag => Some(if cell == "yes" { "1" } else { "0" }.to_owned()),
        As::Text | As::Whole | As::Place | As::Part | As::Kind => Some(cell.to_owned()),
    }
}
