//! The counter: goods in, inspected, moved, opened, scrapped, counted; notes for the next shift.

mod clerks_day;
mod count;
mod cycle;
mod find;
mod goods_in;
mod hatch;
mod inspect;
mod label;
mod log;
mod moves;
mod names;
mod note;
mod opened;
mod packs;
mod quantities;
mod recount;
mod scan;
mod scrap;
mod today;

use crate::desk::{Counter, Ran};
use rusqlite::Connection;

/// Everything that stands in the books of stock, claims and jobs.
fn standing(counter: &Counter) -> Vec<String> {
    let raw = Connection::open(counter.store()).unwrap();
    let mut all = Vec::new();
    for sql in [
        "SELECT lot || ' ' || place || ' ' || qty || ' ' || value FROM balance WHERE qty <> 0 ORDER BY 1",
        "SELECT lot || ' ' || pickable || ' ' || reserved FROM lot_position WHERE pickable + reserved > 0 ORDER BY 1",
        "SELECT part || ' ' || COALESCE(lot, 0) || ' ' || qty || ' ' || value FROM layer WHERE qty > 0 ORDER BY 1",
        "SELECT id || ' ' || arrived || ' ' || accepted FROM order_line ORDER BY 1",
        "SELECT id || ' ' || covers || ' ' || drawn || ' ' || COALESCE(digest, '') FROM certificate ORDER BY 1",
        "SELECT id || ' ' || reserved || ' ' || kitted || ' ' || fitted FROM job_line ORDER BY 1",
    ] {
        let mut statement = raw.prepare(sql).unwrap();
        let rows = statement.query_map([], |row| row.get::<_, String>(0)).unwrap();
        all.extend(rows.map(Result::unwrap));
    }
    all
}

/// A command is refused with this number and exit, says these words, and leaves the books as they were.
#[track_caller]
pub(crate) fn refused(counter: &Counter, words: &[&str], number: u16, exit: u8, says: &str) {
    let before = standing(counter);
    let documents = counter.figure("SELECT COUNT(*) FROM document");
    let ran = counter.run(words);
    assert_eq!(ran.exit, exit, "{words:?}: {ran:?}");
    assert!(ran.out.is_empty(), "{words:?}: {ran:?}");
    let told = [format!("refusal {number}:"), format!("error {number}:")];
    assert!(
        told.iter().any(|told| ran.err.contains(told)),
        "{words:?}: {ran:?}"
    );
    assert!(ran.err.contains(says), "{words:?} wants {says:?}: {}", ran.err);
    assert!(ran.err.contains("next:"), "{words:?}: {}", ran.err);
    assert_eq!(standing(counter), before, "{words:?}");
    assert_eq!(
        counter.figure("SELECT COUNT(*) FROM document"),
        documents,
        "{words:?}"
    );
}

/// A trial run says what the real run says and posts nothing; the real run is proved, undone, and all is as it was.
#[track_caller]
pub(crate) fn done_and_undone(counter: &Counter, words: &[&str]) -> Ran {
    let before = standing(counter);
    let mut trial = words.to_vec();
    trial.insert(0, "--dry-run");
    let tried = counter.run(&trial).good();
    assert_eq!(standing(counter), before, "a trial run posts nothing: {words:?}");
    let ran = counter.run(words).good();
    assert_eq!(tried.out.lines().nth(1), Some(ran.answer()), "{words:?}");
    counter.run(&["check"]).good();
    let undo = ran
        .out
        .lines()
        .find_map(|line| line.strip_prefix("next: bincard undo "));
    let undo = undo.unwrap_or_else(|| panic!("{words:?} names no undo: {}", ran.out));
    let document = undo.split(' ').next().unwrap().to_owned();
    let by = undo.split(' ').nth(2).unwrap().to_owned();
    counter.run(&["undo", &document, "--by", &by]).good();
    assert_eq!(standing(counter), before, "{words:?} undone");
    counter.run(&["check"]).good();
    ran
}
