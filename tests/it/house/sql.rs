//! SQL stands in the books alone, takes its values as parameters, and speaks what two engines understand.

use super::report::{Fault, bites, keeps, lets_pass};
use super::source::File;
use super::tokens::{Kind, Token};

/// What a statement starts with.
const STARTS: &[&str] = &["SELECT", "INSERT", "UPDATE", "DELETE", "WITH", "PRAGMA", "CREATE"];

/// Statements that show in small letters too.
const PAIRS: &[(&str, &str)] = &[
    ("insert", "into"),
    ("delete", "from"),
    ("create", "table"),
    ("create", "index"),
    ("create", "view"),
    ("create", "trigger"),
    ("select", "*"),
];

/// Words that make a piece of text a piece of a statement.
const PARTS: &[&str] = &["FROM", "WHERE", "VALUES", "SET", "JOIN", "RETURNING", "LIMIT"];

/// Macros and methods that paste texts together.
const PASTING: &[&str] = &["format", "format_args", "write", "writeln", "push_str"];

/// The one file that knows the driver, and so its dialect.
const DRIVER: &str = "src/db/sqlite.rs";

/// Words and functions that only one of the two engines knows, with what to write instead.
const DIALECT: &[(&str, &str)] = &[
    ("GLOB ", "LIKE, substr or a comparison"),
    ("iif(", "CASE"),
    ("instr(", "a comparison in the program"),
    ("typeof(", "a STRICT column"),
    ("group_concat(", "string_agg("),
    ("INSERT OR ", "ON CONFLICT"),
    ("REPLACE INTO", "ON CONFLICT, which keeps the append-only guards"),
    ("date('now'", "the day, as a parameter"),
    ("datetime('now'", "the time, as a parameter"),
];

fn is_statement(text: &str) -> bool {
    let mut words = text.split_whitespace();
    let (first, second) = (words.next().unwrap_or_default(), words.next().unwrap_or_default());
    let pair = (first.to_lowercase(), second.to_lowercase());
    (STARTS.contains(&first) && !second.is_empty())
        || PAIRS.iter().any(|(a, b)| pair == ((*a).into(), (*b).into()))
}

fn is_part_of_one(text: &str) -> bool {
    let mut words = text.split(|c: char| !c.is_alphanumeric() && c != '_');
    is_statement(text) || words.any(|word| STARTS.contains(&word) || PARTS.contains(&word))
}

/// The string literals of a file; doc comments are not among them.
fn texts(file: &File) -> impl Iterator<Item = &Token> {
    file.tokens.iter().filter(|token| token.kind == Kind::Text)
}

/// No statement stands outside the books.
fn at_home(files: &[File]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for file in files
        .iter()
        .filter(|file| file.is_program() && file.floor() != Some("db"))
    {
        for token in texts(file).filter(|token| is_statement(&token.text)) {
            faults.push(Fault::new(file, token.line, "SQL stands only in src/db"));
        }
    }
    faults
}

/// No statement is pasted together: a value goes in as a parameter.
fn unpasted(files: &[File]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for file in files.iter().filter(|file| file.floor() == Some("db")) {
        for (at, token) in file.tokens.iter().enumerate() {
            let opens = |ahead: usize| {
                file.tokens
                    .get(at + ahead)
                    .is_some_and(|token| token.kind == Kind::Open)
            };
            let bang = file.tokens.get(at + 1).is_some_and(|token| token.is("!"));
            if PASTING.iter().any(|name| token.is(name)) && (opens(1) || (bang && opens(2))) {
                let given = arguments(&file.tokens[at + 1 + usize::from(bang)..]);
                for text in given
                    .iter()
                    .filter(|token| token.kind == Kind::Text && is_part_of_one(&token.text))
                {
                    let what = format!("`{}` pastes SQL together: values go in as parameters", token.text);
                    faults.push(Fault::new(file, text.line, what));
                }
            }
        }
    }
    faults
}

