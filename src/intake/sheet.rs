//! A file's text and where things stand in it, so that a row read long ago can still be pointed at.

use std::fmt;
use std::ops::Range;
use std::sync::Arc;

/// How many characters of a line are shown around a fault.
const SHOWN: usize = 100;
/// How many of these stand before the fault where the line is too long.
const SHOWN_BEFORE: usize = 60;

/// A row and where it stood: which file, and the line (from 1) on which the row begins.
#[derive(Clone, Debug)]
pub struct Placed<T> {
    /// The file's name, as it was given.
    pub file: Arc<str>,
    /// The line on which the row begins, from 1.
    pub line: u64,
    /// The row.
    pub row: T,
    /// Invariant: `record` is where a record of `sheet` begins.
    pub(super) sheet: Arc<Sheet>,
    pub(super) record: RecordAt,
}

/// Where a record begins.
#[derive(Clone, Copy, Debug)]
pub(super) struct RecordAt {
    /// How many bytes stand before it.
    pub byte: usize,
    /// Its line, from 1.
    pub line: u64,
}

/// A file's text after its byte order mark, and its headings in the order of the columns.
pub(super) struct Sheet {
    pub file: Arc<str>,
    pub text: Box<str>,
    pub headings: Vec<&'static str>,
}

impl fmt::Debug for Sheet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Sheet")
            .field("file", &self.file)
            .finish_non_exhaustive()
    }
}

/// Where a fault stands, and the piece of its line that is shown with a caret below.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Spot {
    pub line: u64,
    pub column: u64,
    pub excerpt: String,
    /// Characters of the excerpt before the caret.
    pub caret_from: usize,
    /// Characters under which the caret stands, at least one.
    pub caret_len: usize,
}

impl Sheet {
    /// A text whose headings are still to be read.
    pub fn new(file: &str, text: &str) -> Sheet {
        Sheet {
            file: Arc::from(file),
            text: Box::from(text),
            headings: Vec::new(),
        }
    }

    /// Where the cell under a heading stands in a record; the record's first cell if the file has no such heading.
    pub fn spot_under(&self, record: RecordAt, heading: &str) -> Spot {
        let index = self
            .headings
            .iter()
            .position(|known| *known == heading)
            .unwrap_or(0);
        self.spot(record, index)
    }

    /// Where the cell with this index stands in a record; the record's end if it has fewer cells.
    pub fn spot(&self, record: RecordAt, index: usize) -> Spot {
        let cell = cell_range(&self.text, record.byte, index);
        let before = self.text.get(record.byte..cell.start).unwrap_or("");
        self.spot_of(cell, record.line + line_ends(before))
    }

    /// Where a range of bytes stands, of which the line is known.
    pub fn spot_of(&self, range: Range<usize>, line: u64) -> Spot {
        let ahead = self.text.get(..range.start).unwrap_or("");
        let line_start = ahead.rfind(['\n', '\r']).map_or(0, |end| end + 1);
        let column = self
            .text
            .get(line_start..range.start)
            .map_or(0, |text| text.chars().count());
        let rest = self.text.get(line_start..).unwrap_or("");
        let length = self
            .text
            .get(range)
            .map_or(0, |cell| first_line(cell).take(SHOWN).count());
        let skipped = column.saturating_sub(SHOWN_BEFORE);
        let shown = first_line(rest).skip(skipped).take(SHOWN).map(printable);
        Spot {
            line,
            column: column as u64 + 1,
            excerpt: shown.collect(),
            caret_from: column - skipped,
            caret_len: length.clamp(1, SHOWN - SHOWN_BEFORE),
        }
    }
}

/// How many line ends (LF, CR LF or a lone CR) stand in a text.
pub(super) fn line_ends(text: &str) -> u64 {
    let bytes = text.as_bytes();
    let ends = bytes.iter().enumerate().filter(|(index, byte)| match byte {
        b'\n' => true,
        b'\r' => bytes.get(index + 1) != Some(&b'\n'),
        _ => false,
    });
    ends.count() as u64
}

/// A text without line ends that would break the paper and without characters that would move the caret.
pub(super) fn printable(letter: char) -> char {
    match letter {
        '\t' => ' ',
        '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}' => '?',
        other if other.is_control() => '?',
        other => other,
    }
}

/// Whether the last cell of the record that begins at `start` opens a quote and never closes it.
pub(super) fn ends_in_quotes(text: &str, start: usize) -> bool {
    let mut walk = Walk::new();
    text.as_bytes()
        .iter()
        .skip(start)
        .for_each(|byte| walk.step(*byte));
    walk.state == State::Quoted
}

/// The bytes of a record's cell, its quotes included; an empty range at the record's end if it has fewer cells.
pub(super) fn cell_range(text: &str, start: usize, index: usize) -> Range<usize> {
    let mut walk = Walk::new();
    let mut cell_start = start;
    let mut cells = 0;
    for (offset, byte) in text.as_bytes().iter().enumerate().skip(start) {
        walk.step(*byte);
        if walk.state == State::RecordEnd || (walk.state == State::CellStart && cells == index) {
            let found = cells == index;
            return if found { cell_start..offset } else { offset..offset };
        }
        if walk.state == State::CellStart {
            cells += 1;
            cell_start = offset + 1;
        }
    }
    let end = text.len();
    if cells == index {
        cell_start.min(end)..end
    } else {
        end..end
    }
}

/// Whether a record has more than so many cells or bytes; no more of it is looked at than it takes to know.
pub(super) fn is_too_large(text: &str, start: usize, cells_max: usize, bytes_max: usize) -> bool {
    let mut walk = Walk::new();
    let mut cells = 1;
    for (length, byte) in text.as_bytes().iter().skip(start).enumerate() {
        walk.step(*byte);
        match walk.state {
            State::RecordEnd => return false,
            State::CellStart => cells += 1,
            _ => {}
        }
        if cells > cells_max || length >= bytes_max {
            return true;
        }
    }
    false
}

/// How far a walk through a record's bytes has come; the grammar is RFC 4180's as the csv crate reads it:
/// a quote opens a quoted cell only as the cell's first byte, and a doubled quote inside one is a quote.
struct Walk {
    state: State,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum State {
    CellStart,
    Plain,
    Quoted,
    QuoteInQuoted,
    RecordEnd,
}

impl Walk {
    fn new() -> Walk {
        Walk {
            state: State::CellStart,
        }
    }

    fn step(&mut self, byte: u8) {
        self.state = match (self.state, byte) {
            (State::Quoted, b'"') => State::QuoteInQuoted,
            (State::Quoted, _) | (State::CellStart | State::QuoteInQuoted, b'"') => State::Quoted,
            (_, b',') => State::CellStart,
            (_, b'\n' | b'\r') => State::RecordEnd,
            _ => State::Plain,
        };
    }
}

/// The characters of a text up to its first line end.
fn first_line(text: &str) -> impl Iterator<Item = char> {
    text.chars().take_while(|letter| !matches!(letter, '\n' | '\r'))
}
