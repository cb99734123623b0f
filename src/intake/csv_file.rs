//! A CSV file as bytes: is it text, is it separated by commas, has it the headings it must have.

use crate::domain::measure::near::nearest;
use std::ops::Range;

use csv::StringRecord;

use super::fault::{Fault, Faults};
use super::sheet::{RecordAt, Sheet, Spot, ends_in_quotes, is_too_large, line_ends};

/// The largest file that is read, in bytes (256 MiB).
pub const MOST_BYTES: usize = 256 << 20;
/// The largest number of columns.
const MOST_COLUMNS: usize = 200;
/// The largest cell, in bytes (64 KiB).
pub(super) const MOST_CELL_BYTES: usize = 64 << 10;
/// The largest number of rows below the headings.
const MOST_ROWS: usize = 1_000_000;

const SAVE_AS_UTF8: &str = "save it as \"CSV UTF-8 (comma separated)\"";

/// A file's name and what stands in it.
#[derive(Clone, Debug)]
pub struct SourceFile {
    /// Its name, with or without folders; the stem says what its rows are.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

impl SourceFile {
    /// The file's text without its byte order mark, or why it is not text.
    pub(super) fn sheet(&self) -> Result<Sheet, Box<Fault>> {
        let whole = |reason: String, hint: &str| Err(Box::new(Fault::of_file(&self.name, reason, hint)));
        if self.bytes.len() > MOST_BYTES {
            let mebibytes = self.bytes.len() >> 20;
            return whole(
                format!("has {mebibytes} MiB, more than 256"),
                "split it, the headings on top of each piece",
            );
        }
        if self.bytes.starts_with(&[0xff, 0xfe]) || self.bytes.starts_with(&[0xfe, 0xff]) {
            return whole("is UTF-16, not UTF-8".to_owned(), SAVE_AS_UTF8);
        }
        let bytes = self.bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&self.bytes);
        let ahead_of_nul = bytes
            .iter()
            .position(|byte| *byte == 0)
            .and_then(|nul| bytes.get(..nul));
        match (std::str::from_utf8(bytes), ahead_of_nul.map(std::str::from_utf8)) {
            (_, Some(Ok(ahead))) => Err(Box::new(self.has_nul(ahead))),
            (Err(stop), _) => Err(Box::new(self.not_utf8(bytes, stop.valid_up_to()))),
            (Ok(text), _) if text.trim().is_empty() => {
                whole("is empty".to_owned(), "the first line must hold the headings")
            }
            (Ok(text), _) => Ok(Sheet::new(&self.name, text)),
        }
    }

    fn has_nul(&self, ahead: &str) -> Fault {
        let hint = format!("a NUL is no text; {SAVE_AS_UTF8}");
        // Every other byte of UTF-16 is a NUL where the letters are Latin ones.
        let reason = match self.bytes.as_slice() {
            [0, second, ..] if *second != 0 => "holds a NUL character: it looks like UTF-16, big-endian",
            [first, 0, third, 0, ..] if *first != 0 && *third != 0 => {
                "holds a NUL character: it looks like UTF-16, little-endian"
            }
            _ => "holds a NUL character",
        };
        Fault::on(&self.name, self.spot_after(ahead), reason, hint)
    }

    fn not_utf8(&self, bytes: &[u8], valid: usize) -> Fault {
        let good = bytes
            .get(..valid)
            .and_then(|good| std::str::from_utf8(good).ok())
            .unwrap_or("");
        let bad = bytes.get(valid).copied().unwrap_or(0);
        // ISO 8859-1, which Windows-1252 follows from A0 on, numbers its letters as Unicode does.
        let guess = match bad {
            0xa0.. => format!(": it would be {} in Windows-1252", char::from(bad)),
            0x80..0xa0 => ": it looks like Windows-1252".to_owned(),
            _ => String::new(),
        };
        let reason = format!("the byte {bad:02X} is not UTF-8 text{guess}");
        Fault::on(&self.name, self.spot_after(good), reason, SAVE_AS_UTF8)
    }

    /// Where the first character stands that could not be read.
    fn spot_after(&self, good: &str) -> Spot {
        let sheet = Sheet::new(&self.name, &format!("{good}\u{fffd}"));
        sheet.spot_of(good.len()..sheet.text.len(), line_ends(good) + 1)
    }
}

/// Walks through the records of a sheet and says where each begins.
pub(super) struct Records<'a> {
    sheet: &'a Sheet,
    reader: csv::Reader<&'a [u8]>,
    at: RecordAt,
    rows: usize,
}

/// What `Records::next_into` met.
pub(super) enum Met {
    /// A record, and where it begins.
    Record(RecordAt),
    /// The end, or something that makes reading on useless.
    End(Option<Fault>),
}

