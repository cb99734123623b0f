//! What is pencilled on a paper: `LINE=…`, and options that belong to one line or to all.

use crate::cmd::error::Failure;

/// A word of the form `LINE=REST`; nothing where it bears no line number.
pub fn numbered(word: &str) -> Option<(i64, &str)> {
    let (line, rest) = word.split_once('=')?;
    let digits = !line.is_empty() && line.len() <= 6 && line.bytes().all(|byte| byte.is_ascii_digit());
    let line = if digits { line.parse().ok()? } else { return None };
    Some((line, rest))
}

/// Every word must answer a numbered line; each line once unless it may be answered for several lots.
pub fn answers<'a>(words: &'a [String], example: &str) -> Result<Vec<(i64, &'a str)>, Failure> {
    words
        .iter()
        .map(|word| {
            numbered(word).ok_or_else(|| {
                Failure::usage(
                    format!("{word} answers no line"),
                    format!("type the number on the paper and what was found: `{example}`"),
                )
            })
        })
        .collect()
}

/// What an option says of a line: `LINE=VALUE` speaks of that line, a bare value of every line.
pub fn said_of(options: &[String], line: i64) -> Vec<&str> {
    let of_line: Vec<&str> = options
        .iter()
        .filter_map(|option| numbered(option))
        .filter(|(of, _)| *of == line)
        .map(|(_, rest)| rest)
        .collect();
    if of_line.is_empty() {
        options
            .iter()
            .filter(|option| numbered(option).is_none())
            .map(String::as_str)
            .collect()
    } else {
        of_line
    }
}
