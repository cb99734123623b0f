//! What stands in the books of a test workshop, and the statements of the law run over it.

use super::world::World;
use bincard::db::books::Open;
use bincard::db::error::Error;
use bincard::db::value::{Row, Value};
use bincard::domain::stores::ids::{JobId, LineId, LotId, OrderLineId, PartId, PlaceId};
use std::fmt::Write;

/// Part 8 of the law, statement by statement.
const STATEMENTS: &str = include_str!("statements.sql");

/// The statements of part 8, without their comments.
pub fn statements() -> Vec<String> {
    let bare: Vec<&str> = STATEMENTS
        .lines()
        .filter(|line| !line.starts_with("--"))
        .collect();
    let bare = bare.join("\n");
    bare.split(";\n")
        .map(|text| text.trim().trim_end_matches(';').to_owned())
        .filter(|text| !text.is_empty())
        .collect()
}

/// The rule that a statement is about, as its faults name it.
pub fn rule(statement: &str) -> &str {
    let from = statement.find("'I").unwrap();
    statement[from + 1..].split('\'').next().unwrap()
}

/// Everything that is derived, but the number of the list: it must be the same again after an undo. Lots and jobs are
/// compared as far as they stood at the time: a job that was raised since is given up, a lot that was made since lies
/// nowhere. A layer, a balance or a position of nothing is as good as none.
const DERIVED: [&str; 10] = [
    "SELECT lot, place, qty, value FROM balance WHERE qty <> 0 OR value <> 0 ORDER BY lot, place",
    "SELECT lot, pickable, reserved, held FROM lot_position WHERE pickable <> 0 OR reserved <> 0 OR held <> 0 ORDER BY lot",
    "SELECT id, part, lot, shared, qty, value FROM layer WHERE qty <> 0 ORDER BY id",
    "SELECT id, need, most, allows, dropped, reserved, pegged, kitted, fitted FROM job_line WHERE job <= $jobs ORDER BY id",
    "SELECT id, ordered, closed, arrived, accepted, pegged FROM order_line ORDER BY id",
    "SELECT id, held FROM place WHERE held <> 0 ORDER BY id",
    "SELECT id, choices, engine, customer, use_day, priority, state FROM job WHERE id <= $jobs ORDER BY id",
    "SELECT id, state FROM supplier_order ORDER BY id",
    "SELECT name, value FROM setting WHERE name <> 'head' ORDER BY name",
    "SELECT line, lot, order_line, SUM(qty) FROM claim GROUP BY line, lot, order_line HAVING SUM(qty) <> 0 ORDER BY 1, 2, 3",
];

/// Every table of the founding step, row by row: nothing at all may differ after a refusal.
const TABLES: [&str; 24] = [
    "setting",
    "law",
    "person",
    "place",
    "party",
    "engine",
    "part",
    "part_size",
    "pack",
    "document",
    "lot",
    "lot_parent",
    "entry",
    "balance",
    "lot_position",
    "layer",
    "hold",
    "change",
    "job",
    "job_line",
    "supplier_order",
    "order_line",
    "claim",
    "rate",
];

/// The last lot and the last job that stood at a time.
#[derive(Clone, Copy, Debug)]
pub struct Stood {
    lots: i64,
    jobs: i64,
}

