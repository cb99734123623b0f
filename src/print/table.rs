//! A table of typed cells and its layout for eyes: no borders, decimal markers in line, no value ever cut.

use crate::print::cell::{Cell, Numeral};
use crate::print::escape::{cells, escape};
use crate::print::look::{Look, Tone};

/// Blanks between two columns.
const GAP: &str = "  ";

/// One column: its key for machines and its head for people.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Name in CSV and JSON; snake_case and unique in the table.
    pub key: &'static str,
    /// Head on screen and paper.
    pub head: &'static str,
    /// Never left out when the terminal is narrow.
    pub keep: bool,
    /// What stands beside each value in CSV and plain text, also where the table has no rows yet.
    pub beside: Beside,
}

/// The extra field a column has in CSV and plain text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Beside {
    /// Only what the cells themselves bring.
    #[default]
    Nothing,
    /// A unit, as `key_unit`.
    Unit,
    /// A currency code, as `key_currency`.
    Currency,
}

/// A titled table; each row holds one cell a column.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Stands above the table, and alone with "none" where there are no rows.
    pub title: String,
    /// The columns from left to right, the weightiest first.
    pub columns: Vec<Column>,
    /// The rows; a row that is too short ends in empty cells.
    pub rows: Vec<Vec<Cell>>,
}

impl Table {
    /// A table without rows whose columns, as (key, head), are all kept on a narrow terminal.
    pub fn new(title: impl Into<String>, columns: &[(&'static str, &'static str)]) -> Table {
        let column = |&(key, head): &(&'static str, &'static str)| Column {
            key,
            head,
            keep: true,
            beside: Beside::Nothing,
        };
        Table {
            title: title.into(),
            columns: columns.iter().map(column).collect(),
            rows: Vec::new(),
        }
    }

    /// Marks columns that a narrow terminal may leave out, the rightmost first.
    #[must_use]
    pub fn spare(mut self, keys: &[&str]) -> Table {
        self.columns_of(keys).for_each(|column| column.keep = false);
        self
    }

    /// Says which columns hold quantities, so that an empty table has the same CSV heading as a full one.
    #[must_use]
    pub fn quantities(mut self, keys: &[&str]) -> Table {
        self.columns_of(keys)
            .for_each(|column| column.beside = Beside::Unit);
        self
    }

    /// Says which columns hold money, so that an empty table has the same CSV heading as a full one.
    #[must_use]
    pub fn amounts(mut self, keys: &[&str]) -> Table {
        self.columns_of(keys)
            .for_each(|column| column.beside = Beside::Currency);
        self
    }

    /// Adds a row of one cell a column.
    pub fn row(&mut self, cells: Vec<Cell>) -> &mut Table {
        debug_assert_eq!(
            cells.len(),
            self.columns.len(),
            "a row of `{}` has one cell a column",
            self.title
        );
        self.rows.push(cells);
        self
    }

    /// The named columns; a key that no column bears is a slip in the program.
    fn columns_of<'a>(&'a mut self, keys: &'a [&str]) -> impl Iterator<Item = &'a mut Column> {
        debug_assert!(
            keys.iter()
                .all(|key| self.columns.iter().any(|column| column.key == *key)),
            "each of {keys:?} is a column of `{}`",
            self.title
        );
        self.columns
            .iter_mut()
            .filter(move |column| keys.contains(&column.key))
    }

    /// The lines for eyes: title, heads, rows, and a word on what a narrow terminal left out.
    ///
    /// Without a terminal every column stands. Where not even the kept columns fit side by side, each row
    /// becomes a small block of head and value, one under the other.
    #[must_use]
    pub fn lines(&self, look: &Look) -> Vec<String> {
        let title = look.fold(&escape(&self.title));
        if self.rows.is_empty() {
            return vec![if title.is_empty() {
                "none".to_owned()
            } else {
                format!("{title}: none")
            }];
        }
        let strips: Vec<Strip> = self
            .columns
            .iter()
            .enumerate()
            .map(|(place, column)| self.strip(place, column, look))
            .collect();
        let (fitting, left_out) = fit(strips, look.room());
        let mut lines: Vec<String> = Vec::new();
        if !title.is_empty() {
            lines.push(look.paint(Tone::Strong, &title));
        }
        match fitting {
            Some(strips) => lines.extend(side_by_side(&strips, self.rows.len(), look)),
            None => lines.extend(self.stacked(look)),
        }
        if !left_out.is_empty() {
            lines.push(format!(
                "not shown, the screen is too narrow: {}",
                left_out.join(", ")
            ));
        }
        lines
    }

