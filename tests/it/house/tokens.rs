//! Rust source cut into one flat row of tokens, each knowing its line and where it stands.

use proc_macro2::{Delimiter, Group, Literal, TokenStream, TokenTree};
use std::sync::Arc;

/// What a token is, as far as the rules care.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    Name,
    Sign,
    /// A string literal, without its quotes.
    Text,
    /// One doc comment line, or one block of them, without its slashes.
    Doc,
    /// A number, a byte or a character.
    Value,
    Open,
    Close,
}

/// One token of a file.
#[derive(Clone, Debug)]
pub struct Token {
    pub kind: Kind,
    /// As written, except that a string has lost its quotes and escapes; `::` and `!=` are one sign each.
    pub text: String,
    pub line: usize,
    /// Stands in something marked `#[cfg(test)]` or `#[test]`.
    pub tested: bool,
    /// A doc comment stands among the attributes before it.
    pub documented: bool,
    /// The modules around it inside its file, outermost first.
    pub inside: Arc<Vec<String>>,
}

impl Token {
    /// Whether it is this name, sign or bracket.
    pub fn is(&self, text: &str) -> bool {
        matches!(self.kind, Kind::Name | Kind::Sign | Kind::Open | Kind::Close) && self.text == text
    }
}

/// What one file was cut into.
#[derive(Default)]
pub struct Cut {
    pub tokens: Vec<Token>,
    /// Modules of other files which the file declares for tests only (`#[cfg(test)] mod tests;`).
    pub test_modules: Vec<Vec<String>>,
}

/// Cuts Rust source into tokens; the error names the line at which it stops being Rust.
pub fn cut(text: &str) -> Result<Cut, (usize, String)> {
    let stream: TokenStream = text
        .parse()
        .map_err(|error: proc_macro2::LexError| (error.span().start().line, error.to_string()))?;
    let mut cut = Cut::default();
    cut.level(stream, false, &Arc::default());
    Ok(cut)
}

/// What the attributes read so far say of the thing they stand before.
#[derive(Default)]
struct Marks {
    tested: bool,
    documented: bool,
}

impl Cut {
    /// Lays out the tokens between one pair of brackets.
    fn level(&mut self, stream: TokenStream, mut tested: bool, inside: &Arc<Vec<String>>) {
        let trees: Vec<TokenTree> = stream.into_iter().collect();
        let mut marks = Marks::default();
        let mut at = 0;
        while let Some(tree) = trees.get(at) {
            if let Some((attribute, length, inner)) = attribute(&trees[at..]) {
                if let Some(doc) = doc_comment(attribute) {
                    let line = attribute.span().start().line;
                    self.push(
                        Kind::Doc,
                        unquote(&doc.to_string(), '\n'),
                        line,
                        tested || marks.tested,
                        inside,
                    );
                    marks.documented |= !inner;
                    at += length;
                    continue;
                }
                marks.documented |= !inner && starts_with_name(attribute, "doc");
                marks.tested |= !inner && is_test(attribute);
                tested |= inner && is_test(attribute);
            }
            let here = tested || marks.tested;
            match tree {
                TokenTree::Group(group) => {
                    let name = module_name(&trees[..at]).filter(|_| group.delimiter() == Delimiter::Brace);
                    self.group(group, here, &deeper(inside, name));
                }
                TokenTree::Ident(name) => {
                    let text = name.to_string();
                    let line = name.span().start().line;
                    self.push(
                        Kind::Name,
                        text.trim_start_matches("r#").into(),
                        line,
                        here,
                        inside,
                    );
                    self.mark_documented(marks.documented);
                }
                TokenTree::Literal(literal) => self.literal(literal, here, inside),
                TokenTree::Punct(sign) => {
                    let mark = sign.as_char();
                    self.sign(mark, sign.span().start().line, here, inside);
                    if mark == ';' {
                        self.note_test_module(&trees[..at], here, inside);
                    }
                }
            }
            if ends_item(tree) {
                marks = Marks::default();
            }
            at += 1;
        }
    }

