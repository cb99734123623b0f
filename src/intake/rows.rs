//! The files that can be read, their headings, and the reading of them all together.

use std::collections::HashMap;
use std::path::Path;
use std::sync::Arc;

use csv::StringRecord;

use super::cells::{Cells, word_hint};
use super::csv_file::{Met, Records, SourceFile, headings};
use super::fault::{Fault, Faults};
use super::rows_house::{BinRow, CustomerRow, EngineRow, PersonRow, SupplierRow};
use super::rows_kits::{BillLineRow, BillRow, JobRow, OrderRow};
use super::rows_packs::{PackRow, StandInRow};
use super::rows_parts::{PartRow, PriceRow, RateRow, SizeRow, StockRow};
use super::rows_rules::{LifeRow, RuleRow};
use super::sheet::{Placed, Sheet};

/// A row of one sort of file.
pub(super) trait Row: Sized {
    /// The headings, each of which must stand in the first line once, in any order.
    const HEADINGS: &'static [&'static str];
    /// Those of them that a file may lack, because they came later than the others; their cells are then blank.
    const LATER: &'static [&'static str] = &[];
    /// The headings whose cells together may stand in one row only; none if rows may repeat.
    /// Where the last of them is blank the row has no key.
    const KEY: &'static [&'static str];
    /// The row, unless one of its cells will not do.
    fn read(cells: &mut Cells) -> Option<Self>;
    /// Its cells in the order of the headings, each written as the books write it.
    fn cells(&self) -> Vec<String>;
}

/// A row of one of the files, as it is held against what the books have.
pub trait Listed {
    /// The stem of the file's name.
    const STEM: &'static str;
    /// The headings in order.
    const HEADINGS: &'static [&'static str];
    /// The headings whose cells together name the record; none where rows may repeat.
    const KEY: &'static [&'static str];
    /// The cells in the order of the headings, each written as the books write it.
    fn cells(&self) -> Vec<String>;
}

/// A value as it is written, or a blank cell.
pub(super) fn said<T: ToString>(maybe: Option<T>) -> String {
    maybe.map_or_else(String::new, |value| value.to_string())
}

/// Values with spaces between them.
pub(super) fn joined<T: ToString>(values: impl Iterator<Item = T>) -> String {
    values
        .map(|value| value.to_string())
        .collect::<Vec<_>>()
        .join(" ")
}

/// The word for a flag.
pub(super) fn yes_or_no(flag: bool) -> String {
    if flag { "yes" } else { "no" }.to_owned()
}

