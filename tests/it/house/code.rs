//! What may not stand in the code: floats in stock and money, ways to fall over, silenced lints, skipped tests.

use super::report::{Fault, bites, keeps, lets_pass};
use super::source::File;
use super::tokens::{Kind, Token};

/// Where quantity and money live; floats are for estimating and forecasts.
const EXACT: &[&str] = &[
    "src/domain/stores/",
    "src/domain/kitting/",
    "src/domain/measure/",
    "src/db/",
];

/// No float in stock or money: a binary fraction is not the figure on the bin card.
fn exact(files: &[File]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for file in files
        .iter()
        .filter(|file| EXACT.iter().any(|folder| file.path.starts_with(folder)))
    {
        for (at, token) in file.tokens.iter().enumerate() {
            let named =
                token.kind == Kind::Name && ["f32", "f64"].iter().any(|float| token.text.ends_with(float));
            if named || is_float_literal(&file.tokens, at) {
                let what = format!(
                    "`{}`: no float in stock or money, they are counted in millionths",
                    token.text
                );
                faults.push(Fault::new(file, token.line, what));
            }
        }
    }
    faults
}

/// Whether a number has a fraction, is not two tuple fields (`pair.0.1`) and is not written as a decimal.
fn is_float_literal(tokens: &[Token], at: usize) -> bool {
    let token = &tokens[at];
    let number = token.kind == Kind::Value && token.text.starts_with(|c: char| c.is_ascii_digit());
    let hex = token.text.starts_with("0x");
    let fraction = token.text.contains('.') || token.text.contains("f64") || token.text.contains("f32");
    let power = token.text.trim_end_matches("size").contains(['e', 'E']);
    let before = |back: usize, text: &str| at >= back && tokens[at - back].is(text);
    let decimal =
        (before(3, "dec") && before(2, "!")) || (before(4, "dec") && before(3, "!") && before(1, "-"));
    number && !hex && (fraction || power) && !before(1, ".") && !decimal
}

const FALLING_METHODS: &[&str] = &["unwrap", "expect", "unwrap_err", "expect_err"];
const FALLING_MACROS: &[&str] = &["panic", "todo", "unimplemented", "unreachable", "dbg"];

/// Nothing in the program falls over on purpose; a test may.
fn standing(files: &[File]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for file in files.iter().filter(|file| file.is_program()) {
        for (at, token) in file.tokens.iter().enumerate().filter(|(_, token)| !token.tested) {
            let before = at.checked_sub(1).and_then(|before| file.tokens.get(before));
            let called = before.is_some_and(|before| before.is(".") || before.is("::"));
            let bang = file.tokens.get(at + 1).is_some_and(|after| after.is("!"));
            let falls = (called && FALLING_METHODS.iter().any(|name| token.is(name)))
                || (bang && FALLING_MACROS.iter().any(|name| token.is(name)));
            if falls {
                let what = format!(
                    "`{}` falls over; say what is wrong in a Refusal or an Error",
                    token.text
                );
                faults.push(Fault::new(file, token.line, what));
            }
        }
    }
    faults
}

/// The attribute that starts at a token: its name, and what it is given.
fn attributes(tokens: &[Token]) -> impl Iterator<Item = (&Token, &[Token])> {
    tokens
        .iter()
        .enumerate()
        .filter(|(_, token)| token.is("#"))
        .filter_map(|(at, _)| {
            let inner = usize::from(tokens.get(at + 1)?.is("!"));
            let rest = tokens.get(at + 1 + inner..)?;
            let end = closing(rest)?;
            Some((rest.get(1)?, rest.get(2..end).unwrap_or_default()))
        })
}

/// Where the square bracket that opens these tokens is closed.
fn closing(tokens: &[Token]) -> Option<usize> {
    let mut depth = 0usize;
    for (at, token) in tokens.iter().enumerate() {
        match token.text.as_str() {
            "[" if token.kind == Kind::Open => depth += 1,
            "]" if token.kind == Kind::Close => depth = depth.checked_sub(1)?,
            _ => {}
        }
        if depth == 0 {
            return (at > 0).then_some(at);
        }
    }
    None
}

/// A silenced lint says why, in a comment on the line before or as its `reason`.
fn reasons(files: &[File]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for file in files.iter().filter(|file| file.is_program()) {
        for (name, given) in attributes(&file.tokens) {
            let silences = ["allow", "expect"].iter().any(|key| name.is(key))
                || (name.is("cfg_attr") && given.iter().any(|token| token.is("allow") || token.is("expect")));
            let before = name
                .line
                .checked_sub(2)
                .and_then(|line| file.text.lines().nth(line))
                .unwrap_or_default();
            let explained = is_plain_comment(before);
            if silences && !explained && !given.iter().any(|token| token.is("reason")) {
                let what = format!(
                    "`{}` silences a lint and does not say why on the line before",
                    name.text
                );
                faults.push(Fault::new(file, name.line, what));
            }
        }
    }
    faults
}

/// A doc comment says what a thing is, not why a lint is wrong about it.
fn is_plain_comment(line: &str) -> bool {
    let said = line.trim_start().strip_prefix("//");
    said.is_some_and(|said| !said.starts_with(['/', '!']) && !said.trim().is_empty())
}

