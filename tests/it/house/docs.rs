//! Everything public says what it is, and every file says what it is for.

use super::report::{Fault, bites, keeps, lets_pass};
use super::source::File;
use super::tokens::{Kind, Token};

/// What a public thing may be called by.
const THINGS: &[&str] = &[
    "fn", "struct", "enum", "trait", "type", "const", "static", "union",
];

/// Words that may stand between `pub` and the thing.
const BETWEEN: &[&str] = &["const", "async", "unsafe", "extern"];

/// A public thing has a doc comment. One for the crate alone (`pub(crate)`) need not; one whose name a macro is
/// given (`$name`) is left to the compiler's `missing_docs`, which sees it written out.
fn documented(files: &[File]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for file in files.iter().filter(|file| file.is_program()) {
        for (at, token) in file.tokens.iter().enumerate() {
            if token.is("pub")
                && !token.tested
                && !token.documented
                && let Some((thing, name)) = public(&file.tokens[at + 1..])
                && name != "$"
            {
                let what = format!("`{thing} {name}` is public and has no doc comment");
                faults.push(Fault::new(file, token.line, what));
            }
        }
    }
    faults
}

/// What stands after `pub`, and its name.
fn public(after: &[Token]) -> Option<(&str, &str)> {
    for (at, token) in after.iter().enumerate() {
        let next = after.get(at + 1).map(|next| next.text.as_str())?;
        if THINGS.iter().any(|thing| token.is(thing)) && !(token.is("const") && next == "fn") {
            let qualifies = token.is("const") && BETWEEN.contains(&next);
            if !qualifies {
                return Some((&token.text, next));
            }
        }
        let abi = token.kind == Kind::Text;
        if !abi && !BETWEEN.iter().any(|word| token.is(word)) {
            return None;
        }
    }
    None
}

/// A file starts with what it is for.
fn opened(files: &[File]) -> Vec<Fault> {
    let silent = files
        .iter()
        .filter(|file| file.is_program() && !says_something(&file.text));
    silent
        .map(|file| Fault::new(file, 1, "the file does not start with `//!` and what it is for"))
        .collect()
}

fn says_something(text: &str) -> bool {
    let first = text.lines().next().unwrap_or_default();
    first
        .strip_prefix("//!")
        .is_some_and(|said| !said.trim().is_empty())
}

#[test]
fn what_is_public_is_documented() {
    keeps(documented);
    bites(
        documented,
        &[
            ("src/db/post.rs", "//! Doc.\npub fn f() {}", 2),
            ("src/db/post.rs", "#[derive(Debug)]\npub struct A;", 2),
            ("src/db/post.rs", "// Not a doc comment.\npub enum A { B }", 2),
            ("src/db/post.rs", "pub trait A {}", 1),
            ("src/db/post.rs", "pub const A: u8 = 1;", 1),
            ("src/db/post.rs", "pub const fn f() {}", 1),
            (
                "src/db/post.rs",
                "/// A.\npub struct A;\nimpl A {\n pub fn f() {} }",
                4,
            ),
            ("src/db/post.rs", "/// A.\npub fn f() {}\npub fn g() {}", 3),
        ],
    );
    lets_pass(
        documented,
        &[
            (
                "src/db/post.rs",
                "/// A.\n#[derive(Debug)]\n#[must_use]\npub struct A { pub b: u8 }\npub mod c;\npub use d::E;",
            ),
            (
                "src/db/post.rs",
                "#[derive(Debug)]\n/// A.\npub const fn f() {}\npub(crate) fn g() {}\nfn h() {}",
            ),
            ("src/db/post.rs", "#[cfg(test)] mod tests { pub fn f() {} }"),
            (
                "src/db/post.rs",
                "macro_rules! id { ($(#[$doc:meta])* $name:ident) => { $(#[$doc])* pub struct $name; } }",
            ),
        ],
    );
}

#[test]
fn every_file_says_what_it_is_for() {
    keeps(opened);
    bites(
        opened,
        &[
            ("src/db/post.rs", "/// Doc.\nfn f() {}", 1),
            ("src/db/post.rs", "\n//! Doc.", 1),
            ("src/db/post.rs", "//!\n", 1),
            ("src/main.rs", "", 1),
        ],
    );
    lets_pass(
        opened,
        &[("src/db/post.rs", "//! Doc."), ("tests/it/story.rs", "fn f() {}")],
    );
}
