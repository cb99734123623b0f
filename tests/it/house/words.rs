//! The words of the trade, and none of the words of other trades.

use super::report::{Fault, bites, keeps, lets_pass};
use super::source::File;
use super::tokens::{Kind, Token};

/// A word that is not said here, how it is matched, and what is said instead.
struct Unsaid {
    word: &'static str,
    matched: Matched,
    instead: &'static str,
}

#[derive(Clone, Copy, PartialEq)]
enum Matched {
    /// The word itself and its plural.
    Whole,
    /// Every word that starts so.
    Start,
    /// In prose only: in code the word has another meaning.
    Prose,
}

use Matched::{Prose, Start, Whole};

/// From the list of words agreed for the project (`SKU` in any case; two words stand for themselves).
const UNSAID: &[Unsaid] = &[
    Unsaid {
        word: "sku",
        matched: Whole,
        instead: "part",
    },
    Unsaid {
        word: "item",
        matched: Prose,
        instead: "part, lot or line",
    },
    Unsaid {
        word: "product",
        matched: Whole,
        instead: "part",
    },
    Unsaid {
        word: "location",
        matched: Whole,
        instead: "place or bin",
    },
    Unsaid {
        word: "allocat",
        matched: Start,
        instead: "reserve",
    },
    Unsaid {
        word: "consume",
        matched: Start,
        instead: "use",
    },
    Unsaid {
        word: "adjust",
        matched: Start,
        instead: "count, make or give",
    },
    Unsaid {
        word: "stock transaction",
        matched: Whole,
        instead: "posting",
    },
];

/// The keywords after which a name is ours to choose.
const NAMING: &[&str] = &[
    "fn", "struct", "enum", "trait", "type", "const", "static", "mod", "union",
];

fn said(files: &[File]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for file in files {
        if file.is_program() {
            for token in file
                .tokens
                .iter()
                .filter(|token| matches!(token.kind, Kind::Text | Kind::Doc))
            {
                prose(file, &token.text, token.line, &mut faults);
            }
            names(file, &mut faults);
        } else if file.path.starts_with("src/") || file.path == "README.md" {
            prose(file, &file.text, 1, &mut faults);
        }
    }
    faults
}

/// Reads prose that begins at a line; what stands in braces is a name of the code, filled in later.
fn prose(file: &File, text: &str, first_line: usize, faults: &mut Vec<Fault>) {
    for (number, line) in text.lines().enumerate() {
        let words = words(&outside_braces(line));
        for unsaid in UNSAID.iter().filter(|unsaid| unsaid.is_in(&words)) {
            faults.push(unsaid.fault(file, first_line + number));
        }
    }
}

/// Reads the names the file gives.
fn names(file: &File, faults: &mut Vec<Fault>) {
    for pair in file.tokens.windows(2) {
        if let [
            Token {
                kind: Kind::Name,
                text: key,
                ..
            },
            Token {
                kind: Kind::Name,
                text: name,
                line,
                ..
            },
        ] = pair
            && NAMING.contains(&key.as_str())
        {
            let words = words(&apart(name));
            for unsaid in UNSAID
                .iter()
                .filter(|unsaid| unsaid.matched != Prose && unsaid.is_in(&words))
            {
                faults.push(unsaid.fault(file, *line));
            }
        }
    }
}

impl Unsaid {
    fn is_in(&self, words: &[String]) -> bool {
        let wanted: Vec<&str> = self.word.split(' ').collect();
        words.windows(wanted.len()).any(|run| {
            run.iter()
                .zip(&wanted)
                .all(|(word, wanted)| self.fits(word, wanted))
        })
    }

    fn fits(&self, word: &str, wanted: &str) -> bool {
        match self.matched {
            Start => word.starts_with(wanted),
            Whole | Prose => word
                .strip_prefix(wanted)
                .is_some_and(|end| end.is_empty() || end == "s"),
        }
    }

    fn fault(&self, file: &File, line: usize) -> Fault {
        Fault::new(
            file,
            line,
            format!(
                "\"{}\" is not a word of this trade: say {}",
                self.word, self.instead
            ),
        )
    }
}

/// The words of a text in small letters; an underscore holds a word together.
fn words(text: &str) -> Vec<String> {
    let words = text
        .split(|c: char| !c.is_alphanumeric() && c != '_')
        .filter(|word| !word.is_empty());
    words.map(str::to_lowercase).collect()
}

fn outside_braces(line: &str) -> String {
    let mut depth = 0usize;
    let mut kept = String::new();
    for c in line.chars() {
        match c {
            '{' => depth += 1,
            '}' => depth = depth.saturating_sub(1),
            _ => kept.push(if depth == 0 { c } else { ' ' }),
        }
    }
    kept
}

/// A name in words: `StockPlace` and `stock_place` are both `stock place`.
fn apart(name: &str) -> String {
    let mut words = String::new();
    for c in name.chars() {
        if c.is_uppercase() && words.ends_with(char::is_lowercase) {
            words.push(' ');
        }
        words.push(if c == '_' { ' ' } else { c });
    }
    words
}

#[test]
fn only_words_of_the_trade_are_said() {
    keeps(said);
    bites(
        said,
        &[
            (
                "src/print/card.rs",
                "//! Doc.\nfn f() { \"the item is short\" }",
                2,
            ),
            ("src/print/card.rs", "//! Doc.\n/// Two items.\nfn f() {}", 2),
            ("src/print/card.rs", "fn f() { \"SKU\" }", 1),
            ("src/print/card.rs", "fn f() { \"line one\n  Products here\" }", 2),
            ("src/print/card.rs", "fn f() { \"a\\nlocation\" }", 1),
            ("src/print/card.rs", "/// Allocated to a job.\nfn f() {}", 1),
            ("src/print/card.rs", "#[error(\"{0} consumed\")] struct A;", 1),
            ("src/print/card.rs", "/** One.\nAdjustment. */ fn f() {}", 2),
            ("src/print/card.rs", "/// A stock transaction.\nfn f() {}", 1),
            ("src/print/card.rs", "fn allocate_lot() {}", 1),
            ("src/print/card.rs", "struct BinLocation;", 1),
            ("src/print/card.rs", "const SKU_LEN: usize = 1;", 1),
            ("src/print/paper/card.html", "<p>\nItem {{ qty }}</p>", 2),
            ("README.md", "# A\n\nEach product has a bin.", 3),
        ],
    );
    lets_pass(
        said,
        &[
            (
                "src/print/card.rs",
                "/// An itemised bill, reproduction, allotment.\nfn f() { for item in x { item.product() } }",
            ),
            (
                "src/print/card.rs",
                "fn f() { format!(\"{item} is short\") } impl I { type Item = u8; }",
            ),
            (
                "src/print/card.rs",
                "// Words of a plain comment are the writer's own: item.\nuse std::panic::Location;",
            ),
            ("tests/it/story.rs", "fn f() { \"item\" }"),
            ("DEVELOPERS.md", "Never: item."),
        ],
    );
}