/// The tokens from an opening bracket to the one that closes it.
fn arguments(tokens: &[Token]) -> &[Token] {
    let mut depth = 0usize;
    for (at, token) in tokens.iter().enumerate() {
        match token.kind {
            Kind::Open => depth += 1,
            Kind::Close => depth = depth.saturating_sub(1),
            _ => {}
        }
        if depth == 0 {
            return &tokens[..at];
        }
    }
    tokens
}

/// SQL speaks what both engines understand, everywhere but in the driver's file and in the schema.
fn dialect(files: &[File]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for file in files
        .iter()
        .filter(|file| file.path.starts_with("src/") && file.path != DRIVER)
    {
        if file.is_rust() {
            for token in texts(file) {
                dialect_of(file, &token.text, token.line, &mut faults);
            }
        } else if file.path.ends_with(".sql") {
            dialect_of(file, &file.text, 1, &mut faults);
        }
    }
    faults
}

fn dialect_of(file: &File, text: &str, first_line: usize, faults: &mut Vec<Fault>) {
    let statement = file.path.ends_with(".sql") || is_statement(text);
    for (number, line) in text.lines().enumerate() {
        let mut fault = |what: String| faults.push(Fault::new(file, first_line + number, what));
        for (token, instead) in DIALECT.iter().filter(|(token, _)| has_word(line, token)) {
            fault(format!(
                "`{}` is known to one engine only: write {instead}",
                token.trim_end()
            ));
        }
        if numbered(line, '?') || (statement && line.contains('?')) {
            fault("`?` as a placeholder: both engines know `$1`".into());
        }
        if compares_a_bare_parameter_with_null(line) {
            fault("`$n IS NULL` has no type on one engine: write `CAST($n AS …) IS NULL`".into());
        }
    }
}