    fn group(&mut self, group: &Group, tested: bool, inside: &Arc<Vec<String>>) {
        let (open, close) = match group.delimiter() {
            Delimiter::Parenthesis => ("(", ")"),
            Delimiter::Brace => ("{", "}"),
            Delimiter::Bracket => ("[", "]"),
            Delimiter::None => return self.level(group.stream(), tested, inside),
        };
        self.push(
            Kind::Open,
            open.into(),
            group.span_open().start().line,
            tested,
            inside,
        );
        self.level(group.stream(), tested, inside);
        self.push(
            Kind::Close,
            close.into(),
            group.span_close().start().line,
            tested,
            inside,
        );
    }

    fn literal(&mut self, literal: &Literal, tested: bool, inside: &Arc<Vec<String>>) {
        let text = literal.to_string();
        let line = literal.span().start().line;
        if text.ends_with(['"', '#']) {
            self.push(Kind::Text, unquote(&text, ' '), line, tested, inside);
        } else {
            self.push(Kind::Value, text, line, tested, inside);
        }
    }

    fn sign(&mut self, mark: char, line: usize, tested: bool, inside: &Arc<Vec<String>>) {
        let joins = |before: &str| matches!((before, mark), (":", ':') | ("!", '='));
        match self.tokens.last_mut() {
            Some(before) if before.kind == Kind::Sign && joins(&before.text) => before.text.push(mark),
            _ => self.push(Kind::Sign, mark.into(), line, tested, inside),
        }
    }

    fn push(&mut self, kind: Kind, text: String, line: usize, tested: bool, inside: &Arc<Vec<String>>) {
        self.tokens.push(Token {
            kind,
            text,
            line,
            tested,
            documented: false,
            inside: Arc::clone(inside),
        });
    }

    fn mark_documented(&mut self, documented: bool) {
        if let Some(token) = self.tokens.last_mut() {
            token.documented = documented;
        }
    }

    fn note_test_module(&mut self, before: &[TokenTree], tested: bool, inside: &Arc<Vec<String>>) {
        if let Some(name) = module_name(before).filter(|_| tested) {
            self.test_modules.push(deeper(inside, Some(name)).to_vec());
        }
    }
}

/// The attribute that starts here, how many tokens it takes, and whether it is an inner one (`#![…]`).
fn attribute(trees: &[TokenTree]) -> Option<(&Group, usize, bool)> {
    match trees {
        [TokenTree::Punct(hash), TokenTree::Group(group), ..] if hash.as_char() == '#' => {
            Some((group, 2, false))
        }
        [
            TokenTree::Punct(hash),
            TokenTree::Punct(bang),
            TokenTree::Group(group),
            ..,
        ] if hash.as_char() == '#' && bang.as_char() == '!' => Some((group, 3, true)),
        _ => None,
    }
}

/// The literal of `doc = "…"`, which is also what a doc comment is to the parser.
fn doc_comment(attribute: &Group) -> Option<Literal> {
    let trees: Vec<TokenTree> = attribute.stream().into_iter().collect();
    match trees.as_slice() {
        [
            TokenTree::Ident(name),
            TokenTree::Punct(_),
            TokenTree::Literal(literal),
        ] if *name == "doc" => Some(literal.clone()),
        _ => None,
    }
}

fn starts_with_name(attribute: &Group, wanted: &str) -> bool {
    matches!(attribute.stream().into_iter().next(), Some(TokenTree::Ident(name)) if name == wanted)
}

/// Whether it is `test`, `cfg(test)` or a `cfg` that asks for tests among other things.
fn is_test(attribute: &Group) -> bool {
    let trees: Vec<TokenTree> = attribute.stream().into_iter().collect();
    match trees.as_slice() {
        [TokenTree::Ident(name)] => *name == "test",
        [TokenTree::Ident(name), TokenTree::Group(asked)] if *name == "cfg" => {
            let words = asked.stream().to_string();
            let mut words = words.split(|c: char| !c.is_alphanumeric() && c != '_');
            words.clone().any(|word| word == "test") && !words.any(|word| word == "not" || word == "any")
        }
        _ => false,
    }
}

/// The name, where these tokens end in `mod name`.
fn module_name(before: &[TokenTree]) -> Option<String> {
    match before {
        [.., TokenTree::Ident(key), TokenTree::Ident(name)] if *key == "mod" => Some(name.to_string()),
        _ => None,
    }
}

