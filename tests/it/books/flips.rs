//! Single bits flipped all over the file of a store: no panic, no endless run, and what changed is told of.
//!
//! MEASURED

use super::workshop::{file, proved};
use rusqlite::{Connection, OpenFlags};
use std::collections::BTreeMap;
use std::panic::catch_unwind;
use std::path::Path;
use std::time::{Duration, Instant};

/// Flips without BINCARD_LONG; with it thirty times as many.
const FLIPS: usize = 300;
/// The longest that one proof may take (trust.md T9).
const PATIENCE: Duration = Duration::from_secs(2);

/// Numbers that look like chance and are the same in every run (Marsaglia, "Xorshift RNGs", 2003: 13, 7, 17).
struct Chance(u64);

impl Chance {
    fn below(&mut self, bound: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % bound as u64) as usize
    }
}

/// Every row that a statement gives, as text, in an order of its own.
fn rows(raw: &Connection, sql: &str) -> rusqlite::Result<Vec<String>> {
    let mut statement = raw.prepare(sql)?;
    let columns = statement.column_count();
    let mut found = statement.query([])?;
    let mut said = Vec::new();
    while let Some(row) = found.next()? {
        let cells = (0..columns).map(|at| row.get_ref(at).map(|cell| format!("{cell:?}")));
        said.push(cells.collect::<Result<Vec<_>, _>>()?.join("|"));
    }
    said.sort();
    Ok(said)
}

/// Everything that the tables say, table by table, read past all indexes; none where it cannot be read.
fn content(path: &Path) -> Option<BTreeMap<String, Vec<String>>> {
    let address = format!("file:{}?immutable=1", path.display());
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI;
    let raw = Connection::open_with_flags(address, flags).ok()?;
    let mut said = BTreeMap::new();
    let schema = rows(&raw, "SELECT type, name, sql FROM sqlite_schema").ok()?;
    said.insert("sqlite_schema".to_owned(), schema);
    let mut statement = raw
        .prepare("SELECT name FROM sqlite_schema WHERE type = 'table'")
        .ok()?;
    let tables = statement.query_map([], |row| row.get::<_, String>(0)).ok()?;
    for table in tables {
        let table = table.ok()?;
        let all = rows(&raw, &format!("SELECT * FROM \"{table}\" NOT INDEXED")).ok()?;
        said.insert(table, all);
    }
    Some(said)
}

/// What became of the flips.
#[derive(Debug, Default)]
struct Tally {
    /// The content is another, or cannot be read.
    changed: usize,
    /// Of these, told of by opening or by `check`.
    told: usize,
    /// Told of although the content is the same: an index, a page that is free, the head of the file.
    beside: usize,
    /// Changed and not told of: the table, and how often.
    unseen: BTreeMap<String, usize>,
    panics: usize,
    slow: usize,
}

impl Tally {
    /// Flips one bit in a store of its own and proves it.
    fn flip(&mut self, whole: &BTreeMap<String, Vec<String>>, at: usize, bit: usize) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("store.db");
        let mut bytes = file().to_vec();
        bytes[at] ^= 1 << bit;
        std::fs::write(&path, bytes).unwrap();
        let now = content(&path);
        let since = Instant::now();
        let proof = catch_unwind(|| proved(&path));
        self.slow += usize::from(since.elapsed() > PATIENCE);
        let told = match proof {
            Ok(found) => found.map_or(true, |faults| !faults.is_empty()),
            Err(_) => {
                self.panics += 1;
                false
            }
        };
        let differs = now.as_ref() != Some(whole);
        self.changed += usize::from(differs);
        self.told += usize::from(differs && told);
        self.beside += usize::from(!differs && told);
        if differs && !told {
            let now = now.unwrap_or_default();
            let table = whole.iter().find(|(table, rows)| now.get(*table) != Some(*rows));
            let table = table.map_or("unread", |(table, _)| table.as_str());
            *self.unseen.entry(table.to_owned()).or_default() += 1;
        }
    }
}

#[test]
fn a_flipped_bit_is_told_of() {
    let long = std::env::var_os("BINCARD_LONG").is_some();
    let flips = if long { 30 * FLIPS } else { FLIPS };
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.db");
    std::fs::write(&path, file()).unwrap();
    let whole = content(&path).unwrap();
    let mut chance = Chance(0x00BC_0001);
    let mut tally = Tally::default();
    for _ in 0..flips {
        // Most of a small file is noughts that nothing reads.
        let mut at = chance.below(file().len());
        while file()[at] == 0 {
            at = chance.below(file().len());
        }
        tally.flip(&whole, at, chance.below(8));
    }
    report(flips, &tally);
    assert_eq!((tally.panics, tally.slow), (0, 0), "{tally:?}");
    assert!(
        tally.changed > flips / 2,
        "too little was changed to tell: {tally:?}"
    );
}

/// Says what was measured; seen with `--nocapture`.
// A measurement is for the eyes of whoever runs it.
#[allow(clippy::disallowed_macros, clippy::print_stdout)]
fn report(flips: usize, tally: &Tally) {
    println!("{flips} flips in {} bytes: {tally:?}", file().len());
}