impl<'a> Records<'a> {
    /// The records of a sheet, the headings first.
    pub fn of(sheet: &'a Sheet) -> Records<'a> {
        let reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .from_reader(sheet.text.as_bytes());
        Records {
            sheet,
            reader,
            at: RecordAt { byte: 0, line: 1 },
            rows: 0,
        }
    }

    /// Reads the next record; one with too many columns is not even taken into memory.
    pub fn next_into(&mut self, record: &mut StringRecord) -> Met {
        self.advance();
        if is_too_large(
            &self.sheet.text,
            self.at.byte,
            MOST_COLUMNS,
            MOST_COLUMNS * MOST_CELL_BYTES,
        ) {
            let reason = format!("has more than {MOST_COLUMNS} columns, or more than 64 KiB for each");
            return self.stop(
                MOST_COLUMNS,
                reason,
                "is this file separated by commas, one record a line?",
            );
        }
        match self.reader.read_record(record) {
            Ok(true) => self.rows += 1,
            Ok(false) => return Met::End(None),
            Err(fault) => return self.stop(0, fault.to_string(), ""),
        }
        if self.has_open_quote() {
            let reason = "a quote mark is opened and never closed";
            let last = record.len().saturating_sub(1);
            return self.stop(last, reason, "close it; a quote mark inside a text is doubled");
        }
        if self.rows > MOST_ROWS + 1 {
            return self.stop(0, "is past 1000000 rows", "split the file");
        }
        Met::Record(self.at)
    }

    fn stop(&self, cell: usize, reason: impl Into<String>, hint: &str) -> Met {
        Met::End(Some(Fault::on(
            &self.sheet.file,
            self.sheet.spot(self.at, cell),
            reason,
            hint,
        )))
    }

    /// Moves on to where the next record begins; blank lines before it are not part of it.
    fn advance(&mut self) {
        let from = self.bytes_read();
        let rest = self.sheet.text.get(from..).unwrap_or("");
        let byte = from + rest.len() - rest.trim_start_matches(['\n', '\r']).len();
        let passed = self.sheet.text.get(self.at.byte..byte).unwrap_or("");
        self.at = RecordAt {
            byte,
            line: self.at.line + line_ends(passed),
        };
    }

    fn bytes_read(&self) -> usize {
        usize::try_from(self.reader.position().byte()).unwrap_or(usize::MAX)
    }

    /// Whether the file ends inside a quoted cell, which has swallowed the rest of the file.
    fn has_open_quote(&self) -> bool {
        self.bytes_read() >= self.sheet.text.len() && ends_in_quotes(&self.sheet.text, self.at.byte)
    }
}

/// The headings in the order of the columns, or nothing where they are not the wanted ones; the later ones may lack.
pub(super) fn headings(
    sheet: &Sheet,
    record: &StringRecord,
    at: RecordAt,
    (wanted, later): (&'static [&'static str], &[&str]),
    faults: &mut Faults,
) -> Option<Vec<&'static str>> {
    if let Some(fault) = other_separator(sheet, record, at, wanted) {
        faults.push(fault);
        return None;
    }
    let mut found = Vec::new();
    let mut meant = Vec::new();
    for (index, cell) in record.iter().enumerate() {
        match heading(cell.trim(), wanted, &found) {
            Ok(known) => found.push(known),
            Err((reason, hint, guess)) => {
                faults
                    .push(Fault::on(&sheet.file, sheet.spot(at, index), reason, hint).named("", cell.trim()));
                meant.extend(guess);
            }
        }
    }
    let missing: Vec<&str> = wanted
        .iter()
        .copied()
        .filter(|name| !found.contains(name) && !meant.contains(name) && !later.contains(name))
        .collect();
    if !missing.is_empty() {
        let reason = format!("lacks the heading {}", missing.join(", "));
        faults.push(Fault::on(
            &sheet.file,
            sheet.spot(at, usize::MAX),
            reason,
            listed(wanted),
        ));
    }
    (missing.is_empty() && found.len() == record.len()).then_some(found)
}

/// The wanted heading that a cell is, or reason, hint and guess where it is none or stood there before.
fn heading(
    cell: &str,
    wanted: &'static [&'static str],
    found: &[&'static str],
) -> Result<&'static str, (String, String, Option<&'static str>)> {
    match wanted.iter().copied().find(|name| *name == cell) {
        Some(known) if found.contains(&known) => Err((
            "this heading stands twice".to_owned(),
            "keep one of the two columns".to_owned(),
            None,
        )),
        Some(known) => Ok(known),
        None if cell.is_empty() => Err((
            "a heading is blank".to_owned(),
            "remove the column or name it".to_owned(),
            None,
        )),
        None => {
            let guess = nearest(cell, wanted.iter().copied().filter(|name| !found.contains(name)));
            let hint = guess.map_or_else(|| listed(wanted), |name| format!("did you mean {name}?"));
            Err(("is not a heading of this file".to_owned(), hint, guess))
        }
    }
}

fn listed(wanted: &[&str]) -> String {
    format!("the headings are {}", wanted.join(", "))
}

/// The fault of a file whose headings would be known if it were split at something other than commas.
fn other_separator(sheet: &Sheet, record: &StringRecord, at: RecordAt, wanted: &[&str]) -> Option<Fault> {
    let known = |cell: &str| wanted.contains(&cell.trim().trim_matches('"'));
    if record.iter().any(known) {
        return None;
    }
    let line = first_line_range(sheet, at);
    let text = sheet.text.get(line.clone())?;
    let names = [(';', "semicolons"), ('\t', "tabs"), ('|', "upright strokes")];
    let (mark, name) = names
        .into_iter()
        .find(|(mark, _)| text.contains(*mark) && text.split(*mark).any(known))?;
    let first = text.find(mark).unwrap_or(0) + line.start;
    let spot: Spot = sheet.spot_of(first..first + 1, at.line);
    let reason = format!("the cells are separated by {name}, not by commas");
    Some(Fault::on(&sheet.file, spot, reason, SAVE_AS_UTF8))
}

fn first_line_range(sheet: &Sheet, at: RecordAt) -> Range<usize> {
    let rest = sheet.text.get(at.byte..).unwrap_or("");
    let length = rest.find(['\n', '\r']).unwrap_or(rest.len());
    at.byte..at.byte + length
}