/// The modules around a thing, with one more if a name is given.
fn deeper(inside: &Arc<Vec<String>>, name: Option<String>) -> Arc<Vec<String>> {
    match name {
        Some(name) => Arc::new(inside.iter().cloned().chain([name]).collect()),
        None => Arc::clone(inside),
    }
}

/// What attributes mark ends at a semicolon or a closing brace.
fn ends_item(tree: &TokenTree) -> bool {
    match tree {
        TokenTree::Group(group) => group.delimiter() == Delimiter::Brace,
        TokenTree::Punct(sign) => sign.as_char() == ';',
        _ => false,
    }
}

/// A string literal without prefix, quotes and escapes. An escaped control character becomes a blank, so that the
/// words on its two sides stay apart, and an escaped line end what is given: a line end for a doc comment, where it
/// is one in the source, so that lines can be counted.
fn unquote(written: &str, line_end: char) -> String {
    let raw = written
        .split('"')
        .next()
        .is_some_and(|prefix| prefix.contains('r'));
    let start = written.find('"').map_or(0, |quote| quote + 1);
    let end = written.rfind('"').unwrap_or(written.len()).max(start);
    let body = &written[start..end];
    if raw {
        return body.into();
    }
    let mut text = String::with_capacity(body.len());
    let mut escaped = false;
    for c in body.chars() {
        if c == '\\' && !escaped {
            escaped = true;
            continue;
        }
        text.push(match c {
            'n' if escaped => line_end,
            'r' | 't' | '0' if escaped => ' ',
            _ => c,
        });
        escaped = false;
    }
    text
}

#[test]
fn strings_lose_quotes_and_escapes() {
    let cases = [
        (r#""plain""#, "plain"),
        (r#""two\nwords""#, "two words"),
        (r#""a \"b\" \\ c""#, r#"a "b" \ c"#),
        (r##"r#"raw \n "x" "#"##, r#"raw \n "x" "#),
        ("\"one\\\n  two\"", "one\n  two"),
        (r#"b"bytes""#, "bytes"),
    ];
    for (written, read) in cases {
        assert_eq!(unquote(written, ' '), read, "{written}");
    }
}

#[test]
fn tests_are_told_from_the_program() {
    // Each case: a piece of source, and whether its name `here` stands in a test.
    let cases = [
        ("fn f() { here }", false),
        ("#[cfg(test)] mod tests { fn f() { here } }", true),
        ("#[cfg(test)] mod tests { } fn f() { here }", false),
        ("#[cfg(test)] mod tests; fn f() { here }", false),
        ("#[test] fn f() { here }", true),
        ("#[cfg(all(test, unix))] fn f<A, B>(a: A, b: B) { here }", true),
        ("#[cfg(not(test))] fn f() { here }", false),
        ("#[cfg(any(test, unix))] fn f() { here }", false),
        ("#![cfg(test)] fn f() { here }", true),
        ("#[cfg(test)] use a::{b}; fn f() { here }", false),
    ];
    for (text, tested) in cases {
        let cut = cut(text).unwrap();
        let here = cut.tokens.iter().find(|token| token.is("here")).unwrap();
        assert_eq!(here.tested, tested, "{text}");
    }
}

#[test]
fn tokens_know_line_modules_and_kind() {
    let cut = cut(
        "//! Top.\n\nmod a {\n    mod b {\n        /// Doc.\n        pub fn f() -> f64 { 1.5 }\n    }\n}",
    )
    .unwrap();
    let find = |text: &str| cut.tokens.iter().find(|token| token.text == text).unwrap();
    assert_eq!((find(" Top.").kind, find(" Top.").line), (Kind::Doc, 1));
    assert_eq!((find(" Doc.").kind, find(" Doc.").line), (Kind::Doc, 5));
    assert_eq!(
        (find("f64").line, find("f64").inside.join("::")),
        (6, "a::b".into())
    );
    assert_eq!(find("1.5").kind, Kind::Value);
    assert!(find("pub").documented);
    assert!(
        !find("mod").documented,
        "a module's own doc is not the doc of what it holds"
    );
}
