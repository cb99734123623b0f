//! Values to text, CSV and JSON: nothing is lost, cut or obeyed on the way.

mod escape;
mod look;
mod paper;
mod sheet;
mod table;
mod wire;

use bincard::domain::measure::{Currency, Day, Money, Qty};
use bincard::print::cell::Cell;
use bincard::print::look::Look;

/// A terminal of this width without colour.
fn terminal(width: usize) -> Look {
    Look {
        width,
        color: false,
        ascii: false,
        tty: true,
    }
}

fn qty(figure: &str, unit: &str) -> Cell {
    Cell::Qty(Qty::parse(figure).unwrap(), unit.to_owned())
}

fn pounds(figure: &str) -> Cell {
    Cell::Money(Money::parse(figure).unwrap(), Currency::parse("GBP").unwrap())
}

fn number(figure: &str) -> Cell {
    Cell::Number(figure.parse().unwrap())
}

fn alert(word: &str) -> Cell {
    Cell::Alert(word.to_owned())
}

fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

/// A text without its colour marks.
fn without_color(text: &str) -> String {
    let mut plain = String::new();
    for (nth, part) in text.split("\x1b[").enumerate() {
        plain.push_str(if nth == 0 {
            part
        } else {
            part.split_once('m').unwrap().1
        });
    }
    plain
}

/// Names a hostile hand might write, each with a mark no output may pass on.
const HOSTILE: &[&str] = &[
    "\x1b]0;pwn\x07",
    "a\u{9b}31mred",
    "two\r\nlines\tand\0more\x7f",
    "abc\u{202E}cba\u{2066}x\u{2069}",
    "zero\u{200B}width\u{FEFF}\u{2028}\u{2029}",
    "tag\u{E0041}\u{E007F}",
    "\u{61C}\u{AD}soft",
];

/// Asserts that a terminal finds nothing in the text to obey or to hide, our own line ends and tabs apart.
fn assert_harmless(text: &str) {
    for mark in text.chars() {
        let ours = mark == '\n' || mark == '\t';
        assert!(ours || !mark.is_control(), "control {mark:?} in {text:?}");
        let hidden = matches!(mark, '\u{AD}' | '\u{61C}' | '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}'
            | '\u{2060}'..='\u{206F}' | '\u{FEFF}' | '\u{E0000}'..='\u{E007F}');
        assert!(!hidden, "hidden mark {mark:?} in {text:?}");
    }
}
