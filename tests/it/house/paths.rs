//! The paths a file names (`crate::db::post`, `std::fs`), with `use` trees written out one by one.

use super::source::File;
use super::tokens::{Kind, Token};

/// One path as the source names it.
pub struct Named {
    pub segments: Vec<String>,
    pub line: usize,
    /// Stands in a `use`, where even a single name is a path.
    pub imported: bool,
    /// Is given another name (`use crate as root`).
    pub renamed: bool,
    /// The path from the crate, if it is one of the crate's own: `crate`, then modules.
    pub own: Option<Vec<String>>,
}

impl Named {
    /// Whether it starts with these segments, and so names that library or something inside it.
    pub fn is_of(&self, library: &str) -> bool {
        let wanted: Vec<&str> = library.split("::").collect();
        let more = self.segments.len() > 1 || self.imported;
        more && wanted.len() <= self.segments.len() && self.segments.iter().zip(wanted).all(|(a, b)| a == b)
    }
}

/// Keywords after which a path may begin with `::`, and which are none themselves.
const BEFORE_A_PATH: &[&str] = &[
    "use", "as", "dyn", "else", "for", "if", "impl", "in", "match", "move", "mut", "return", "where", "while",
];

/// Every path the file names, in order.
pub fn paths(file: &File) -> Vec<Named> {
    let mut reader = Reader {
        tokens: &file.tokens,
        at: 0,
        found: Vec::new(),
    };
    while let Some(token) = reader.tokens.get(reader.at) {
        if token.kind == Kind::Name && !BEFORE_A_PATH.iter().any(|word| token.is(word)) {
            let imported = follows_use(&reader.tokens[..reader.at]);
            reader.path(Vec::new(), imported);
        } else {
            reader.at += 1;
        }
    }
    let mut found = reader.found;
    for (named, inside) in &mut found {
        named.own = own(&named.segments, &file.modules, inside);
    }
    found.into_iter().map(|(named, _)| named).collect()
}

fn follows_use(before: &[Token]) -> bool {
    let mut before = before.iter().rev().skip_while(|token| token.is("::"));
    before.next().is_some_and(|token| token.is("use"))
}

/// The path from the crate's root, where it is the crate's own.
fn own(segments: &[String], file: &[String], inside: &[String]) -> Option<Vec<String>> {
    let mut here: Vec<String> = [file, inside].concat();
    let first = segments.first()?;
    let climbs = segments.iter().take_while(|segment| *segment == "super").count();
    let skipped = match first.as_str() {
        "crate" | "bincard" => {
            here.clear();
            1
        }
        "self" => 1,
        "super" => {
            here.truncate(here.len().saturating_sub(climbs));
            climbs
        }
        _ => return None,
    };
    let rest = segments[skipped..]
        .iter()
        .filter(|segment| *segment != "self")
        .cloned();
    Some(["crate".to_owned()].into_iter().chain(here).chain(rest).collect())
}

/// Walks the tokens; what it found goes with the modules around it.
struct Reader<'a> {
    tokens: &'a [Token],
    at: usize,
    found: Vec<(Named, Vec<String>)>,
}

impl Reader<'_> {
    /// Reads one path, or every branch of one, that begins at a name or a star.
    fn path(&mut self, mut segments: Vec<String>, imported: bool) {
        let start = &self.tokens[self.at];
        loop {
            segments.push(self.tokens[self.at].text.clone());
            self.at += 1;
            if !self.here_is("::") {
                break;
            }
            match self.tokens.get(self.at + 1) {
                Some(next) if next.kind == Kind::Name || next.is("*") => self.at += 1,
                Some(next) if next.is("{") && imported => {
                    self.at += 2;
                    return self.branches(&segments);
                }
                _ => break,
            }
        }
        let renamed = self.here_is("as") && imported;
        let named = Named {
            segments,
            line: start.line,
            imported,
            renamed,
            own: None,
        };
        self.found.push((named, start.inside.to_vec()));
    }

    /// Reads what stands between the braces of a `use` tree, and the closing brace.
    fn branches(&mut self, trunk: &[String]) {
        while let Some(token) = self.tokens.get(self.at) {
            if token.is("}") {
                self.at += 1;
                return;
            }
            if token.is("as") {
                self.at += 2;
            } else if token.kind == Kind::Name || token.is("*") {
                self.path(trunk.to_vec(), true);
            } else {
                self.at += 1;
            }
        }
    }

    fn here_is(&self, text: &str) -> bool {
        self.tokens.get(self.at).is_some_and(|token| token.is(text))
    }
}

#[test]
fn use_trees_are_written_out() {
    let cases = [
        (
            "use std::{fs, io::{self, Read as R}, path::*};",
            "std::fs std::io::self std::io::Read std::path::*",
        ),
        ("use ::serde;", "serde"),
        ("fn f() { return ::std::fs::read(x) }", "std::fs::read"),
        ("fn f() { std::env::var(x); x.fs::<u8>() }", "std::env::var"),
        ("use crate::{db, self as root};", "crate::db crate::self"),
        ("fn f() { if a::B { c } }", "a::B"),
    ];
    for (text, wanted) in cases {
        let files = super::report::pieces(&[("src/db/post.rs", text)]);
        let found = paths(&files[0])
            .into_iter()
            .filter(|named| named.imported || named.segments.len() > 1);
        let found: Vec<String> = found.map(|named| named.segments.join("::")).collect();
        assert_eq!(found.join(" "), wanted, "{text}");
    }
}

#[test]
fn paths_of_the_crate_are_led_back_to_its_root() {
    let cases = [
        ("use crate::db::post;", "crate::db::post"),
        ("use bincard::cmd;", "crate::cmd"),
        ("use super::super::print;", "crate::print"),
        ("use self::rows;", "crate::db::post::rows"),
        ("mod tests { use super::*; }", "crate::db::post::*"),
        ("mod tests { use super::super::super::cmd; }", "crate::cmd"),
        ("use crate::{self as root};", "crate"),
        ("use jiff::civil;", ""),
    ];
    for (text, wanted) in cases {
        let files = super::report::pieces(&[("src/db/post.rs", text)]);
        let own = paths(&files[0])
            .into_iter()
            .find_map(|named| named.own)
            .unwrap_or_default();
        assert_eq!(own.join("::"), wanted, "{text}");
    }
}