/// No test is skipped: one that fails is mended, one that is of no use goes.
fn run(files: &[File]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for file in files {
        for (name, given) in attributes(&file.tokens) {
            let nested = name.is("cfg_attr") && given.iter().any(|token| token.is("ignore"));
            if name.is("ignore") || nested {
                faults.push(Fault::new(
                    file,
                    name.line,
                    "a skipped test tells nothing: mend it or take it out",
                ));
            }
        }
    }
    faults
}

#[test]
fn stock_and_money_know_no_floats() {
    keeps(exact);
    bites(
        exact,
        &[
            ("src/domain/stores/lot.rs", "//! Doc.\nfn f(a: f64) {}", 2),
            ("src/domain/kitting/bill.rs", "fn f() {\n let a = 1.5; }", 2),
            ("src/domain/measure/qty.rs", "fn f(q: Qty) { q.to_f64() }", 1),
            ("src/domain/measure/qty.rs", "fn f(q: (i64, i64)) { 2f32 }", 1),
            ("src/db/post.rs", "fn f() { 1e6 }", 1),
            ("src/db/row.rs", "#[cfg(test)] mod tests { fn f() { 0.1 } }", 1),
        ],
    );
    lets_pass(
        exact,
        &[
            (
                "src/domain/stores/lot.rs",
                "//! Not f64, not 1.5.\nfn f(a: ((i64, i64), i64)) { a.0.1; 0x1e; 1_000; 5usize; 0..2 }",
            ),
            (
                "src/domain/measure/qty.rs",
                "fn f() { dec!(1.5); dec!(-1.5); \"1.5 f64\" }",
            ),
            ("src/domain/estimating/sums.rs", "fn f() -> f64 { 3.5 }"),
        ],
    );
}

#[test]
fn the_program_does_not_fall_over() {
    keeps(standing);
    bites(
        standing,
        &[
            ("src/db/post.rs", "fn f() {\n x.unwrap()\n}", 2),
            ("src/db/post.rs", "fn f() { x.expect(\"a\") }", 1),
            ("src/db/post.rs", "fn f() { x.map(Option::unwrap) }", 1),
            ("src/db/post.rs", "fn f() { panic!(\"a\") }", 1),
            ("src/db/post.rs", "fn f() { todo!() }", 1),
            ("src/db/post.rs", "fn f() { unimplemented!() }", 1),
            ("src/db/post.rs", "fn f() { std::unreachable!() }", 1),
            ("src/db/post.rs", "fn f() { dbg!(x) }", 1),
            ("src/db/post.rs", "#[cfg(not(test))] fn f() { x.unwrap() }", 1),
            (
                "src/db/post.rs",
                "#[cfg(test)] mod tests {}\nfn f() { x.unwrap() }",
                2,
            ),
        ],
    );
    lets_pass(
        standing,
        &[
            (
                "src/db/post.rs",
                "#[cfg(test)] mod tests { #[test] fn f() { x.unwrap(); panic!() } }",
            ),
            (
                "src/db/post.rs",
                "// x.unwrap()\nfn f() { x.unwrap_or(1); x.unwrap_or_default(); panic != todo; \"panic!\" }",
            ),
            ("tests/it/story.rs", "fn f() { x.unwrap() }"),
        ],
    );
}

#[test]
fn a_silenced_lint_says_why() {
    keeps(reasons);
    bites(
        reasons,
        &[
            (
                "src/db/post.rs",
                "\n#[allow(clippy::too_many_lines)]\nfn f() {}",
                2,
            ),
            ("src/db/post.rs", "#![allow(dead_code)]", 1),
            ("src/db/post.rs", "//! Doc.\n#![allow(dead_code)]", 2),
            ("src/db/post.rs", "//\n#[allow(dead_code)]\nfn f() {}", 2),
            ("src/db/post.rs", "#[expect(dead_code)]\nfn f() {}", 1),
            (
                "src/db/post.rs",
                "/// What it does.\n#[allow(dead_code)]\nfn f() {}",
                2,
            ),
            (
                "src/db/post.rs",
                "#[cfg_attr(test, allow(dead_code))]\nfn f() {}",
                1,
            ),
        ],
    );
    lets_pass(
        reasons,
        &[
            (
                "src/db/post.rs",
                "// The clock of the whole program.\n#[allow(clippy::disallowed_methods)]\nfn f() {}",
            ),
            (
                "src/db/post.rs",
                "#[expect(dead_code, reason = \"the clock\")]\nfn f() {}",
            ),
            (
                "src/db/post.rs",
                "#[derive(Debug)]\nstruct A([u8; 2]);\nfn allow(a: &[u8]) {}",
            ),
        ],
    );
}

#[test]
fn no_test_is_skipped() {
    keeps(run);
    bites(
        run,
        &[
            ("tests/it/story.rs", "#[test]\n#[ignore]\nfn f() {}", 2),
            ("tests/it/story.rs", "#[test]\n#[ignore = \"slow\"]\nfn f() {}", 2),
            (
                "src/db/post.rs",
                "#[cfg_attr(debug_assertions, ignore)]\nfn f() {}",
                1,
            ),
        ],
    );
    lets_pass(run, &[("tests/it/story.rs", "fn ignore() { \"#[ignore]\" }")]);
}