impl World {
    /// The rows that a statement gives.
    pub fn rows(&self, sql: &str) -> Vec<Row> {
        self.books
            .read(|open: &Open<'_>| open.rows(sql, &[]))
            .unwrap_or_else(|error: Error| panic!("{error}: {sql}"))
    }

    /// The one number that a statement gives.
    pub fn number(&self, sql: &str) -> i64 {
        self.rows(sql)[0].int(0).unwrap()
    }

    /// What a lot has at a place: quantity and value in millionths.
    pub fn at(&self, lot: LotId, place: PlaceId) -> (i64, i64) {
        let rows = self.rows(&format!(
            "SELECT qty, value FROM balance WHERE lot = {lot} AND place = {place}"
        ));
        rows.first()
            .map_or((0, 0), |row| (row.int(0).unwrap(), row.int(1).unwrap()))
    }

    /// What may be picked of a lot, what is reserved, and how many holds lie on it.
    pub fn position(&self, lot: LotId) -> (i64, i64, i64) {
        let row = &self.rows(&format!(
            "SELECT pickable, reserved, held FROM lot_position WHERE lot = {lot}"
        ))[0];
        (row.int(0).unwrap(), row.int(1).unwrap(), row.int(2).unwrap())
    }

    /// What stands on a line: reserved, promised, in the kit, on the engine.
    pub fn line(&self, line: LineId) -> [i64; 4] {
        let row = &self.rows(&format!(
            "SELECT reserved, pegged, kitted, fitted FROM job_line WHERE id = {line}"
        ))[0];
        [0, 1, 2, 3].map(|at| row.int(at).unwrap())
    }

    /// What has arrived, was accepted and is promised of an order line.
    pub fn order(&self, line: OrderLineId) -> [i64; 3] {
        let row = &self.rows(&format!(
            "SELECT arrived, accepted, pegged FROM order_line WHERE id = {line}"
        ))[0];
        [0, 1, 2].map(|at| row.int(at).unwrap())
    }

    /// What a line has reserved of a lot.
    pub fn claimed(&self, line: LineId, lot: LotId) -> i64 {
        self.number(&format!(
            "SELECT COALESCE(SUM(qty), 0) FROM claim WHERE line = {line} AND lot = {lot}"
        ))
    }

    /// The live layers of a part, oldest first: quantity and value in whole ones where they are whole.
    pub fn layers(&self, part: PartId) -> Vec<(i64, i64)> {
        let rows = self.rows(&format!(
            "SELECT qty, value FROM layer WHERE part = {part} AND qty > 0 ORDER BY id"
        ));
        rows.iter()
            .map(|row| (row.int(0).unwrap(), row.int(1).unwrap()))
            .collect()
    }

    /// The number of the pick list that holds.
    pub fn list(&self, job: JobId) -> i64 {
        self.number(&format!("SELECT list FROM job WHERE id = {job}"))
    }

    /// What lots and jobs there are.
    pub fn stood(&self) -> Stood {
        let row = &self.rows("SELECT (SELECT COALESCE(MAX(id), 0) FROM lot), (SELECT MAX(id) FROM job)")[0];
        Stood {
            lots: row.int(0).unwrap(),
            jobs: row.int(1).unwrap(),
        }
    }

    /// Everything derived, as a text; what was made later than what stood is left out.
    pub fn derived(&self, stood: Stood) -> String {
        let read = |open: &Open<'_>| -> Result<String, Error> {
            let mut text = String::new();
            let lots = "SELECT * FROM lot WHERE id <= $lots ORDER BY id";
            for sql in DERIVED.into_iter().chain([lots]) {
                let sql = sql
                    .replace("$jobs", &stood.jobs.to_string())
                    .replace("$lots", &stood.lots.to_string());
                write_rows(&mut text, &open.rows(&sql, &[])?);
            }
            Ok(text)
        };
        self.books.read(read).unwrap()
    }

    /// Every row of every table, digested.
    pub fn digest(&self) -> [u8; 32] {
        let read = |open: &Open<'_>| -> Result<String, Error> {
            let mut text = String::new();
            for table in TABLES {
                write_rows(&mut text, &open.rows(&format!("SELECT * FROM {table}"), &[])?);
            }
            Ok(text)
        };
        bincard::db::canon::digest(self.books.read(read).unwrap().as_bytes())
    }

    /// Runs every statement of part 8; each fault it finds, as a line.
    pub fn faults(&self) -> Vec<String> {
        let read = |open: &Open<'_>| -> Result<Vec<String>, Error> {
            let mut faults = Vec::new();
            for statement in statements() {
                faults.extend(
                    open.rows(&statement, &[])?
                        .iter()
                        .map(|row| format!("{:?}", row.0)),
                );
            }
            Ok(faults)
        };
        self.books.read(read).unwrap()
    }

    /// Insists that the books hold by every statement of part 8 and by the chain.
    #[track_caller]
    pub fn sound(&self) {
        assert_eq!(self.faults(), Vec::<String>::new());
        let found = self.books.read(bincard::db::check::check).unwrap();
        assert_eq!(found.faults, [], "by the program's own check");
    }
}

fn write_rows(text: &mut String, rows: &[Row]) {
    for row in rows {
        for value in &row.0 {
            match value {
                Value::Null => text.push('-'),
                Value::Int(whole) => write!(text, "{whole}").unwrap(),
                Value::Text(word) => text.push_str(word),
                Value::Blob(bytes) => write!(text, "{bytes:?}").unwrap(),
            }
            text.push('|');
        }
        text.push('\n');
    }
    text.push_str("--\n");
}