    /// One column laid out: every cell brought to text and lined up among its neighbours.
    fn strip(&self, place: usize, column: &Column, look: &Look) -> Strip {
        let column_cells: Vec<&Cell> = self
            .rows
            .iter()
            .map(|row| row.get(place).unwrap_or(&Cell::Empty))
            .collect();
        let numerals: Vec<Option<Numeral>> = column_cells
            .iter()
            .map(|cell| shown_numeral(cell, look))
            .collect();
        let scale = Scale::of(&numerals.iter().flatten().collect::<Vec<_>>());
        let pieces: Vec<Piece> = column_cells
            .iter()
            .zip(&numerals)
            .map(|(cell, numeral)| match numeral {
                Some(numeral) => Piece {
                    shown: scale.line_up(numeral),
                    tone: None,
                },
                None => Piece {
                    shown: escape(&cell.value()),
                    tone: cell.tone(),
                },
            })
            .collect();
        let widest = pieces.iter().map(|piece| cells(&piece.shown)).max().unwrap_or(0);
        let head = look.fold(column.head);
        Strip {
            width: widest.max(cells(&head)),
            head,
            right: numerals.iter().any(Option::is_some),
            keep: column.keep,
            pieces,
        }
    }

    /// The rows as blocks of head and value, for a terminal too narrow for a table.
    fn stacked(&self, look: &Look) -> Vec<String> {
        let widest = self
            .columns
            .iter()
            .map(|column| cells(&look.fold(column.head)))
            .max()
            .unwrap_or(0);
        let block = |row: &Vec<Cell>| -> Vec<String> {
            let pairs = self
                .columns
                .iter()
                .zip(row)
                .map(|(column, cell)| (column, alone(cell, look)));
            let said = pairs.filter(|(_, value)| !value.is_empty());
            said.map(|(column, value)| padded(&look.fold(column.head), widest, false) + GAP + &value)
                .collect()
        };
        self.rows
            .iter()
            .map(block)
            .collect::<Vec<_>>()
            .join(&String::new())
    }
}

/// One laid-out column.
struct Strip {
    head: String,
    pieces: Vec<Piece>,
    width: usize,
    right: bool,
    keep: bool,
}

/// One cell brought to text.
struct Piece {
    shown: String,
    tone: Option<Tone>,
}

/// What the numbers of one column need so that their markers stand in line.
struct Scale {
    whole_width: usize,
    /// Cells of the longest marker, decimals and unit.
    tail_width: usize,
    /// The decimals shown for each unit; counts have an entry of their own.
    decimals: Vec<(String, bool, usize)>,
}

impl Scale {
    /// Measures the numbers of one column.
    fn of(numerals: &[&Numeral]) -> Scale {
        let mut scale = Scale {
            whole_width: 0,
            tail_width: 0,
            decimals: Vec::new(),
        };
        for numeral in numerals {
            scale.whole_width = scale.whole_width.max(numeral.whole.len());
            let digits = numeral.decimals.len();
            match scale
                .decimals
                .iter_mut()
                .find(|(unit, counted, _)| same_sort(numeral, unit, *counted))
            {
                Some((_, _, most)) => *most = digits.max(*most),
                None => scale
                    .decimals
                    .push((numeral.unit.clone(), numeral.counted, digits)),
            }
        }
        scale.tail_width = numerals
            .iter()
            .map(|numeral| cells(&scale.tail(numeral)))
            .max()
            .unwrap_or(0);
        scale
    }

