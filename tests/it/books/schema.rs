//! The schema: what the steps add up to is written out and true, and its text serves a second engine.

use bincard::db::schema::STEPS;
use rusqlite::Connection;
use std::collections::BTreeSet;
use std::path::Path;

/// A store of nothing but its schema.
fn made() -> Connection {
    let raw = Connection::open_in_memory().unwrap();
    for step in STEPS {
        raw.execute_batch(step).unwrap();
    }
    raw
}

fn texts(raw: &Connection, sql: &str) -> Vec<String> {
    let mut statement = raw.prepare(sql).unwrap();
    let rows = statement.query_map([], |row| row.get(0)).unwrap();
    rows.map(Result::unwrap).collect()
}

#[test]
fn the_whole_schema_is_what_the_steps_add_up_to() {
    let objects = texts(
        &made(),
        "SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY rowid",
    );
    let sum: String = objects.iter().map(|sql| format!("{sql};\n")).collect();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("schema/whole.sql");
    if std::env::var_os("BINCARD_SCHEMA_WRITE").is_some() {
        std::fs::write(&path, &sum).unwrap();
    }
    let written = std::fs::read_to_string(&path).unwrap();
    let how = "schema/whole.sql differs from the steps; BINCARD_SCHEMA_WRITE=1 writes it anew";
    for (found, said) in sum.lines().zip(written.lines()) {
        assert_eq!(found, said, "{how}");
    }
    assert_eq!(sum.len(), written.len(), "{how}");
}

/// The tables that schema.md lists for the founding step, the sizes of parts, which came into it, and step 0002.
const TABLES: &str = "setting law person place party engine part pack part_size \
    document lot lot_parent entry balance lot_position layer hold change \
    bill bill_line job job_line supplier_order order_line claim price rate count_line note \
    certificate certificate_lot class_rule life_rule stand_in caution";

#[test]
fn nothing_is_there_but_what_was_agreed() {
    let raw = made();
    let named = |kind: &str| {
        let sql = format!("SELECT name FROM sqlite_schema WHERE type = '{kind}' AND sql IS NOT NULL");
        texts(&raw, &sql).into_iter().collect::<BTreeSet<_>>()
    };
    let agreed: BTreeSet<String> = TABLES.split_whitespace().map(str::to_owned).collect();
    assert_eq!(named("table"), agreed);
    assert_eq!(named("view"), BTreeSet::new());
    // Two guards for each table that is only ever added to.
    let kept = [
        "document",
        "entry",
        "claim",
        "hold",
        "change",
        "lot_parent",
        "count_line",
        "note",
        "certificate_lot",
    ];
    let guards = kept
        .iter()
        .flat_map(|table| [format!("{table}_stays"), format!("{table}_kept")]);
    assert_eq!(named("trigger"), guards.collect());
    // Every index costs each start some instructions: counted by hand: 20 in 0001, 3 in 0002, 1 in 0003.
    assert_eq!(named("index").len(), 24);
    let loose = "SELECT name FROM pragma_table_list WHERE schema = 'main' AND strict = 0 AND name NOT LIKE 'sqlite_%'";
    assert_eq!(texts(&raw, loose), [""; 0]);
}

/// All that a schema may say in capitals, after the swaps.
const WORDS: &str = "CREATE TABLE INDEX UNIQUE ON WHERE PRIMARY KEY REFERENCES DEFAULT CHECK NOT NULL IS IN AND OR \
    BIGINT TEXT BYTEA";
/// The functions that both engines know.
const FUNCTIONS: &[&str] = &["length"];

/// The schema as the second engine is given it: the four swaps, without the guards, comments and texts.
fn second(text: &str) -> String {
    let lines = text.lines().filter(|line| !line.starts_with("CREATE TRIGGER"));
    let bare: Vec<&str> = lines
        .map(|line| line.split("--").next().unwrap_or_default())
        .collect();
    let swapped = bare
        .join("\n")
        .replace(") STRICT, WITHOUT ROWID;", ");")
        .replace(") STRICT;", ");")
        .replace("INTEGER", "BIGINT")
        .replace("BLOB", "BYTEA");
    swapped.split('\'').step_by(2).collect::<Vec<_>>().join("''")
}

/// What only one engine understands.
fn strange(text: &str) -> Vec<String> {
    let text = second(text);
    let known: Vec<&str> = WORDS.split_whitespace().collect();
    let mut strange = Vec::new();
    for (at, word) in text
        .split(|c: char| !c.is_alphanumeric() && c != '_')
        .map(|word| (word.as_ptr() as usize - text.as_ptr() as usize, word))
    {
        let capital = word.starts_with(|c: char| c.is_ascii_uppercase());
        let after = text[at + word.len()..].chars().next();
        // A name before a bracket is a table or an index where it is made and where it is named.
        let before = text[..at].split_whitespace().last().unwrap_or_default();
        let named = ["TABLE", "INDEX", "ON", "REFERENCES"].contains(&before);
        let function = after == Some('(') && !capital && !named && !word.is_empty();
        if (capital && !known.contains(&word)) || (function && !FUNCTIONS.contains(&word)) {
            strange.push(word.to_owned());
        }
    }
    strange.extend(
        text.chars()
            .filter(|c| "\"`[]?$@:".contains(*c))
            .map(String::from),
    );
    strange
}

#[test]
fn the_schema_serves_a_second_engine_after_four_swaps() {
    for step in STEPS {
        assert_eq!(strange(step), [""; 0]);
    }
    for (text, word) in [
        ("CREATE TABLE a (b REAL) STRICT;", "REAL"),
        (
            "CREATE TABLE a (b INTEGER PRIMARY KEY AUTOINCREMENT) STRICT;",
            "AUTOINCREMENT",
        ),
        ("CREATE TABLE a (b TEXT COLLATE NOCASE) STRICT;", "COLLATE"),
        ("CREATE TABLE a (b TEXT CHECK (b GLOB 'x*')) STRICT;", "GLOB"),
        (
            "CREATE TABLE a (b TEXT CHECK (typeof(b) = 'text')) STRICT;",
            "typeof",
        ),
        ("CREATE TABLE a (b INTEGER) WITHOUT ROWID;", "WITHOUT"),
        (
            "CREATE TABLE a (b TEXT DEFAULT CURRENT_DATE) STRICT;",
            "CURRENT_DATE",
        ),
        ("CREATE TABLE \"a\" (b TEXT) STRICT;", "\""),
        ("CREATE VIEW a AS SELECT 1;", "VIEW"),
    ] {
        assert!(
            strange(text).contains(&word.to_owned()),
            "{text}: {:?}",
            strange(text)
        );
    }
}

/// Which columns of records hold a number or nothing; the proof of the chain leans on the list.
#[test]
fn the_columns_that_hold_a_number_or_nothing_are_known() {
    let raw = made();
    let tables = "person place party engine part part_size pack bill bill_line job job_line supplier_order order_line \
                  price rate lot";
    let mut found = BTreeSet::new();
    for table in tables.split_whitespace() {
        let sql = format!(
            "SELECT name FROM pragma_table_info('{table}') WHERE type = 'INTEGER' AND \"notnull\" = 0 AND pk = 0"
        );
        found.extend(
            texts(&raw, &sql)
                .into_iter()
                .map(|column| (table.to_owned(), column)),
        );
    }
    let listed = bincard::db::check::NUMBERS_OR_NOTHING.iter();
    let listed: BTreeSet<_> = listed
        .map(|(table, column)| ((*table).to_owned(), (*column).to_owned()))
        .collect();
    assert_eq!(found, listed);
}