/// Whether the token stands in the line at the start of a word. A word in capitals must be in capitals, so that
/// prose passes; a function may be in either.
fn has_word(line: &str, token: &str) -> bool {
    let function = token.contains('(');
    let line = if function {
        line.to_ascii_lowercase()
    } else {
        format!("{line} ")
    };
    line.match_indices(token)
        .any(|(at, _)| !line[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_'))
}

fn numbered(line: &str, mark: char) -> bool {
    line.split(mark)
        .skip(1)
        .any(|after| after.starts_with(|c: char| c.is_ascii_digit()))
}

fn compares_a_bare_parameter_with_null(line: &str) -> bool {
    line.split('$').skip(1).any(|after| {
        let rest = after.trim_start_matches(|c: char| c.is_ascii_digit());
        let words: Vec<&str> = rest.split_whitespace().take(3).collect();
        let null = |word: &str| word.trim_end_matches([')', ',', ';']) == "NULL";
        let tests_null = match words.as_slice() {
            ["IS", word, ..] if null(word) => true,
            ["IS", "NOT", word] => null(word),
            _ => false,
        };
        rest.len() < after.len() && tests_null
    })
}

#[test]
fn sql_stands_in_the_books_alone() {
    keeps(at_home);
    bites(
        at_home,
        &[
            ("src/cmd/find.rs", "\nconst A: &str = \"SELECT 1 FROM lot\";", 2),
            ("src/print/card.rs", "fn f() { \"  INSERT INTO lot\" }", 1),
            ("src/intake/parts.rs", "fn f() { \"insert into lot\" }", 1),
            ("src/domain/lot.rs", "fn f() { \"UPDATE lot SET a = 1\" }", 1),
            ("src/cmd/find.rs", "fn f() { \"DELETE FROM lot\" }", 1),
            ("src/cmd/find.rs", "fn f() { r\"\nWITH a AS (SELECT 1)\" }", 1),
            ("src/cmd/find.rs", "fn f() { \"PRAGMA user_version\" }", 1),
            ("src/cmd/find.rs", "fn f() { \"CREATE TABLE a (b)\" }", 1),
        ],
    );
    lets_pass(
        at_home,
        &[
            ("src/db/post.rs", "const A: &str = \"SELECT 1 FROM lot\";"),
            (
                "src/cmd/find.rs",
                "/// SELECT of lots.\nfn f() { \"Select a lot\"; \"Create a store first\"; \"WITH\"; \"with it\" }",
            ),
        ],
    );
}

#[test]
fn sql_is_not_pasted_together() {
    keeps(unpasted);
    bites(
        unpasted,
        &[
            (
                "src/db/post.rs",
                "fn f() {\n format!(\"SELECT {a} FROM lot\") }",
                2,
            ),
            ("src/db/post.rs", "fn f() { write!(sql, \" WHERE a = {b}\") }", 1),
            ("src/db/post.rs", "fn f() { sql.push_str(\" LIMIT 5\") }", 1),
            (
                "src/db/post.rs",
                "fn f() { format!(\"PRAGMA user_version = {n}\") }",
                1,
            ),
        ],
    );
    lets_pass(
        unpasted,
        &[
            (
                "src/db/post.rs",
                "fn f() { format!(\"lot {a} was not found where it should be\"); db.run(\"SELECT $1\") }",
            ),
            (
                "src/db/error.rs",
                "fn f() { write!(out, \"busy, set from elsewhere\") } fn write(a: &str) {}",
            ),
        ],
    );
}

#[test]
fn sql_is_understood_by_both_engines() {
    keeps(dialect);
    bites(
        dialect,
        &[
            (
                "src/db/post.rs",
                "const A: &str = \"SELECT a\n FROM b WHERE a GLOB 'x'\";",
                2,
            ),
            ("src/db/post.rs", "const A: &str = \"SELECT iif(a, 1, 2)\";", 1),
            ("src/db/post.rs", "const A: &str = \"SELECT INSTR(a, 'b')\";", 1),
            ("src/db/post.rs", "const A: &str = \"SELECT typeof(a)\";", 1),
            ("src/db/post.rs", "const A: &str = \"SELECT group_concat(a)\";", 1),
            (
                "src/db/post.rs",
                "const A: &str = \"INSERT OR IGNORE INTO a\";",
                1,
            ),
            ("src/db/post.rs", "const A: &str = \"REPLACE INTO a\";", 1),
            ("src/db/post.rs", "const A: &str = \"SELECT date('now')\";", 1),
            ("src/db/post.rs", "const A: &str = \"SELECT ?1\";", 1),
            ("src/db/post.rs", "const A: &str = \" AND a = ?2\";", 1),
            (
                "src/db/post.rs",
                "const A: &str = \"SELECT a FROM b WHERE c = ?\";",
                1,
            ),
            (
                "src/db/post.rs",
                "const A: &str = \"SELECT a FROM b WHERE ($1 IS NULL OR a = $1)\";",
                1,
            ),
            (
                "src/db/post.rs",
                "const A: &str = \"SELECT a FROM b WHERE ($12 IS NOT NULL)\";",
                1,
            ),
            ("src/db/find.sql", "SELECT a\nFROM b WHERE c = ?;", 2),
        ],
    );
    lets_pass(
        dialect,
        &[
            ("src/db/sqlite.rs", "const A: &str = \"SELECT typeof(a)\";"),
            (
                "src/db/post.rs",
                "const A: &str = \"SELECT a FROM b WHERE CAST($1 AS TEXT) IS NULL AND a = $2 AND c IS NULL\";",
            ),
            (
                "src/db/post.rs",
                "const A: &str = \"SELECT string_agg(a, ','), update(b) FROM c\";",
            ),
            (
                "src/cmd/find.rs",
                "fn f() { \"Which lot? See the global list.\" }",
            ),
            (
                "schema/0001_start.sql",
                "CREATE TABLE a (b CHECK (typeof(b) = 'integer'));",
            ),
        ],
    );
}