    /// Marker, decimals and unit: one number of decimals for each unit of the column.
    fn tail(&self, numeral: &Numeral) -> String {
        let entry = self
            .decimals
            .iter()
            .find(|(unit, counted, _)| same_sort(numeral, unit, *counted));
        let digits = entry.map_or(numeral.decimals.len(), |(_, _, digits)| *digits);
        let point = if digits == 0 { "" } else { "." };
        let gap = if numeral.unit.is_empty() { "" } else { " " };
        format!("{point}{:0<digits$}{gap}{}", numeral.decimals, numeral.unit)
    }

    /// The number padded on both sides of its marker, so that all markers of the column stand in line.
    fn line_up(&self, numeral: &Numeral) -> String {
        format!("{:>1$}", numeral.whole, self.whole_width)
            + &padded(&self.tail(numeral), self.tail_width, false)
    }
}

/// Whether a number shares its decimals with others of this unit: 12 each gains no ".0" from 2.5 ml.
fn same_sort(numeral: &Numeral, unit: &str, counted: bool) -> bool {
    numeral.unit == unit && numeral.counted == counted
}

/// The number of a cell with its unit made fit to print.
fn shown_numeral(cell: &Cell, look: &Look) -> Option<Numeral> {
    let numeral = cell.numeral()?;
    Some(Numeral {
        unit: look.fold(&escape(&numeral.unit)),
        ..numeral
    })
}

/// One cell as it reads with no column about it.
fn alone(cell: &Cell, look: &Look) -> String {
    let words = match cell.unit().or(cell.currency()) {
        Some(unit) => format!("{} {}", cell.value(), look.fold(&escape(unit))),
        None => escape(&cell.value()),
    };
    cell.tone().map_or(words.clone(), |tone| look.paint(tone, &words))
}

/// Leaves out spare columns from the right until the rest fits; `None` where even the kept ones do not.
fn fit(mut strips: Vec<Strip>, room: Option<usize>) -> (Option<Vec<Strip>>, Vec<String>) {
    let Some(room) = room else {
        return (Some(strips), Vec::new());
    };
    let mut left_out = Vec::new();
    while total_width(&strips) > room {
        let Some(place) = strips.iter().rposition(|strip| !strip.keep) else {
            return (None, Vec::new());
        };
        left_out.insert(0, strips.remove(place).head);
    }
    (Some(strips), left_out)
}

/// Cells of a whole line.
fn total_width(strips: &[Strip]) -> usize {
    strips.iter().map(|strip| strip.width).sum::<usize>() + GAP.len() * strips.len().saturating_sub(1)
}

/// Heads, a stroke under each, and the rows.
fn side_by_side(strips: &[Strip], rows: usize, look: &Look) -> Vec<String> {
    let heads = strips
        .iter()
        .map(|strip| padded(&strip.head, strip.width, strip.right));
    let strokes = strips.iter().map(|strip| look.stroke().repeat(strip.width));
    let mut lines = vec![joined(heads), joined(strokes)];
    for row in 0..rows {
        lines.push(joined(strips.iter().filter_map(|strip| {
            let piece = strip.pieces.get(row)?;
            // The tone goes round the word alone, never round the blanks that line it up.
            let toned = piece
                .tone
                .map_or(piece.shown.clone(), |tone| look.paint(tone, &piece.shown));
            Some(filled(toned, cells(&piece.shown), strip.width, strip.right))
        })));
    }
    lines
}

/// One line without blanks at its end.
fn joined(pieces: impl Iterator<Item = String>) -> String {
    pieces.collect::<Vec<_>>().join(GAP).trim_end().to_owned()
}

/// Text filled up with blanks to a width in cells, to its right or, for numbers, to its left.
fn padded(text: &str, width: usize, right: bool) -> String {
    filled(text.to_owned(), cells(text), width, right)
}

/// The same for a text whose colour marks take no cells: `taken` says what it takes without them.
fn filled(text: String, taken: usize, width: usize, right: bool) -> String {
    let blanks = " ".repeat(width.saturating_sub(taken));
    if right { blanks + &text } else { text + &blanks }
}