macro_rules! tables {
    ($($(#[$doc:meta])* $name:ident: $row:ty),+ $(,)?) => {
        /// Every row of the files that were read, in the order of the files and of their lines.
        #[derive(Clone, Debug, Default)]
        pub struct Intake { $($(#[$doc])* pub $name: Vec<Placed<$row>>),+ }

        /// The files that can be read (stem of the name), and the headings of each.
        pub const HEADINGS: &[(&str, &[&str])] = &[$((stringify!($name), <$row as Row>::HEADINGS)),+];

        /// The same files with their headings and those of them that name a record.
        pub const KEYS: &[(&str, &[&str], &[&str])] =
            &[$((stringify!($name), <$row as Row>::HEADINGS, <$row as Row>::KEY)),+];

        $(impl Listed for $row {
            const STEM: &'static str = stringify!($name);
            const HEADINGS: &'static [&'static str] = <$row as Row>::HEADINGS;
            const KEY: &'static [&'static str] = <$row as Row>::KEY;
            fn cells(&self) -> Vec<String> {
                <$row as Row>::cells(self)
            }
        })+

        impl Intake {
            /// How many rows of each sort were read, by the stem of the file.
            pub fn counts(&self) -> Vec<(&'static str, usize)> {
                vec![$((stringify!($name), self.$name.len())),+]
            }

            /// Reads one file whose stem is known.
            fn take(&mut self, stem: &str, file: &SourceFile, faults: &mut Faults) {
                match stem {
                    $(stringify!($name) => read_table(file, &mut self.$name, faults),)+
                    _ => faults.push(unknown_file(file)),
                }
            }
        }
    };
}

tables! {
    /// The people.
    people: PersonRow,
    /// The customers.
    customers: CustomerRow,
    /// The suppliers.
    suppliers: SupplierRow,
    /// The parts, engine models and conversions among them.
    parts: PartRow,
    /// The sizes of parts.
    sizes: SizeRow,
    /// The packs in which parts come.
    packs: PackRow,
    /// The bins and the other places of the house.
    bins: BinRow,
    /// The engines.
    engines: EngineRow,
    /// The bills of materials.
    bills: BillRow,
    /// The lines of the bills.
    bill_lines: BillLineRow,
    /// What parts cost.
    prices: PriceRow,
    /// What an hour costs.
    rates: RateRow,
    /// What classes of part ask for.
    rules: RuleRow,
    /// What may stand in for what.
    standins: StandInRow,
    /// How long families of material last.
    lives: LifeRow,
    /// The opening stock, a lot a row.
    stock: StockRow,
    /// The lines of orders that are still to come.
    orders: OrderRow,
    /// The jobs.
    jobs: JobRow,
}

/// Reads files together: all their rows, or every fault in any of them.
///
/// What one file says of another (a stock row's bin, a bill line's part) is not looked at here.
pub fn read(files: &[SourceFile]) -> Result<Intake, Faults> {
    let mut intake = Intake::default();
    let mut faults = Faults::default();
    let mut seen: HashMap<String, &str> = HashMap::new();
    for file in files {
        let Some(stem) = stem(&file.name) else {
            faults.push(unknown_file(file));
            continue;
        };
        match seen.insert(stem.clone(), &file.name) {
            Some(earlier) => faults.push(given_twice(file, earlier)),
            None => intake.take(&stem, file, &mut faults),
        }
    }
    if faults.is_empty() {
        Ok(intake)
    } else {
        Err(faults)
    }
}

/// The stem of a name that ends in `.csv`.
fn stem(name: &str) -> Option<String> {
    let path = Path::new(name);
    let csv = path
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("csv"));
    path.file_stem()
        .filter(|_| csv)
        .map(|stem| stem.to_string_lossy().into_owned())
}

fn unknown_file(file: &SourceFile) -> Fault {
    let known: Vec<&str> = HEADINGS.iter().map(|(stem, _)| *stem).collect();
    let stem = Path::new(&file.name)
        .file_stem()
        .map(|stem| stem.to_string_lossy().into_owned());
    let guess = word_hint(&stem.unwrap_or_default(), &known);
    let reason = "is not the name of a file that can be read";
    let all = format!("the names are {}, each with .csv", known.join(", "));
    Fault::of_file(
        &file.name,
        reason,
        if guess.starts_with("did") {
            format!("{guess} {all}")
        } else {
            all
        },
    )
}

fn given_twice(file: &SourceFile, earlier: &str) -> Fault {
    Fault::of_file(
        &file.name,
        format!("is given twice: first as {earlier}"),
        "give one of the two",
    )
}

/// Reads one file's rows, or adds its faults.
fn read_table<T: Row>(file: &SourceFile, rows: &mut Vec<Placed<T>>, faults: &mut Faults) {
    let mut sheet = match file.sheet() {
        Ok(sheet) => sheet,
        Err(fault) => return faults.push(*fault),
    };
    match first_line(&sheet, T::HEADINGS, T::LATER, faults) {
        Some(found) => sheet.headings = found,
        None => return,
    }
    // A list of a hundred thousand rows is not moved again and again while it grows.
    rows.reserve(sheet.text.bytes().filter(|byte| *byte == b'\n').count());
    let sheet = Arc::new(sheet);
    let mut records = Records::of(&sheet);
    let mut record = StringRecord::new();
    let mut heading_line = true;
    let mut keys: HashMap<String, u64> = HashMap::new();
    loop {
        match records.next_into(&mut record) {
            Met::End(stop) => return faults.extend(stop),
            Met::Record(_) if heading_line => heading_line = false,
            Met::Record(at) => {
                let mut cells = Cells {
                    sheet: &sheet,
                    record: &record,
                    at,
                    faults,
                };
                if !has_its_cells(&mut cells) {
                    continue;
                }
                note_key::<T>(&mut cells, &mut keys);
                if let Some(row) = T::read(&mut cells) {
                    let file = Arc::clone(&sheet.file);
                    rows.push(Placed {
                        file,
                        line: at.line,
                        row,
                        sheet: Arc::clone(&sheet),
                        record: at,
                    });
                }
            }
        }
    }
}

fn first_line(
    sheet: &Sheet,
    wanted: &'static [&'static str],
    later: &[&str],
    faults: &mut Faults,
) -> Option<Vec<&'static str>> {
    let mut record = StringRecord::new();
    match Records::of(sheet).next_into(&mut record) {
        Met::Record(at) => headings(sheet, &record, at, (wanted, later), faults),
        Met::End(stop) => {
            faults.extend(stop);
            None
        }
    }
}

/// Whether a row has as many cells as there are headings, and not all of them blank; a fault if not.
fn has_its_cells(cells: &mut Cells) -> bool {
    let (has, wants) = (cells.record.len(), cells.sheet.headings.len());
    if cells.record.iter().all(|cell| cell.trim().is_empty()) {
        let spot = cells.sheet.spot(cells.at, 0);
        cells.faults.push(Fault::on(
            &cells.sheet.file,
            spot,
            "the row is blank",
            "take it out",
        ));
        return false;
    }
    if has != wants {
        let spot = cells.sheet.spot(cells.at, wants);
        let reason = format!("the row has {has} cells, the headings are {wants}");
        let hint = if has > wants {
            "a text with a comma in it stands between quote marks; a number has a point, no comma"
        } else {
            "blank cells need their commas too"
        };
        cells
            .faults
            .push(Fault::on(&cells.sheet.file, spot, reason, hint));
    }
    has == wants
}

/// Remembers the row's key, or adds a fault that names the line where it stood first.
fn note_key<T: Row>(cells: &mut Cells, keys: &mut HashMap<String, u64>) {
    let Some(last) = T::KEY.last() else { return };
    if cells.raw(last).is_empty() {
        return;
    }
    let key: Vec<&str> = T::KEY.iter().map(|heading| cells.raw(heading)).collect();
    let line = cells.at.line;
    let first = *keys.entry(key.join("\u{1f}")).or_insert(line);
    if first != line {
        let what = if T::KEY.len() == 1 {
            String::new()
        } else {
            format!("{} together ", T::KEY.join(" + "))
        };
        let reason = format!("{what}stands twice: first in line {first}");
        cells.fault(T::KEY.first().unwrap_or(last), reason, "keep one of the two rows");
    }
}
